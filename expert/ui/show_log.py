"""What logs say, as blocks: channels, pulls, values, findings, and what could not be told."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Final

from expert.evidence.log.advice import STOP
from expert.evidence.log.findings import Unsure, told
from expert.evidence.log.read import Testimony
from expert.evidence.log.record import Channel, Measured, Pull, Span
from expert.model import FEATURES, Knowledge
from expert.ui.protocol import Block, Fact, Heading, Paragraph, Steps, Table
from expert.ui.show import banner
from expert.ui.summary import summary
from expert.ui.words import percent, sentence

if TYPE_CHECKING:
    from expert.case.consult import Consultation
    from expert.case.safety import Verdict

HEALTHY: Final = "No trouble shows in this log."
ONLY_SO_FAR: Final = "No trouble shows in what could be measured; see what could not be told."
NOTHING_TO_RANK: Final = (
    "The logs show no trouble and no complaint is named, so there is nothing to rank. If something "
    "is wrong all the same, name it with --symptom."
)
NO_PULL_YET: Final = (
    "Which pull would show the rest is said once every hose is traced and matching, no red flag "
    "stands and nothing dangerous is likely: --answer hose-trace=matches --answer red-flags=none."
)


def log_blocks(knowledge: Knowledge, one: Testimony, plot: Sequence[Block] = ()) -> list[Block]:
    """What one log says; ``plot`` stands between its pulls and its values."""
    blocks: list[Block] = [Heading(one.file)]
    if one.channels:
        blocks.append(_channels(one.channels))
    if one.notes:
        blocks.append(Steps("About the file", one.notes))
    if not one.usable:
        return [*blocks, Paragraph(f"Not usable: {sentence(one.reason)}", strong=True)]
    pulls = one.features.pulls if one.features else ()
    blocks.append(Steps("Full-throttle pulls", tuple(_pull(pull) for pull in pulls) or ("None.",)))
    blocks += plot
    if one.features is not None:
        blocks += _values(one.features.measured)
    return [*blocks, *_shown(knowledge, one)]


def advice_blocks(testimonies: Sequence[Testimony], may_pull: bool) -> list[Block]:
    """Which pulls would tell more, as soon as one may be made."""
    advice = tuple(dict.fromkeys(text for one in testimonies for text in one.advice))
    if not advice:
        return []
    if not may_pull:
        return [Paragraph(STOP if STOP in advice else NO_PULL_YET, apart=True)]
    return [Steps("What to record next", advice)]


def _channels(channels: Sequence[Channel]) -> Table:
    rows = tuple(
        (
            one.id,
            one.column,
            f"{one.unit} {one.reference}" if one.reference else one.unit,
            percent(one.certainty),
            one.because,
        )
        for one in channels
    )
    return Table("Channels", ("Channel", "Column", "Unit", "Sure", "Why"), rows)


def _pull(pull: Pull) -> str:
    facts = [seconds(pull.span)]
    if pull.gear is not None:
        facts.append(f"gear {pull.gear}")
    if pull.duty_pct is not None:
        facts.append(f"duty {pull.duty_pct:.0f}\N{NO-BREAK SPACE}%")
    if pull.lowest:
        facts.append("the lowest setting")
    return ", ".join(facts)


def _values(measured: Mapping[str, Measured]) -> list[Block]:
    rows = []
    for feature, words in FEATURES.items():
        value = measured.get(feature.replace("-", "_"))
        if value is not None and value.value is not None:
            number = told(feature, value.value, value.uncertainty)
            rows.append((words, number, seconds(value.span) if value.span else ""))
    if not rows:
        return []
    return [Table("Measured", ("What", "Value", "Where"), tuple(rows))]


def _shown(knowledge: Knowledge, one: Testimony) -> list[Block]:
    blocks: list[Block] = []
    for symptom in one.symptoms:
        title = knowledge.symptoms[symptom.symptom].title
        blocks.append(
            Fact("Symptom", f"{title}. {_why(symptom.because)} ({seconds(symptom.span)})")
        )
    if not one.symptoms and not _dangerous(knowledge, one):
        open_symptoms = any(each.symptoms for each in one.unsure)
        blocks.append(Paragraph(ONLY_SO_FAR if open_symptoms else HEALTHY, strong=True))
    for finding in one.findings:
        words = knowledge.checks[finding.check].answers[finding.answer]
        blocks.append(
            Fact(
                f"{finding.check}={finding.answer}",
                f"{words}. {_why(finding.because)} ({seconds(finding.span)})",
            )
        )
    if one.unsure:
        doubts = tuple(_doubt(each) for each in one.unsure)
        blocks.append(Steps("What this log cannot tell", doubts))
    return blocks


def _dangerous(knowledge: Knowledge, one: Testimony) -> bool:
    """Does an answer in the log speak against driving, whatever the complaint is?"""
    return any(
        knowledge.checks[finding.check].danger.get(finding.answer, "none") != "none"
        for finding in one.findings
    )


def _why(because: str) -> str:
    return sentence(because[:1].upper() + because[1:])


def _doubt(unsure: Unsure) -> str:
    return f"{', '.join([*unsure.symptoms, *unsure.checks])}: {unsure.because}"


def seconds(span: Span) -> str:
    """A stretch of time for people."""
    begins, ends = f"{span.from_s:.1f}", f"{span.to_s:.1f}"
    return f"{ends if begins == ends else f'{begins} to {ends}'}\N{NO-BREAK SPACE}s"


def log_page(
    knowledge: Knowledge,
    testimonies: Sequence[Testimony],
    spring_kpa: float | None,
    consultation: Consultation | None,
    verdict: Verdict,
) -> list[Block]:
    """All that a run of ``gatepost log`` says: each log, then what follows for the car.

    Of a file that could not be read there is nothing to show.
    """
    blocks: list[Block] = []
    for one in testimonies:
        if one.channels:
            blocks += log_blocks(knowledge, one, _plot(knowledge, one, spring_kpa))
    if not any(one.usable for one in testimonies):
        return blocks
    blocks.append(Heading("What follows"))
    if consultation is None:
        blocks += banner(verdict)
        blocks.append(Paragraph(NOTHING_TO_RANK))
    else:
        named = [symptom for one in testimonies for symptom in one.symptoms]
        complaint = knowledge.symptoms[consultation.state.symptoms[0]].title
        shows = any(each.symptom == consultation.state.symptoms[0] for each in named)
        blocks.append(Fact("Complaint", complaint if shows else f"{complaint}, as told"))
        blocks += summary(consultation)
    may_pull = consultation is not None and consultation.gate.allowed
    return [*blocks, *advice_blocks(testimonies, may_pull)]


def _plot(knowledge: Knowledge, one: Testimony, spring_kpa: float | None) -> list[Block]:
    if one.recording is None or one.features is None:
        return []
    from expert.export.log_curves import curves, telling
    from expert.ui.show_plot import plot_blocks

    shown = telling(knowledge, one.findings, one.symptoms)
    return plot_blocks(curves(one.recording, one.features, shown), spring_kpa)
