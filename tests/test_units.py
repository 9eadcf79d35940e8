"""Pressures as people type them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.errors import UsageError
from expert.units import (
    KPA_PER,
    ReadingError,
    UnitMissingError,
    looks_like_reading,
    parse_kpa,
    parse_percent,
    shown_kpa,
)

# The exact definitions behind the rounded factors: the pound and the inch of the international
# yard and pound agreement (1959), standard gravity (3rd CGPM, 1901), and the conventional density
# of mercury, 13 595.1 kg/m3 (NIST SP 811, appendix B.8, note on conventional mercury columns).
POUND_KG, INCH_M, GRAVITY, MERCURY = 0.45359237, 0.0254, 9.80665, 13595.1


def test_factors_agree_with_the_definitions() -> None:
    assert KPA_PER["psi"] == pytest.approx(POUND_KG * GRAVITY / INCH_M**2 / 1000.0, rel=1e-6)
    assert KPA_PER["inHg"] == pytest.approx(MERCURY * GRAVITY * INCH_M / 1000.0, rel=1e-6)
    # A kilogram-force on a square centimetre, by standard gravity.
    assert KPA_PER["kg/cm2"] == pytest.approx(GRAVITY * 10.0, rel=1e-9)
    # The bar is 100 kPa exactly (SI brochure, 9th edition, table of other non-SI units).
    assert KPA_PER["bar"] == 100.0
    assert KPA_PER["mbar"] == KPA_PER["hPa"] == 0.1


@pytest.mark.parametrize(
    ("text", "kpa"),
    [
        # Rounded pairs from common practice; the factor above is what they are checked with.
        ("7 psi", 48.0),
        ("12 psi", 83.0),
        ("14psi", 97.0),
        ("20 PSI", 138.0),
    ],
)
def test_usual_pairs(text: str, kpa: float) -> None:
    assert round(parse_kpa(text)) == kpa


@pytest.mark.parametrize(
    ("text", "kpa"),
    [
        ("80 kPa", 80.0),
        ("80kpa", 80.0),
        ("0.8bar", 80.0),
        ("0,8 bar", 80.0),
        (".8 bar", 80.0),
        ("800 mbar", 80.0),
        ("800 hPa", 80.0),
        ("0.8 bar gauge", 80.0),
        ("10 psig", 10 * KPA_PER["psi"]),
        ("10 lb", 10 * KPA_PER["psi"]),
        ("18lbs", 18 * KPA_PER["psi"]),
        ("-20 kPa", -20.0),
        ("\N{MINUS SIGN}20 kPa", -20.0),
        ("20 inHg", 20 * KPA_PER["inHg"]),
        ("0.9 kg/cm2", 0.9 * KPA_PER["kg/cm2"]),
        ("  12   psi. ", 12 * KPA_PER["psi"]),
    ],
)
def test_spellings(text: str, kpa: float) -> None:
    assert parse_kpa(text) == pytest.approx(kpa, rel=1e-12)


@pytest.mark.parametrize("text", ["12", "0.8", "12 gauge", "-3"])
def test_a_bare_number_asks_for_its_unit(text: str) -> None:
    with pytest.raises(UnitMissingError, match="unit is missing"):
        parse_kpa(text)


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("240 kPa absolute", "absolute"),
        ("240 abs", "absolute"),
        ("34 psia", "absolute"),
        ("1,000 kPa", "thousands"),
        ("12 feet", "unit"),
        ("12 psi or so", "unit"),
        ("psi", "no reading"),
        ("", "no reading"),
        ("nan psi", "no reading"),
        ("1e3 kPa", "unit"),
        ("99999999999 kPa", "unit"),
        ("--3 psi", "no reading"),
    ],
)
def test_refused_with_a_hint(text: str, hint: str) -> None:
    with pytest.raises(ReadingError, match=hint):
        parse_kpa(text)


def test_percent() -> None:
    assert parse_percent("15 %") == parse_percent("15 percent") == parse_percent("15") == 15.0
    with pytest.raises(ReadingError):
        parse_percent("15 psi")


@given(st.floats(0.1, 699.0))
def test_what_is_shown_can_be_typed_back(kpa: float) -> None:
    shown = shown_kpa(kpa).partition("(")[0]
    assert parse_kpa(shown) == pytest.approx(kpa, abs=0.5)


def test_shown_in_both_units() -> None:
    assert shown_kpa(82.737).replace("\N{NO-BREAK SPACE}", " ") == "83 kPa (12 psi)"
    assert shown_kpa(80.0).replace("\N{NO-BREAK SPACE}", " ") == "80 kPa (11.6 psi)"


@given(st.text(max_size=60))
def test_any_text_gives_a_number_or_a_usage_error(text: str) -> None:
    try:
        value = parse_kpa(text)
    except UsageError:
        return
    assert math.isfinite(value)
    assert looks_like_reading(text)
