"""The small rules that live in the model."""

from __future__ import annotations

import pytest

from expert.model import PROBABILITY_WORDS
from tests.small import CHECKS


def test_words_for_probabilities_are_those_of_the_published_scales() -> None:
    # S. Kent, "Words of Estimative Probability", 1964 (as quoted by a second source).
    kent = {
        "almost-certain": 0.93,
        "probable": 0.75,
        "fifty-fifty": 0.50,
        "probably-not": 0.30,
        "almost-certainly-not": 0.07,
    }
    # S. Renooij and C. Witteman, "Talking probabilities", 1999 (as quoted by a second source).
    renooij_witteman = {"fifty-fifty": 0.50, "improbable": 0.15}
    for word, share in (kent | renooij_witteman).items():
        assert PROBABILITY_WORDS[word] == share
    assert list(PROBABILITY_WORDS.values()) == sorted(PROBABILITY_WORDS.values(), reverse=True)


def test_words_for_probabilities_lie_in_the_ranges_of_climate_science() -> None:
    # Likelihood scale of the IPCC, Guidance Note for Lead Authors of the Fifth Assessment Report on
    # Consistent Treatment of Uncertainties, 2010.
    ranges = {
        "certain": (0.99, 1.0),  # virtually certain
        "almost-certain": (0.90, 1.0),  # very likely
        "probable": (0.66, 1.0),  # likely
        "fifty-fifty": (0.33, 0.66),  # about as likely as not
        "probably-not": (0.0, 0.33),  # unlikely
        "improbable": (0.0, 0.33),  # unlikely
        "almost-certainly-not": (0.0, 0.10),  # very unlikely
        "impossible": (0.0, 0.01),  # exceptionally unlikely
    }
    assert ranges.keys() == PROBABILITY_WORDS.keys()
    for word, (least, most) in ranges.items():
        assert least <= PROBABILITY_WORDS[word] <= most


@pytest.mark.parametrize(
    ("check", "sound"), [("lamp", "dark"), ("run", "on-spring"), ("red-flags", "none")]
)
def test_the_sound_answer_is_the_first_or_the_middle(check: str, sound: str) -> None:
    assert CHECKS[check].sound_answer() == sound


def test_which_checks_take_several_answers() -> None:
    several = {name for name, check in CHECKS.items() if check.takes_several()}
    assert several == {"red-flags", "hose-trace", "worked-on"}


def test_a_check_fits_a_car_that_has_its_parts() -> None:
    assert CHECKS["lamp"].fits({"turbo", "external-gate"})
    assert not CHECKS["lamp"].fits({"turbo", "internal-gate"})
    assert CHECKS["smoke"].fits(())


def test_flags_that_only_other_cars_show_are_not_offered() -> None:
    flags = CHECKS["hose-trace"]
    assert list(flags.answers_for({"hose-off"})) == ["matches", "hose-loose", "wrong-port"]
    # What no cause shows at all stays.
    assert list(flags.answers_for({"charge-leak"})) == ["matches", "wrong-port"]
    assert list(CHECKS["red-flags"].answers_for(set())) == ["none", "knock"]
    assert CHECKS["lamp"].answers_for(set()) == dict(CHECKS["lamp"].answers)
