"""The report of ``gatepost knowledge try``, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from expert.loading.places import Places
from expert.model import KnownCase
from expert.workbench.tryout import Miss, Outcome, Reason, Reasons

MOST_REASONS: Final = 8
# Where in the file an aspect is written.
_PATHS: Final = {
    "cause": ("expect", "cause"),
    "within": ("expect", "within"),
    "drive": ("expect", "drive"),
    "doubtful": ("expect", "doubtful"),
    "never": ("expect", "never"),
}
_WORDS: Final = {
    "cause": "named",
    "within": "checks asked",
    "drive": "drive verdict",
    "doubtful": "doubtful",
    "never": "must not be named",
}


def summary(found: Mapping[str, Sequence[Miss]]) -> str:
    """One line: how many cases were tried, and how many of them miss."""
    missing = sum(1 for one in found.values() if one)
    cases = "1 case" if len(found) == 1 else f"{len(found)} cases"
    return f"{cases} tried: {missing or 'none'} miss{'es' if missing < 2 else ''}."


def lines(
    name: str, case: KnownCase, outcome: Outcome, found: Sequence[Miss], places: Places
) -> Iterator[str]:
    """What one case misses, how it went, and why; nothing for a case that misses nothing."""
    if not found:
        return
    for miss in found:
        place = places.of("case", name, *_PATHS[miss.aspect])
        yield (
            f"{place}: {name}, {_WORDS[miss.aspect]}: expected {miss.expected}, found {miss.found}"
        )
    yield f"    {case.title}"
    yield f"    asked: {_told(outcome.asked)}"
    yield from _reasons(found[0].reasons, case.expect.cause)


def _told(asked: Sequence[tuple[str, tuple[str, ...]]]) -> str:
    return ", ".join(f"{check} {'+'.join(answers) or 'unknown'}" for check, answers in asked)


def _reasons(reasons: Reasons, expected: str) -> Iterator[str]:
    rival = reasons.rival or "no other"
    yield f"    {'decibans for':40} {expected} ({_chance(reasons.expected_chance)}) | " + (
        f"{rival} ({_chance(reasons.rival_chance)})"
    )
    for row in reasons.rows[:MOST_REASONS]:
        finding = f"{row.check} {'+'.join(row.answers)}"
        yield f"    {finding:40} {row.expected:+7.1f} | {_weight(row)}"


def _weight(row: Reason) -> str:
    return "" if row.rival is None else f"{row.rival:+7.1f}"


def _chance(chance: float | None) -> str:
    return "not on this car" if chance is None else f"{100.0 * chance:.0f} %"


def tryout_json(
    cases: Mapping[str, KnownCase],
    outcomes: Mapping[str, Outcome],
    found: Mapping[str, Sequence[Miss]],
    places: Places,
) -> dict[str, Any]:
    """All cases as one object."""
    return {
        "format": 1,
        "tried": len(cases),
        "missing": sum(1 for one in found.values() if one),
        "cases": [
            {
                "id": name,
                "place": str(places.of("case", name)),
                "title": case.title,
                "expected": case.expect.cause,
                **_outcome(outcomes[name]),
                "misses": [_miss(name, miss, places) for miss in found[name]],
                "reasons": _reasons_json(found[name][0].reasons) if found[name] else None,
            }
            for name, case in cases.items()
        ],
    }


def _outcome(outcome: Outcome) -> dict[str, Any]:
    return {
        "named": outcome.named,
        "asked": [{"check": check, "answers": list(answers)} for check, answers in outcome.asked],
        "drive": outcome.drive,
        "doubtful": list(outcome.doubtful),
        "first": list(outcome.first),
        "wrong": list(outcome.wrong),
    }


def _miss(name: str, miss: Miss, places: Places) -> dict[str, str]:
    return {
        "aspect": miss.aspect,
        "place": str(places.of("case", name, *_PATHS[miss.aspect])),
        "expected": miss.expected,
        "found": miss.found,
    }


def _reasons_json(reasons: Reasons) -> dict[str, Any]:
    return {
        "rival": reasons.rival,
        "expected_chance": reasons.expected_chance,
        "rival_chance": reasons.rival_chance,
        "findings": [
            {
                "check": row.check,
                "answers": list(row.answers),
                "expected_decibans": row.expected,
                "rival_decibans": row.rival,
            }
            for row in reasons.rows
        ],
    }
