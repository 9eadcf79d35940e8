"""The report of ``gatepost knowledge gaps``, as text and as JSON."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from textwrap import wrap
from typing import Any, Final

from expert.rules.ids import GAPS
from expert.workbench.gaps import Gap, IdleExcuse, Where

_HEADINGS: Final = (
    "Causes that no check tells apart",
    "Causes that no answers make likely enough to be named",
    "Checks that no tree asks and no value chooses",
    "Symptoms that the same causes show",
    "Causes about which a check is silent that seems to be meant",
)
_WIDTH: Final = 100
_INDENT: Final = "      "

Layouts = Sequence[tuple[str, str | None]]


def gap_lines(
    gaps: Sequence[Gap], every: Layouts, idle: Sequence[IdleExcuse] = ()
) -> Iterator[str]:
    """A table by kind of gap, idle excuses, and what all of it comes to.

    ``every`` are all setups with their gates.
    """
    for kind, heading in zip(GAPS, _HEADINGS, strict=True):
        found = [gap for gap in gaps if gap.subject.gap == kind]
        if found:
            yield f"{heading} [{kind}]"
            width = max(len(_entries(gap)) for gap in found)
            for gap in found:
                yield f"  {_entries(gap):{width}}  {_value(gap)}".rstrip()
                yield from _indented(f"on {place_words(gap.where, every)}")
                if gap.excuse is not None:
                    yield from _indented(f"explained: {gap.excuse}")
            yield ""
    if idle:
        yield "Excuses for gaps that are not there"
        yield from (f"  {one.kind} {one.id}: {one.gap}" for one in idle)
        yield ""
    yield _summary(gaps)


def _entries(gap: Gap) -> str:
    return " / ".join(gap.subject.entries)


def _indented(text: str) -> Iterator[str]:
    yield from (_INDENT + line for line in wrap(text, _WIDTH - len(_INDENT)))


def _value(gap: Gap) -> str:
    value, subject = gap.value or 0.0, gap.subject
    match subject.gap:
        case "no-telling-apart" if subject.check is None:
            return "no check answers differently"
        case "no-telling-apart":
            return f"{value:.1f} dB by {subject.check}, {gap.total:.1f} dB by all checks"
        case "never-found":
            rival = " and ".join(gap.rival or ()) or "a cause that is not listed"
            return f"{100.0 * value:.0f} % at most, and next to it {rival}"
        case "same-symptoms":
            return f"shares differ by {value:.2f} at most"
        case "implied-answer" if subject.symptom is None:
            return f"{subject.check} uses {100.0 * value:.0f} % of the words that confirm it"
        case "implied-answer":
            named = f"{100.0 * value:.0f} % of the causes of {subject.symptom}"
            return f"{subject.check} names {named}"
        case _:
            return ""


def place_words(where: Sequence[Where], every: Layouts) -> str:
    """Setups in words: with their gate where the other gate differs, and likewise the bypass."""
    by_bypass: defaultdict[tuple[str, ...], list[tuple[str, str | None]]] = defaultdict(list)
    for setup, gate, bypasses in where:
        by_bypass[bypasses].append((setup, gate))
    return "; ".join(
        _setup_words(found, every) + (f", with bypass {' or '.join(bypasses)}" if bypasses else "")
        for bypasses, found in by_bypass.items()
    )


def _setup_words(found: Layouts, every: Layouts) -> str:
    setups = list(dict.fromkeys(setup for setup, _ in every))
    if set(found) == set(every) and len(setups) > 1:
        return "every setup"
    words = []
    for setup in setups:
        gates = [gate for name, gate in found if name == setup]
        if len(gates) == sum(name == setup for name, _ in every):
            words.append(setup)
        else:
            words += [f"{setup} {gate}" for gate in gates]
    return ", ".join(words)


def _summary(gaps: Sequence[Gap]) -> str:
    if not gaps:
        return "No gaps."
    count = "1 gap" if len(gaps) == 1 else f"{len(gaps)} gaps"
    unexplained = sum(gap.excuse is None for gap in gaps)
    return f"{count}; {unexplained or 'none'} without an explanation in the files."


def gaps_json(gaps: Sequence[Gap], idle: Sequence[IdleExcuse] = ()) -> dict[str, Any]:
    """The same as one object."""
    return {
        "format": 1,
        "unexplained": sum(gap.excuse is None for gap in gaps),
        "gaps": [
            {
                "gap": gap.subject.gap,
                "kind": gap.subject.kind,
                "ids": list(gap.subject.entries),
                "check": gap.subject.check,
                "symptom": gap.subject.symptom,
                "value": _rounded(gap.value),
                "total": _rounded(gap.total),
                "rival": None if gap.rival is None else list(gap.rival),
                "cars": [
                    {"setup": one.setup, "gate": one.gate, "bypasses": list(one.bypasses)}
                    for one in gap.where
                ],
                "reason": gap.excuse,
            }
            for gap in gaps
        ],
        "idle_excuses": [one._asdict() for one in idle],
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 4)
