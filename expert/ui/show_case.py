"""What is known of a case and how the car is plumbed, as blocks."""

from __future__ import annotations

import shlex
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Final

from expert.case.car import GATES, NO_BYPASS
from expert.case.events import (
    Answered,
    Confirmed,
    Described,
    Event,
    Field,
    Lacks,
    Mended,
    Noted,
    Persists,
    RuledOut,
    SetAside,
)
from expert.case.state import Finding, State
from expert.model import Knowledge, Plumbing
from expert.ui.protocol import Block, Heading, Paragraph, Steps, Table, Verbatim
from expert.ui.show import finding_words
from expert.units import shown_kpa

_LABELS: Final[Mapping[Field, str]] = {
    "setup": "Setup",
    "gate": "Gate",
    "bypass": "Bypass valve",
    "symptom": "Complaint",
    "spring_kpa": "Spring pressure",
    "target_kpa": "Target boost",
}
_ORIGINS: Final = {"log": " (from a log)", "mail": " (from a mail)", "hookup": " (from the hoses)"}
_NOT_KNOWN: Final = "not known"


def told(knowledge: Knowledge, event: Event) -> str:
    """One step of a case in a sentence."""
    match event:
        case Described("symptom", None):
            return "No other complaint."
        case Described(field, value):
            return f"{_LABELS[field]}: {_value_words(knowledge, field, value)}."
        case Answered(check, answers):
            return finding_words(knowledge, check, answers)
        case SetAside(check):
            return f"{check}: skipped for now."
        case Lacks(tool):
            title = knowledge.tools[tool].title if tool in knowledge.tools else tool
            return f"Not at hand: {title}."
        case RuledOut(cause):
            return f"It is not this: {cause_title(knowledge, cause)}."
        case Mended(cause):
            return f"Mended: {cause_title(knowledge, cause)}."
        case Persists():
            return "The complaint is still there."
        case Confirmed(cause):
            return f"The trouble is gone with this mended: {cause_title(knowledge, cause)}."
        case Noted(text):
            return f"Note: {text}"
        case _:
            return ""


def status(knowledge: Knowledge, state: State) -> list[Block]:
    """Everything that has been said so far."""
    rows = [*_car_rows(knowledge, state)]
    rows += [_finding_row(knowledge, finding, state.epoch) for finding in state.findings]
    rows += [(check, "skipped for now") for check in sorted(state.set_aside)]
    blocks: list[Block] = [Heading("Known so far")]
    if not rows:
        return [*blocks, Paragraph("Nothing yet.")]
    blocks.append(Table("", ("What", "Answer"), tuple(rows)))
    for title, causes in (("Mended", state.mended), ("Found sound", state.ruled_out)):
        if causes:
            blocks.append(Steps(title, tuple(cause_title(knowledge, cause) for cause in causes)))
    if state.notes:
        blocks.append(Steps("Notes", state.notes))
    return blocks


def car_sentences(knowledge: Knowledge, state: State) -> list[str]:
    """The car, the complaint and every finding, a sentence each, to hand over."""
    sentences = [f"{label}: {text}." for label, text in _car_rows(knowledge, state)]
    sentences += [
        f"{finding_words(knowledge, finding.check, finding.answers)}{_before(finding, state.epoch)}"
        for finding in state.findings
        if finding.answers
    ]
    sentences += [f"Mended: {cause_title(knowledge, cause)}." for cause in state.mended]
    sentences += [f"Sound: {cause_title(knowledge, cause)}." for cause in state.ruled_out]
    sentences += [f"Note: {text}" for text in state.notes]
    return sentences


def hoses(knowledge: Knowledge, state: State, parts: frozenset[str], full: bool) -> list[Block]:
    """The hoses of the car, its open ports and its caps; ``full`` adds why, and every port."""
    named = (knowledge.setups.get(state.setup or ""), knowledge.bypasses.get(state.bypass or ""))
    layouts = [layout for layout in named if layout is not None]
    fitted = [
        (name, hose)
        for layout in layouts
        for name, hose in layout.hoses.items()
        if _part(hose.from_) in parts and _part(hose.to) in parts
    ]
    if not fitted:
        return [Paragraph("No table of hoses is known for this car.")]
    rows = [
        (name, _port_title(knowledge, hose.from_), _port_title(knowledge, hose.to))
        for name, hose in fitted
    ]
    blocks: list[Block] = [Table("Where every hose goes", ("Hose", "From", "To"), tuple(rows))]
    blocks += _ports("Open to the air", knowledge, _ports_of(layouts, "open", parts))
    blocks += _ports("Capped", knowledge, _ports_of(layouts, "capped", parts))
    if full:
        blocks.append(Steps("What for", tuple(f"{name}: {hose.why}" for name, hose in fitted)))
        used = [port for _, hose in fitted for port in (hose.from_, hose.to)]
        blocks += _recognised(knowledge, [*used, *_ports_of(layouts, "open", parts)])
    return blocks


