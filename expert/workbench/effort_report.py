"""The report of ``gatepost knowledge effort``, as text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from expert.loading.places import Places
from expert.workbench.effort import Effort, Row

WORST = 3
_COLUMNS = f"{'symptom':16}{'setup':17}{'tree':>17}{'value':>17}{'ratio':>7}{'bound':>7}\n"
_UNITS = f"{'':16}{'':17}{'min  checks  ok':>17}{'min  checks  ok':>17}{'':>7}{'checks':>7}\n"


def header(cars: int) -> str:
    """The head of the table."""
    return f"Means over {cars} invented cars for each tree.\n{_COLUMNS}{_UNITS}"


def footer() -> str:
    """What the columns mean."""
    return (
        "tree: following the tree; value: choosing every check by value. ok: share of cars whose\n"
        "cause was named; the others go to a workshop, which is counted in their minutes.\n"
        "ratio: minutes by the tree for each minute by value. bound: no way of asking takes fewer\n"
        "checks on average (entropy). Under a row: where the tree loses most, in minutes a car.\n"
    )


def lines(row: Row, places: Places) -> list[str]:
    """One row of the table, and the branches that waste most."""
    text = (
        f"{row.symptom:16}{_car(row):17}{_effort(row.tree)}{_effort(row.value)}"
        f"{row.ratio:7.2f}{row.bound_checks:7.1f}"
    )
    worst = [
        f"    {places.of('symptom', row.symptom, *path)}  {minutes:.1f}"
        for path, minutes in list(row.waste.items())[:WORST]
        if minutes >= 1.0
    ]
    return [text, *worst]


def _car(row: Row) -> str:
    """The setup, and a letter for the gate: i is internal, e external."""
    return f"{row.setup} {row.gate[0]}" if row.gate else row.setup


def _effort(effort: Effort) -> str:
    return f"{effort.minutes:6.0f}{effort.checks:6.1f}{effort.found:5.2f}"


def effort_json(rows: Sequence[Row], places: Places) -> dict[str, Any]:
    """The same as one object."""
    return {
        "format": 1,
        "rows": [
            {
                "symptom": row.symptom,
                "setup": row.setup,
                "gate": row.gate,
                "tree": _numbers(row.tree),
                "value": _numbers(row.value),
                "ratio": row.ratio,
                "bound_checks": row.bound_checks,
                "waste": [
                    {"place": str(places.of("symptom", row.symptom, *path)), "minutes": minutes}
                    for path, minutes in row.waste.items()
                ],
            }
            for row in rows
        ],
    }


def _numbers(effort: Effort) -> dict[str, float]:
    return {"minutes": effort.minutes, "checks": effort.checks, "found": effort.found}
