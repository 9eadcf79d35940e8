"""The report of ``gatepost knowledge calibrate``, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Final

from expert.workbench.calibrate import Calibration
from expert.workbench.learn_report import bins_json

_COLUMNS: Final = ("first", "in five", "log score", "error", "of the first", "by chance")


def lines(found: Sequence[Calibration]) -> Iterator[str]:
    """One line for each setting, what the columns mean, and the first setting in detail."""
    yield f"{found[0].cars} invented cars in each setting."
    yield f"{'cars':32}" + "".join(f"{column:>{len(column) + 3}}" for column in _COLUMNS)
    for one in found:
        values = (one.first, one.five, one.log, one.error, one.first_error, one.chance)
        cells = zip(_COLUMNS, values, strict=True)
        yield f"{one.setting.name:32}" + "".join(
            f"{value:{len(column) + 3}.4f}" for column, value in cells
        )
    yield "first, in five: share of cars of which a true cause is the likeliest, or in the first"
    yield "five. log score: of the cause to be confirmed; 0 is best. error: calibration error of"
    yield "all that is stated. of the first: that of the likeliest cause alone. by chance: what the"
    yield "latter would be if all that is stated were right."
    yield f"Stated for the likeliest cause, and true, on cars {found[0].setting.name}:"
    for inside in found[0].bins:
        yield (
            f"  {inside.low:.1f} to {inside.high:.1f}  {inside.count:6} cars"
            f"  stated {inside.stated:.3f}  true {inside.true:.3f}"
        )


def calibrate_json(found: Sequence[Calibration], seed: int) -> dict[str, Any]:
    """The same as one object."""
    return {
        "format": 1,
        "seed": seed,
        "settings": [
            {
                "name": one.setting.name,
                "shakes": one.setting.shakes,
                "faults": one.setting.faults,
                "cars": one.cars,
                "first": one.first,
                "five": one.five,
                "log": one.log,
                "error": one.error,
                "first_error": one.first_error,
                "chance": one.chance,
                "bins": bins_json(one.bins),
            }
            for one in found
        ],
    }
