"""How much answers say, against the arithmetic by hand."""

from __future__ import annotations

import pytest

from expert.rules.evidence import ratio, shown, told
from tests import small

CHECK = small.check("?", {"a": "a", "b": "b"}, {"hose-off": {"b": 0.9}}, healthy={"b": 0.1})


def test_the_ratio_is_that_of_the_page_on_the_weight_of_silence() -> None:
    # docs/knowledge.md: .93 against .002 among three answers, a slip of .02.
    three = small.check("?", {"a": "a", "b": "b", "c": "c"}, {}, healthy={"c": 0.002})
    sick = 0.93 + 0.07 * 0.002
    wanted = (0.98 * sick + 0.02 / 3) / (0.98 * 0.002 + 0.02 / 3)
    assert ratio(small.policy(), three, "c", 0.93) == pytest.approx(wanted)
    assert wanted == pytest.approx(106, abs=1)


def test_no_share_says_nothing() -> None:
    assert ratio(small.policy(), CHECK, "b", 0.0) == pytest.approx(1.0)
    assert told(small.policy(), CHECK, "b", 0.0) == pytest.approx(1.0)


def test_the_absence_of_a_common_answer_may_say_more_than_the_answer() -> None:
    half = small.check("?", {"a": "a", "b": "b"}, {}, healthy={"b": 0.5})
    assert ratio(small.policy(), half, "b", 0.99) < 2
    assert told(small.policy(), half, "b", 0.99) > 10


def test_what_is_shown_by_kind() -> None:
    row = {"b": 0.3, "c": 0.4}
    answers = {"a": "a", "b": "b", "c": "c"}
    assert shown(small.check("?", answers, {}), row) == pytest.approx(0.7)
    assert shown(small.check("?", answers, {}, kind="nominal"), row) == pytest.approx(0.4)
    sides = small.check("?", answers, {}, kind="two-sided", low=("b",), high=("c",))
    assert shown(sides, row) == pytest.approx(0.4)
    assert shown(sides, {}) == 0.0
