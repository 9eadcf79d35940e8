"""The report of ``gatepost knowledge gaps``, as text and as JSON."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Any, Final

from expert.rules.ids import GAPS
from expert.workbench.gaps import Gap

_HEADINGS: Final = dict(
    zip(
        GAPS,
        (
            "Causes that no check tells apart",
            "Causes that are never likely enough to be named",
            "Checks that are never chosen",
            "Symptoms that share all their causes",
            "Answers that no check states, though a cause implies them",
        ),
        strict=True,
    )
)
_WIDTH: Final = 46


def gap_lines(gaps: Sequence[Gap], every: Collection[str]) -> list[str]:
    """A table by kind of gap; ``every`` are the names of all cars that were looked at."""
    lines = []
    for kind, heading in _HEADINGS.items():
        found = [gap for gap in gaps if gap.gap == kind]
        if found:
            lines += ["", f"{heading} [{kind}]"]
            lines += [line for gap in found for line in _lines(gap, every)]
    unexplained = sum(gap.excuse is None for gap in gaps)
    lines += ["", _summary(len(gaps), unexplained)]
    return lines[1:]


def _summary(count: int, unexplained: int) -> str:
    if not count:
        return "No gaps."
    gaps = "1 gap" if count == 1 else f"{count} gaps"
    return f"{gaps}, {unexplained} of them not explained in the files."


def _lines(gap: Gap, every: Collection[str]) -> list[str]:
    head = f"  {' / '.join(gap.entries)}"
    lines = [f"{head:{_WIDTH}}  {_value(gap)}"]
    if gap.cars:
        cars = "every setup" if set(gap.cars) == set(every) else ", ".join(gap.cars)
        lines.append(f"      on {cars}")
    if gap.excuse is not None:
        lines.append(f"      explained: {gap.excuse}")
    return lines


def _value(gap: Gap) -> str:
    match gap.gap:
        case "no-telling-apart":
            return f"best {gap.best}, {gap.value:.1f} dB"
        case "never-found":
            return f"at most {gap.value:.2f}"
        case "never-chosen":
            return f"tells {gap.value:.1f} dB at most"
        case "same-symptoms":
            return f"shares differ by {gap.value:.2f} at most"
        case _:
            return f"see {gap.best}"


def gaps_json(gaps: Sequence[Gap]) -> dict[str, Any]:
    """The same as one object."""
    return {
        "format": 1,
        "gaps": [
            {
                "gap": gap.gap,
                "kind": gap.kind,
                "ids": list(gap.entries),
                "best": gap.best,
                "value": round(gap.value, 4),
                "cars": list(gap.cars),
                "excuse": gap.excuse,
            }
            for gap in gaps
        ],
        "unexplained": sum(gap.excuse is None for gap in gaps),
    }