def mended() -> list[Block]:
    """A repair is done: what comes now, and why."""
    return [
        Heading("After the repair"),
        Paragraph(
            "Good work. Now let us see whether that was all. A repair is new work, so the hoses "
            "and the red flags come first once more."
        ),
    ]


def closed(knowledge: Knowledge, cause_id: str) -> list[Block]:
    """The complaint is gone."""
    return [
        Heading("Done"),
        Paragraph(f"It was this: {cause_title(knowledge, cause_id)}.", strong=True),
        Steps(
            "In the next days",
            (
                "Look at the repair once more when the engine has been hot and is cold again.",
                "If the trouble comes back, take the case up again: two faults can hide.",
            ),
        ),
    ]


def case_place(path: Path, platform: str = sys.platform) -> list[Block]:
    """Where the case is kept, and how to go on with it."""
    name = str(path)
    quoted = subprocess.list2cmdline([name]) if platform == "win32" else shlex.quote(name)
    return [
        Paragraph("The case is saved in"),
        Verbatim(name),
        Paragraph("To go on with it:"),
        Verbatim(f"gatepost diagnose --case {quoted}"),
    ]


def _car_rows(knowledge: Knowledge, state: State) -> list[tuple[str, str]]:
    rows: list[tuple[str, str]] = []
    facts: list[tuple[Field, str | float | None]] = [
        ("setup", state.setup),
        ("gate", state.gate),
        ("bypass", state.bypass),
    ]
    facts += [("symptom", symptom) for symptom in state.symptoms]
    facts += [("spring_kpa", state.spring_kpa), ("target_kpa", state.target_kpa)]
    for field, value in facts:
        if field in state.said and (field != "gate" or value is not None):
            rows.append((_LABELS[field], _value_words(knowledge, field, value)))
    return rows


def _value_words(knowledge: Knowledge, field: Field, value: str | float | None) -> str:
    if value is None:
        return _NOT_KNOWN
    if isinstance(value, float):
        return shown_kpa(value)
    match field:
        case "setup":
            return knowledge.setups[value].title if value in knowledge.setups else value
        case "gate":
            part = knowledge.parts.get(GATES.get(value, value))
            return part.title if part else value
        case "bypass" if value == NO_BYPASS:
            return "none"
        case "bypass":
            return knowledge.bypasses[value].title if value in knowledge.bypasses else value
        case "symptom":
            return knowledge.symptoms[value].title if value in knowledge.symptoms else value
        case _:
            return value


def _finding_row(knowledge: Knowledge, finding: Finding, epoch: int) -> tuple[str, str]:
    words = finding_words(knowledge, finding.check, finding.answers)
    text = words.removeprefix(f"{finding.check}: ").rstrip(".")
    return finding.check, f"{text}{_ORIGINS.get(finding.origin, '')}{_before(finding, epoch)}"


def _before(finding: Finding, epoch: int) -> str:
    """A remark for what was seen before the last of ``epoch`` repairs."""
    return " (before the repair)" if finding.epoch < epoch else ""


def cause_title(knowledge: Knowledge, cause: str) -> str:
    """The title of a cause, or its id where the knowledge no longer holds it."""
    known = knowledge.causes.get(cause)
    return known.title if known else cause


def _part(port: str) -> str:
    return port.partition(".")[0]


def _port_title(knowledge: Knowledge, port: str) -> str:
    """A port in words: its part, and its own name unless the part's title has it already."""
    part_id, _, name = port.partition(".")
    part = knowledge.parts.get(part_id)
    title = part.title if part else part_id
    return title if name in title.split() else f"{title}, {name}"


def _ports_of(layouts: Sequence[Plumbing], which: str, parts: frozenset[str]) -> list[str]:
    ports = [port for layout in layouts for port in getattr(layout, which)]
    return [port for port in ports if _part(port) in parts]


def _ports(title: str, knowledge: Knowledge, ports: Sequence[str]) -> list[Block]:
    if not ports:
        return []
    return [Steps(title, tuple(_port_title(knowledge, port) for port in ports))]


def _recognised(knowledge: Knowledge, ports: Sequence[str]) -> list[Block]:
    """How to tell each port, once."""
    lines = []
    for port in dict.fromkeys(ports):
        part_id, _, name = port.partition(".")
        part = knowledge.parts.get(part_id)
        if part and name in part.ports:
            lines.append(f"{_port_title(knowledge, port)}: {part.ports[name]}")
    return [Steps("How to tell the ports", tuple(lines))] if lines else []
