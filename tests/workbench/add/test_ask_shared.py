"""What the questions share."""

from __future__ import annotations

import pytest

from expert.workbench.add.ask_shared import caution_texts, in_order, left, number, unsound
from tests import small

RUN = small.CHECKS["run"]
SMOKE = small.CHECKS["smoke"]
FLAGS = small.CHECKS["red-flags"]


def test_the_number_of_a_probability() -> None:
    assert number("probable") == 0.75
    assert number(".05") == 0.05
    assert number("0") == 0.0


def test_what_is_left_of_a_row() -> None:
    assert left(SMOKE, {"wisp": ".3"}, "plume") == pytest.approx(0.7)
    # Each side of a two-sided check, and each flag of a nominal one, is by itself.
    assert left(RUN, {"below": ".9"}, "above") == 1.0
    assert left(RUN, {"rising": ".4"}, "above") == pytest.approx(0.6)
    assert left(FLAGS, {"knock": "certain"}, "metal-noise") == 1.0


def test_answers_stand_in_the_order_of_the_check() -> None:
    assert in_order(SMOKE, ["plume", "nowhere"]) == ["nowhere", "plume"]
    assert list(unsound(RUN)) == ["below", "rising", "above"]


def test_cautions_are_told_by_their_first_sentence() -> None:
    assert caution_texts(small.knowledge())["hot"] == "Hot parts burn"
