"""Numbers as terms: ``expert/evidence/mail/magnitudes.py``."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.mail.magnitudes import magnitudes_of
from expert.evidence.mail.words import tokens_of


def terms(text: str) -> list[str]:
    return magnitudes_of(tokens_of(text))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        # 1 bar is 100 kPa and 14.5 psi: the International System of Units, from memory.
        ("it makes 1.1 bar", "it makes 16 psi"),
        ("it makes 110 kPa", "it makes 16 psi"),
        # 41 °F is 5 °C, from memory.
        ("at 41 ° F", "at 5 degrees"),
        ("it was minus 8", "it was -8 °C"),
        ("comes at 4000", "comes at 4200 rpm"),
        ("2 kohm", "2000 ohms"),
    ],
)
def test_the_same_size_is_the_same_term(one: str, other: str) -> None:
    assert terms(one) == terms(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("the coil has 28 ohms", "the coil has 0.3 ohms"),
        ("duty is 60 %", "duty is 8 %"),
        ("duty is 0 percent", "duty is 8 percent"),
        ("12.4 volts at the plug", "0 volts at the plug"),
        ("minus 8 degrees", "18 degrees"),
        ("at 2800 before, 4000 now", "at 2800 before, 3100 now"),
        ("18 psi at first, then 12", "12 psi at first, then 18"),
    ],
)
def test_another_size_or_order_is_another_term(one: str, other: str) -> None:
    assert terms(one) != terms(other)


def test_a_thousand_revs_more_is_a_term_whatever_the_revs() -> None:
    assert terms("used to come at 2800 rpm, now at 4000") == terms("3000 last year, 4100 rpm now")


def test_words_have_no_magnitude() -> None:
    assert terms("it comes late and hisses") == []


@given(st.text(max_size=80))
def test_no_term_of_any_text_is_a_word(text: str) -> None:
    assert all(":" in term for term in terms(text))


@given(st.floats(0.0, 5000.0), st.floats(0.0, 5000.0))
def test_a_higher_pressure_has_no_lower_term(one: float, other: float) -> None:
    low, high = sorted((one, other))
    (lower,), (higher,) = terms(f"{low:.3f} kpa"), terms(f"{high:.3f} kpa")
    assert lower <= higher
