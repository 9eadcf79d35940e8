"""What the command line says about a car, as events; every mistake is one clear message."""

from __future__ import annotations

import pytest

from expert.case.events import Answered, Described
from expert.case.prefill import events_from
from expert.errors import UsageError
from tests.small import knowledge


def said(**changes: object) -> list[object]:
    options = {
        "setup": "outer",
        "gate": None,
        "bypass": None,
        "symptoms": ["lazy"],
        "spring": None,
        "target": None,
        "answers": [],
    }
    return list(events_from(knowledge(), **(options | changes)))  # type: ignore[arg-type]


def test_the_car_then_the_answers_in_order() -> None:
    assert said(
        bypass="none",
        symptoms=["lazy", "overboost"],
        spring="7psi",
        target="1 bar",
        answers=["lamp=ring@mail", "smoke=unknown"],
    ) == [
        Described("setup", "outer"),
        Described("bypass", "none"),
        Described("symptom", "lazy"),
        Described("symptom", "overboost"),
        # 7 psi in kPa by the factor of NIST SP 811.
        Described("spring_kpa", pytest.approx(48.2633, abs=1e-4)),  # type: ignore[arg-type]
        Described("target_kpa", 100.0),
        Answered("lamp", ("ring",), "mail"),
        Answered("smoke", (), "asked"),
    ]


def test_a_pressure_may_be_unknown() -> None:
    assert said(spring="unknown")[-1] == Described("spring_kpa", None)


def test_several_flags_of_one_check_are_one_answer() -> None:
    answers = ["red-flags=knock", "red-flags=metal-noise", "red-flags=knock"]
    assert said(answers=answers)[-1] == Answered("red-flags", ("knock", "metal-noise"))
    assert said(answers=["worked-on=gate", "worked-on=hoses"])[-1] == Answered(
        "worked-on", ("gate", "hoses")
    )


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"setup": "outter"}, "no setup 'outter'. Did you mean outer?"),
        ({"setup": "either"}, "needs its gate named: --gate internal or external"),
        ({"gate": "internal"}, "has no internal gate"),
        ({"gate": "sideways"}, "no gate 'sideways'. Known: internal, external"),
        ({"bypass": "hard"}, "no bypass 'hard'"),
        ({"symptoms": ["lasy"]}, "no symptom 'lasy'. Did you mean lazy?"),
        ({"spring": "7"}, "--spring '7': The unit is missing"),
        ({"spring": "-3 psi"}, "from 10 to 400 kPa"),
        ({"spring": "0 kPa"}, "from 10 to 400 kPa"),
        ({"spring": "690 kPa"}, "from 10 to 400 kPa"),
        ({"target": "9000 kPa"}, "--target '9000 kPa': expected a gauge pressure"),
        ({"answers": ["lamp"]}, "'lamp' is no answer; write CHECK=ANSWER"),
        ({"answers": ["lamp="]}, "is no answer"),
        ({"answers": ["lmap=ring"]}, "no check 'lmap'. Did you mean lamp?"),
        ({"answers": ["lamp=rign"]}, "no answer to lamp 'rign'. Did you mean ring?"),
        ({"answers": ["lamp=ring@dream"]}, "'dream' is no origin"),
        ({"answers": ["flap=stuck"]}, "does not fit this setup: it lacks internal-gate"),
        ({"answers": ["lamp=ring", "lamp=dark"]}, "takes one answer; found ring, dark"),
        ({"answers": ["red-flags=none", "red-flags=knock"]}, "cannot be none and something else"),
    ],
)
def test_a_mistake_is_one_clear_message(changes: dict[str, object], message: str) -> None:
    with pytest.raises(UsageError, match=message):
        said(**changes)


def test_hostile_words_are_shown_harmless() -> None:
    with pytest.raises(UsageError) as caught:
        said(setup="\x1b[31mred\x07" + "x" * 500)
    assert "\x1b" not in str(caught.value)
    assert len(str(caught.value)) < 200
