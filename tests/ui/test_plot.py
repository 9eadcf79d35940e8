from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from expert.ui.plot import HEIGHT, key, plot_lines
from expert.ui.protocol import Plot

LINE = Plot(
    title="a pull",
    unit="kPa",
    x_name="rpm",
    curve_name="boost",
    curve=tuple((x, x / 50.0) for x in (2000.0, 4000.0, 6000.0)),
)


def column_of(lines: list[str], row: int, sign: str) -> list[int]:
    return [k for k, character in enumerate(lines[row]) if character == sign]


def test_a_rising_line_goes_from_the_lower_left_to_the_upper_right() -> None:
    lines = plot_lines(LINE, 60, unicode=False)
    rows = [row for row in range(HEIGHT) if "*" in lines[row]]
    firsts = [min(column_of(lines, row, "*")) for row in rows]
    assert len(rows) > HEIGHT / 3
    assert firsts == sorted(firsts, reverse=True)


def test_every_column_between_two_points_is_filled() -> None:
    lines = plot_lines(LINE, 60, unicode=False)
    used = {column for row in range(HEIGHT) for column in column_of(lines, row, "*")}
    assert used == set(range(min(used), max(used) + 1))
    assert max(used) == 59


def test_scale_names_round_numbers_that_hold_all_values() -> None:
    lines = plot_lines(LINE, 60, unicode=False)
    numbers = [float(line.split("|")[0]) for line in lines[:HEIGHT] if line.split("|")[0].strip()]
    assert numbers[0] >= 120.0 and numbers[-1] <= 0.0
    steps = {round(a - b, 6) for a, b in pairwise(numbers)}
    assert len(steps) == 1


def test_level_target_strip_and_marks_are_drawn_and_named() -> None:
    full = replace(
        LINE,
        target_name="target",
        target=((2000.0, 150.0), (6000.0, 150.0)),
        level_name="spring",
        level=30.0,
        strip_name="duty",
        strip=((2000.0, 0.0), (4100.0, 55.0), (5900.0, 100.0)),
        marks=(("a", 2000.0, 4000.0), ("b", 3000.0, 6000.0)),
    )
    lines = plot_lines(full, 60, unicode=False)
    assert any(line.count("-") > 40 for line in lines[:HEIGHT])
    assert any(line.count(".") > 30 for line in lines[:HEIGHT])
    strip = lines[HEIGHT + 1].strip()
    assert strip[0] == "0" and "5" in strip and strip[-1] == "9"
    # They overlap, so each has a row of its own.
    assert set(lines[HEIGHT + 2].strip()) == {"a"} and set(lines[HEIGHT + 3].strip()) == {"b"}
    assert key(full, unicode=False) == (
        "* boost, - target, . spring (30) in kPa, over rpm; "
        "below, duty (0 to 9 for 0 to 90 % and more)."
    )


def test_nothing_is_drawn_without_points() -> None:
    assert plot_lines(replace(LINE, curve=()), 60, unicode=False) == []


NUMBERS = st.floats(-1e6, 1e6, allow_nan=False)


@given(
    curve=st.lists(st.tuples(NUMBERS, NUMBERS), min_size=1, max_size=30),
    target=st.lists(st.tuples(NUMBERS, NUMBERS), max_size=5),
    level=st.none() | NUMBERS,
    strip=st.lists(st.tuples(NUMBERS, NUMBERS), max_size=5),
    marks=st.lists(st.tuples(st.sampled_from("ab"), NUMBERS, NUMBERS), max_size=3),
    width=st.integers(1, 200),
    unicode=st.booleans(),
)
def test_any_plot_fits_its_window(
    curve: list[tuple[float, float]],
    target: list[tuple[float, float]],
    level: float | None,
    strip: list[tuple[float, float]],
    marks: list[tuple[str, float, float]],
    width: int,
    unicode: bool,
) -> None:
    plot = replace(
        LINE,
        curve=tuple(curve),
        target=tuple(target),
        level=level,
        strip=tuple(strip),
        marks=tuple((letter, min(a, b), max(a, b)) for letter, a, b in marks),
    )
    lines = plot_lines(plot, width, unicode)
    ink = "•" if unicode else "*"
    assert any(ink in line for line in lines[:HEIGHT])
    # The scale takes up to nine cells, the picture at least twelve.
    assert max(len(line) for line in lines) <= max(width, 24)
    assert all(math.isfinite(len(line)) for line in lines)
    assert unicode or all(line.isascii() for line in lines)
