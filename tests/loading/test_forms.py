"""The forms of texts: ``expert/loading/forms.py``."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.loading import forms
from expert.loading.forms import MisformedError
from expert.model import PROBABILITY_WORDS


@given(st.decimals(allow_nan=False, allow_infinity=False, min_value=-(10**9), max_value=10**9))
def test_decimal_numbers_are_read_as_python_reads_them(value: Decimal) -> None:
    # Source: Python's decimal module and its own reading of numbers.
    assert forms.number(f"{value:f}") == float(value)


@pytest.mark.parametrize("text", [".3", "0.3", "3", "3.", "+3", "-3", "1e3", "1.5E-3", "007"])
def test_accepted_numbers(text: str) -> None:
    assert forms.number(text) == float(text)


@pytest.mark.parametrize(
    "text",
    [
        "",
        " 3",
        "3 ",
        "1_000",
        "1,5",
        "0x10",
        "1:30",
        ".",
        "-",
        "e5",
        "nan",
        "inf",
        ".inf",
        "٣",
        "½",
        "1e999",
        "9" * 400,
        "3 kPa",
    ],
)
def test_refused_numbers(text: str) -> None:
    with pytest.raises(MisformedError):
        forms.number(text)


def test_the_range_of_numbers() -> None:
    assert forms.positive("0.1") == 0.1
    assert forms.nonnegative("0") == 0
    for text in ("0", "-0.0", "-1"):
        with pytest.raises(MisformedError, match=r"^expected a number over 0$"):
            forms.positive(text)
    with pytest.raises(MisformedError, match=r"^expected a number of 0 or more$"):
        forms.nonnegative("-0.1")


@pytest.mark.parametrize(
    ("word", "value"),
    [
        # Kent 1964 and Renooij & Witteman 1999, as the model states them; from memory.
        ("almost-certain", 0.93),
        ("probable", 0.75),
        ("fifty-fifty", 0.5),
        ("probably-not", 0.3),
        ("improbable", 0.15),
        ("almost-certainly-not", 0.07),
    ],
)
def test_words_for_probabilities(word: str, value: float) -> None:
    assert forms.probability(word) == value


@given(st.floats(0, 1))
def test_probabilities_as_numbers(value: float) -> None:
    assert math.isclose(forms.probability(f"{value:.17f}"), value, abs_tol=1e-16)


@pytest.mark.parametrize("text", ["1.0000001", "-0.001", "2", "1e999", "-1e999"])
def test_probabilities_out_of_range(text: str) -> None:
    with pytest.raises(MisformedError, match=r"^expected a probability from 0 to 1$"):
        forms.probability(text)


def test_a_misspelt_probability() -> None:
    with pytest.raises(MisformedError, match=r"did you mean 'probable'\?$"):
        forms.probability("probabel")
    with pytest.raises(MisformedError) as caught:
        forms.probability("50%")
    assert all(word in str(caught.value) for word in PROBABILITY_WORDS)


@pytest.mark.parametrize("text", ["a", "a1", "1", "seat-ring-missing", "off-3-to-5", "x" * 60])
def test_ids(text: str) -> None:
    assert forms.identifier(text) == text


@pytest.mark.parametrize(
    "text",
    [
        "",
        "A",
        "a_b",
        "-a",
        "a-",
        "a--b",
        "a b",
        "ä",
        "a.b",
        "a:b",
        "a\n",
        "x" * 61,
        "٣",
        "otherwise",
        "unknown",
    ],
)
def test_what_is_no_id(text: str) -> None:
    with pytest.raises(MisformedError):
        forms.identifier(text)


def test_ids_of_causes() -> None:
    assert forms.cause_id("as-designed:base-map") == "as-designed:base-map"
    assert forms.cause_id("seat-ring-missing") == "seat-ring-missing"
    for text in ("as-designed:", "as-built:x", "as-designed:as-designed:x", "as-designed:X"):
        with pytest.raises(MisformedError):
            forms.cause_id(text)


def test_ports() -> None:
    assert forms.port("external-gate.spare-lower") == "external-gate.spare-lower"
    for text in ("gate", "gate.", ".upper", "gate.upper.left", "Gate.upper", "gate. upper"):
        with pytest.raises(MisformedError, match=r"^expected a port, written part\.port$"):
            forms.port(text)


PHRASES = [
    *("won't build/make boost", "hits N ... then settles", "P0299", "0 duty"),
    "boost + late/low",
]
NO_PHRASES = [
    *("", "no, boost", "... boost", "boost ...", "a//b", "+ a", "a + b c"),
    "a b c d e f g h i j k l m",
]


def test_phrases() -> None:
    for text in PHRASES:
        assert forms.phrase(f"  {text} ") == text
    for text in NO_PHRASES:
        with pytest.raises(MisformedError):
            forms.phrase(text)


def test_prose() -> None:
    assert forms.prose("  A text.\n") == "A text."
    for text in ("", " ", "\n"):
        with pytest.raises(MisformedError, match=r"^nothing is written here"):
            forms.prose(text)
    with pytest.raises(MisformedError, match=r"^expected one paragraph"):
        forms.prose("One.\n\nTwo.")
    with pytest.raises(MisformedError, match=r"^nothing is written here"):
        forms.plain("")


@given(st.text())
def test_any_text_has_the_form_or_is_misformed(text: str) -> None:
    for form in (*forms.FORMS.values(), forms.cause_id, forms.plain):
        try:
            value = form(text)
        except MisformedError as problem:
            assert str(problem)
        else:
            assert value == value  # not a NaN


def test_how_often_a_cause_is_seen_is_a_word_or_a_weight() -> None:
    assert [forms.weight(text) for text in ("common", "rare", "4.5", "2")] == [
        "common",
        "rare",
        4.5,
        2.0,
    ]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("0", "expected a number over 0"),
        ("-1", "expected a number over 0"),
        ("comon", "did you mean 'common'"),
        ("", "expected one of common, occasional, rare, or a number over 0"),
    ],
)
def test_other_weights_are_refused(text: str, message: str) -> None:
    with pytest.raises(MisformedError, match=message):
        forms.weight(text)


@pytest.mark.parametrize(
    ("text", "name"),
    [("Boost", "Boost"), ("  p_intake  [1] ", "p_intake [1]"), ("λ", "λ"), ("x" * 80, "x" * 80)],
)
def test_names_of_columns(text: str, name: str) -> None:
    assert forms.name(text) == name


@pytest.mark.parametrize("text", ["", "  ", "12", "[-]", "x" * 81])
def test_what_names_no_column(text: str) -> None:
    with pytest.raises(MisformedError, match=r"^expected the name of a column"):
        forms.name(text)
