"""By how much, how fast, and what a sensor spans: ``expert/evidence/mail/differences.py``."""

from __future__ import annotations

import pytest

from expert.evidence.mail.differences import is_difference, is_span, quantity
from expert.evidence.mail.figures import figures_of
from expert.evidence.mail.sentences import Sentence
from expert.evidence.mail.words import NUMBER
from tests.evidence.mail.understanding import sentences

DIFFERENCES = [
    "it ends up 5 psi over",
    "goes 2 or 3 psi over then drops back",
    "it runs 3 psi above what you set",
    "we lose 7 psi in the last third",
    "falls off about 4 psi towards the top",
    "adds a psi or so, two psi per gear",
    "another 1.5 psi every thousand revs",
    "an overshoot of 2 to 4 psi",
    "the needle swings with an amplitude of 0.2 bar",
    "boost wobbles 3 psi at full throttle",
    "the pressure drop over the core is 3 psi",
    "we see 5 psi across the intercooler",
    "there is 2 psi less behind the cooler",
    "the two gauges are 3 psi apart",
    "with the engine off the sensor is 6 kPa out",
    "it stays put, off by less than 4 kPa",
    "it is 3 psi down on last year",
    "it's down 3 psi",
    "0.2 bar of difference",
    "waves of 3 psi",
    "half second swings, 3 psi each way",
    "3 psi either side of it",
    "always within 2 psi of what it should be",
    "steady, plus or minus 2 psi",
    "overshoots on tip in. perhaps 4 psi, for a moment",
]
LEVELS = [
    "holds 14 psi above 4000 rpm",
    "140 kPa over atmospheric",
    "it drops to 6 psi",
    "it overshoots to 24 psi",
    "overshoots 22 psi",
    "falls from 18 psi",
    "10 psi more or less",
    "it makes 12 psi higher up the revs",
    "1.3 bar down to",
    "7 psi out of the spring",
    "14 psi over a long pull",
    "boost is down to 8 psi",
    "surges 20 psi",
    "fluctuates between 4 psi",
    "it hits 20 psi every time",
    "rises 7 psi at 3000",
    "12 psi over the whole rev range",
    "the 15 psi map",
]
SPANS = ["a 3 bar sensor", "a 2.5 bar absolute map sensor", "the sensor is good for 3 bar"]


def _last_pressure(text: str) -> tuple[Sentence, int, Sentence | None]:
    split = sentences(text)
    places = [k for k, one in enumerate(split[-1].items) if one.stem == NUMBER and one.unit]
    return split[-1], places[-1], split[-2] if len(split) > 1 else None


@pytest.mark.parametrize("text", DIFFERENCES)
def test_a_difference_is_no_boost(text: str) -> None:
    sentence, place, earlier = _last_pressure(text)
    assert is_difference(sentence, place, 20.0, earlier)
    assert figures_of(sentences(text)) == []


@pytest.mark.parametrize("text", LEVELS)
def test_a_level_is_no_difference(text: str) -> None:
    (one,) = [figure for figure in figures_of(sentences(text)) if figure.unit]
    sentence, place, earlier = _last_pressure(text)
    size = one.kpa if one.kpa is not None else one.value
    assert not is_difference(sentence, place, size, earlier)


@pytest.mark.parametrize("text", SPANS)
def test_what_a_sensor_can_read_is_no_boost(text: str) -> None:
    sentence, place, _ = _last_pressure(text)
    assert is_span(sentence, place)
    assert figures_of(sentences(text)) == []


def test_a_reading_of_a_sensor_is_a_boost() -> None:
    sentence, place, _ = _last_pressure("at the top it shows 1.5 bar, the map sensor agrees")
    assert not is_span(sentence, place)


def test_a_quantity_of_two_numbers() -> None:
    (sentence,) = sentences("about 3 or 4 psi")
    second = [k for k, one in enumerate(sentence.items) if one.stem == NUMBER][1]
    first, last = quantity(sentence, second)
    assert [token.text for token in sentence.tokens[first : last + 1]] == ["3", "or", "4", "psi"]
