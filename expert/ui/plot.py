"""A plot as lines of characters: a curve with its levels over a horizontal axis. Pure."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from expert.ui.protocol import Plot, Points

HEIGHT: Final = 12
NARROWEST: Final = 12
WIDEST: Final = 100
_STRIP: Final = " ▁▂▃▄▅▆▇█"
_DIGITS: Final = "0123456789"
_STEPS: Final = (1.0, 2.0, 5.0, 10.0)
# So that a curve on the edge of the picture is still inside it.
_MARGIN: Final = 0.02
_COLUMNS_A_TICK: Final = 9


def plot_lines(plot: Plot, width: int, unicode: bool) -> list[str]:
    """The lines of a plot that fit ``width`` cells; none for a plot without points.

    The curve has one character, the target and the level have others; in a cell of several, the
    curve is shown. The strip is a row of its own: one character a column, by tenths of its range.
    """
    points = [*plot.curve, *plot.target]
    if not plot.curve:
        return []
    low_x, high_x = _ends([x for x, _ in points])
    values = [y for _, y in points] + ([plot.level] if plot.level is not None else [])
    ticks = _ticks(min(0.0, *values), max(values))
    low_y, high_y = ticks[0], ticks[-1]
    labels = {_row(tick, low_y, high_y): f"{tick:.0f}" for tick in ticks}
    margin = max(len(label) for label in labels.values()) + 1
    columns = max(min(width, WIDEST) - margin - 1, NARROWEST)
    curve, dash, dots, bar = "•─┄│" if unicode else "*-.|"

    grid = [[" "] * columns for _ in range(HEIGHT)]
    if plot.level is not None:
        grid[_row(plot.level, low_y, high_y)] = [dots] * columns
    for drawn, ink in ((plot.target, dash), (plot.curve, curve)):
        for column, rows in _drawn(drawn, columns, (low_x, high_x), (low_y, high_y)):
            for row in rows:
                grid[row][column] = ink
    lines = [
        f"{labels.get(row, ''):>{margin}}{bar}{''.join(cells)}".rstrip()
        for row, cells in enumerate(grid)
    ]
    lines.append(f"{'':>{margin}}{_axis(low_x, high_x, columns, unicode)}")
    if plot.strip:
        lines.append(
            f"{'':>{margin}} {_strip(plot.strip, columns, low_x, high_x, unicode)}".rstrip()
        )
    lines += [f"{'':>{margin}} {row}" for row in _marks(plot, columns, low_x, high_x)]
    lines += [_numbered(low_x, high_x, margin, columns)]
    return lines


def key(plot: Plot, unicode: bool) -> str:
    """What the characters of the plot stand for, in a sentence."""
    curve, dash, dots = "•─┄" if unicode else "*-."
    parts = [f"{curve} {plot.curve_name}"]
    if plot.target:
        parts.append(f"{dash} {plot.target_name}")
    if plot.level is not None:
        parts.append(f"{dots} {plot.level_name} ({plot.level:.0f})")
    text = f"{', '.join(parts)} in {plot.unit}, over {plot.x_name}"
    if plot.strip:
        how = "a bar each" if unicode else "0 to 9 for 0 to 90 % and more"
        text += f"; below, {plot.strip_name} ({how})"
    return f"{text}."


def _ends(values: Sequence[float]) -> tuple[float, float]:
    low, high = min(values), max(values)
    return (low, high) if high > low else (low - 0.5, high + 0.5)


def _ticks(low: float, high: float, most: int = 4) -> list[float]:
    """Round numbers that hold a range between them, about ``most`` steps apart."""
    gap = max(high - low, 1.0) * (1.0 + _MARGIN) / most
    power = 10.0 ** math.floor(math.log10(gap))
    step = next(power * one for one in _STEPS if power * one >= gap)
    first = math.floor(low / step)
    last = max(math.ceil(high / step), first + 1)
    return [step * number for number in range(first, last + 1)]


def _row(value: float, low: float, high: float) -> int:
    """The line of a value, 0 on top."""
    share = (value - low) / (high - low)
    return min(max(round((1.0 - share) * (HEIGHT - 1)), 0), HEIGHT - 1)


def _column(x: float, low: float, high: float, columns: int) -> int:
    return min(max(int((x - low) / (high - low) * columns), 0), columns - 1)


def _drawn(
    points: Points, columns: int, x_range: tuple[float, float], y_range: tuple[float, float]
) -> list[tuple[int, range]]:
    """The rows that a curve takes in each column: from its lowest to its highest value there.

    Columns between two neighbouring points are filled along the line that joins them.
    """
    spans: dict[int, tuple[float, float]] = {}

    def touch(column: int, value: float) -> None:
        low, high = spans.get(column, (value, value))
        spans[column] = (min(low, value), max(high, value))

    before: tuple[int, float] | None = None
    for x, y in points:
        column = _column(x, *x_range, columns)
        if before is not None:
            old, value = before
            step = 1 if column >= old else -1
            for between in range(old + step, column, step):
                touch(between, value + (y - value) * (between - old) / (column - old))
        touch(column, y)
        before = column, y
    return [
        (column, range(_row(high, *y_range), _row(low, *y_range) + 1))
        for column, (low, high) in spans.items()
    ]


def _strip(points: Points, columns: int, low: float, high: float, unicode: bool) -> str:
    sums: dict[int, list[float]] = {}
    for x, y in points:
        sums.setdefault(_column(x, low, high, columns), []).append(y)
    inks = _STRIP if unicode else _DIGITS
    row, last = [], " "
    for column in range(columns):
        values = sums.get(column)
        if values:
            share = min(max(sum(values) / len(values) / 100.0, 0.0), 1.0)
            last = inks[min(int(share * len(inks)), len(inks) - 1)]
        row.append(last)
    return "".join(row)


def _marks(plot: Plot, columns: int, low: float, high: float) -> list[str]:
    """Rows of letters under the stretches that show something; those that overlap go below."""
    rows: list[list[str]] = []
    for letter, from_x, to_x in plot.marks:
        first = _column(from_x, low, high, columns)
        last = _column(to_x, low, high, columns)
        free = next((row for row in rows if set(row[first : last + 1]) == {" "}), None)
        if free is None:
            free = [" "] * columns
            rows.append(free)
        free[first : last + 1] = letter * (last + 1 - first)
    return ["".join(row).rstrip() for row in rows]


def _axis(low: float, high: float, columns: int, unicode: bool) -> str:
    corner, line, tick = "└─┬" if unicode else "+-+"
    row = [line] * columns
    for value in _x_ticks(low, high, columns):
        row[_column(value, low, high, columns)] = tick
    return corner + "".join(row)


def _x_ticks(low: float, high: float, columns: int) -> list[float]:
    most = max(columns // _COLUMNS_A_TICK, 2)
    return [tick for tick in _ticks(low, high, most) if low <= tick <= high]


def _numbered(low: float, high: float, margin: int, columns: int) -> str:
    """The numbers of the horizontal axis under their ticks, those that have room."""
    row = [" "] * (margin + 1 + columns)
    free = 0
    for value in _x_ticks(low, high, columns):
        text = f"{value:g}"
        middle = margin + 1 + _column(value, low, high, columns)
        start = min(max(middle - len(text) // 2, 0), len(row) - len(text))
        if start >= free:
            row[start : start + len(text)] = text
            free = start + len(text) + 1
    return "".join(row).rstrip()
