"""What drawings say."""

from __future__ import annotations

import pytest

from expert.case.state import State
from expert.export import wording
from expert.export.cars import cars_for
from expert.export.outline import CheckSpot, Suspicion
from tests.small import knowledge


def spot(check: str, *prepare: str) -> CheckSpot:
    return CheckSpot(check, prepare, False, False, False, False, ())


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [
        (0.62, 0.62, "62 %"),
        (0.61, 0.63, "62 %"),
        (0.40, 0.62, "40 to 62 %"),
        (0.0, 0.004, "under 1 %"),
        (0.0, 0.12, "0 to 12 %"),
        (0.995, 0.999, "over 99 %"),
        (0.0, 0.0, "under 1 %"),
        (1.0, 1.0, "over 99 %"),
    ],
)
def test_chances_in_words(low: float, high: float, said: str) -> None:
    assert wording.chance(Suspicion("x", low, high)) == said


def test_minutes_without_needless_digits() -> None:
    assert wording.minutes(5.0) == "5 min"
    assert wording.minutes(2.5) == "2.5 min"


def test_work_to_do_first_with_its_minutes() -> None:
    assert wording.prepare(knowledge(), spot("lamp", "gate-off")) == [
        "first: Take the gate off (45 min)"
    ]
    assert wording.prepare(knowledge(), spot("lamp")) == []


def test_cautions_by_signal_word_the_gravest_first() -> None:
    # ANSI Z535.6: DANGER, WARNING, CAUTION, NOTICE, in falling gravity.
    assert wording.SIGNALS == ("DANGER", "WARNING", "CAUTION", "NOTICE")
    found = wording.cautions(knowledge(), spot("run", "gate-off"))
    assert found == [("DANGER", "road"), ("WARNING", "hot"), ("CAUTION", "heavy")]
    assert wording.caution_texts(knowledge(), spot("run"))[0] == "DANGER: Not on a public road."


def test_a_legend_explains_what_is_there() -> None:
    assert "Thick line" in wording.legend(case=True, in_text=False)[0]
    assert not any("hick" in line for line in wording.legend(case=False, in_text=False))
    assert wording.legend(case=True, in_text=True)[0].startswith(">>")
    assert not any("line:" in line for line in wording.legend(case=False, in_text=True))


@pytest.mark.parametrize(
    ("named", "said"),
    [
        ({}, "any setup · any bypass"),
        ({"setup": "outer"}, "Outer gate · any bypass"),
        ({"setup": "either", "gate": "internal"}, "Either gate · internal gate · any bypass"),
        ({"setup": "outer", "bypass": "soft"}, "Outer gate · Soft"),
        ({"setup": "outer", "bypass": "none"}, "Outer gate · no bypass valve"),
    ],
)
def test_the_car_in_words(named: dict[str, str], said: str) -> None:
    assert wording.car_words(knowledge(), cars_for(knowledge(), **named)) == said


def test_a_case_that_never_told_its_bypass() -> None:
    assert wording.car_words(knowledge(), [State(setup="inner")]) == "Inner gate"
    assert wording.car_words(knowledge(), []) == "no car"
