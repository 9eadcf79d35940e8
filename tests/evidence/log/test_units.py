"""Units as loggers write them: ``expert/evidence/log/units.py``."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

from expert.evidence.log.units import BY_NAME, no_unit, parse_unit

# Source: scipy.constants, which takes them from NIST SP 811 and CODATA. The conventional inch and
# column of mercury follow from 13,595.1 kg/m3 and standard gravity, as in NIST SP 811, B.8.
_MERCURY_PA_M = 13_595.1 * constants.g
_INSIDE = {
    "kPa": constants.kilo / 1e3,
    "Pa": 1 / 1e3,
    "hPa": constants.hecto / 1e3,
    "mbar": constants.bar / 1e6,
    "bar": constants.bar / 1e3,
    "psi": constants.psi / 1e3,
    "inHg": _MERCURY_PA_M * constants.inch / 1e3,
    "mmHg": constants.mmHg / 1e3,
    "cmHg": constants.mmHg / 1e2,
    "atm": constants.atm / 1e3,
    "kgf/cm2": constants.kgf * 10.0,
    "MPa": 1e3,
    "km/h": 1.0,
    "mph": constants.mph / constants.kmh,
    "m/s": 1.0 / constants.kmh,
    "kn": constants.knot / constants.kmh,
    "ms": constants.milli,
    "µs": constants.micro,
    "min": constants.minute,
    "h": constants.hour,
    "d": constants.day,
}


@pytest.mark.parametrize("name", _INSIDE)
def test_factors(name: str) -> None:
    assert BY_NAME[name].inside(1.0) == pytest.approx(_INSIDE[name], rel=1e-6)


@pytest.mark.parametrize(
    ("scale", "name"), [("Fahrenheit", "F"), ("Kelvin", "K"), ("Celsius", "C")]
)
def test_temperatures(scale: str, name: str) -> None:
    for value in (-40.0, 0.0, 68.0, 300.0):
        expected = constants.convert_temperature(value, scale, "Celsius")
        assert BY_NAME[name].inside(value) == pytest.approx(expected)


def test_mixture() -> None:
    # Textbook value of petrol, 14.7 parts of air.
    assert BY_NAME["AFR"].inside(14.7) == pytest.approx(1.0)
    assert BY_NAME["AFR"].inside(11.76) == pytest.approx(0.8)


@pytest.mark.parametrize(
    ("text", "name", "reference"),
    [
        ("kPa", "kPa", None),
        ("KPA", "kPa", None),
        ("[kPa]", "kPa", None),
        ("hPa", "hPa", None),
        ("mbar", "mbar", None),
        ("bar", "bar", None),
        ("psi", "psi", None),
        ("psig", "psi gauge", "gauge"),
        ("psia", "psi absolute", "absolute"),
        ("psi (gauge)", "psi gauge", "gauge"),
        ("inHg", "inHg", None),
        ("in. Hg", "inHg", None),
        ("kPa abs", "kPa absolute", "absolute"),
        ("kPa abs.", "kPa absolute", "absolute"),
        ("kPa_a", "kPa absolute", "absolute"),
        ("bar(g)", "bar gauge", "gauge"),
        ("bar ü", "bar gauge", "gauge"),
        ("mbar rel", "mbar gauge", "gauge"),
        ("Pa", "Pa", None),
        ("km/h", "km/h", None),
        ("kph", "km/h", None),
        ("mph", "mph", None),
        ("m/s", "m/s", None),
        ("1/min", "rpm", None),
        ("rpm", "rpm", None),
        ("U/min", "rpm", None),
        ("tr/min", "rpm", None),
        ("min⁻¹", "rpm", None),
        ("min^-1", "rpm", None),
        ("%", "%", None),
        ("deg", "deg", None),
        ("°", "deg", None),
        ("V", "V", None),
        ("mV", "V", None),
        ("°C", "C", None),
        ("℃", "C", None),
        ("º C", "C", None),
        ("Â°C", "C", None),
        ("\N{REPLACEMENT CHARACTER}C", "C", None),
        ("degF", "F", None),
        ("K", "K", None),
        ("λ", "lambda", None),
        ("AFR", "AFR", None),
        ("ms", "ms", None),
        ("µs", "µs", None),
        ("s", "s", None),
        ("Sekunden", "s", None),
        ("min", "min", None),
        ("g/s", "other", None),
        ("Nm", "other", None),
    ],
)
def test_spellings(text: str, name: str, reference: str | None) -> None:
    unit = parse_unit(text)
    assert unit is not None
    assert (unit.name, unit.reference) == (name, reference)


@pytest.mark.parametrize("text", ["", "-", " - ", "[-]", "none", "n/a", "1"])
def test_no_unit(text: str) -> None:
    assert no_unit(text)
    assert parse_unit(text) is None


@pytest.mark.parametrize("text", ["furlongs", "kPa per fortnight", "x" * 500, "psi psi"])
def test_unknown(text: str) -> None:
    assert not no_unit(text)
    assert parse_unit(text) is None


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused(text: str) -> None:
    unit = parse_unit(text)
    assert unit is None or unit.measures
    if no_unit(text):
        assert unit is None


@given(
    st.sampled_from(["kPa", "mbar", "bar", "psi", "inHg", "hPa"]),
    st.sampled_from([str.upper, str.lower, str.title]),
    st.sampled_from(["{}", "[{}]", "({})", " {} ", "_{}"]),
    st.sampled_from([("", None), (" abs", "absolute"), ("(a)", "absolute"), (" gauge", "gauge")]),
)
def test_capitals_and_brackets_do_not_matter(
    name: str, case: object, form: str, end: tuple[str, str | None]
) -> None:
    assert callable(case)
    unit = parse_unit(form.format(case(name) + end[0]))
    assert unit is not None
    assert (unit.factor, unit.reference) == (BY_NAME[name].factor, end[1])


def test_whole_columns() -> None:
    column = np.array([0.0, np.nan, 14.5])
    inside = BY_NAME["psi"].inside(column)
    assert np.isnan(inside[1])
    assert inside[2] == pytest.approx(14.5 * constants.psi / 1e3, rel=1e-6)
