"""From vacuum or from outside air: ``expert/evidence/log/reference.py``."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.log.record import Reference
from expert.evidence.log.reference import Shown, judge, outside, shown
from expert.evidence.log.units import BY_NAME, Unit, parse_unit
from tests.evidence.log.sheets import AIR_KPA, KPA_PER_PSI, drive

UNITS = [BY_NAME[name] for name in ("kPa", "bar", "psi", "mbar")]
# Source of the factors: NIST SP 811, appendix B.8.
PER = {"kPa": 1.0, "bar": 100.0, "psi": KPA_PER_PSI, "mbar": 0.1}


def unit(text: str) -> Unit:
    found = parse_unit(text)
    assert found is not None
    return found


def seen(
    name: str, reference: Reference, air_kpa: float = AIR_KPA, off_kpa: float = 0.0, **how: object
) -> Shown:
    """What the invented drive shows in a unit and from a reference, of a sensor that is out."""
    one = drive(**how)  # type: ignore[arg-type]
    # Thin air leaves less to be drawn down.
    gauge = np.where(one["boost"] < 0.0, one["boost"] * air_kpa / AIR_KPA, one["boost"])
    kpa = gauge + off_kpa + (air_kpa if reference == "absolute" else 0.0)
    found = shown(kpa / PER[name], one["rpm"], one["throttle"])
    assert found is not None
    return found


@pytest.mark.parametrize("name", PER)
@pytest.mark.parametrize("reference", ["absolute", "gauge"])
@pytest.mark.parametrize("barometer", [True, False])
@pytest.mark.parametrize("told", [True, False])
@pytest.mark.parametrize("air_kpa", [101.3, 79.5])
def test_unit_and_reference(
    name: str, reference: Reference, barometer: bool, told: bool, air_kpa: float
) -> None:
    found = judge(
        seen(name, reference, air_kpa),
        [BY_NAME[name]] if told else UNITS,
        barometer_kpa=air_kpa if barometer else None,
    )
    assert found.unit is not None
    assert (found.unit.name, found.reference) == (name, reference)
    assert found.certainty >= 0.9


@pytest.mark.parametrize("off_kpa", [-30.0, -12.0, 12.0, 30.0])
@pytest.mark.parametrize("reference", ["absolute", "gauge"])
@pytest.mark.parametrize("air_kpa", [101.3, 79.5])
def test_a_sensor_that_is_out(off_kpa: float, reference: Reference, air_kpa: float) -> None:
    one = seen("kPa", reference, air_kpa, off_kpa)
    for barometer in (None, air_kpa):
        found = judge(one, [BY_NAME["kPa"]], barometer_kpa=barometer)
        assert found.reference == reference, (found, barometer)


@given(
    st.sampled_from(["absolute", "gauge"]),
    st.sampled_from([*PER]),
    st.floats(20.0, 200.0),
    st.floats(70.0, 104.0),
    st.booleans(),
    st.booleans(),
)
def test_never_the_wrong_one(
    reference: Reference, name: str, peak: float, air: float, key_on: bool, idle: bool
) -> None:
    """Of any part of a drive, the answer is right or there is none."""
    one = seen(name, reference, air, key_on=key_on, idle=idle, peak_kpa=peak)
    found = judge(one, [BY_NAME[name]])
    assert found.reference in (reference, None)
    assert found.because
    if key_on or idle:
        assert found.reference == reference


def test_a_pull_alone_may_not_tell() -> None:
    # 60 to 110 kPa at full throttle: absolute high up, or gauge from a pull already on boost.
    one = Shown(standing=None, idle=None, lowest=55.0, highest=112.0, open_=55.0)
    found = judge(one, [BY_NAME["kPa"]])
    assert found.reference is None
    assert found.unit == BY_NAME["kPa"]
    assert "key on" in found.because


def test_the_unit_may_stay_unknown() -> None:
    one = Shown(standing=None, idle=None, lowest=2.0, highest=16.0, open_=2.0)
    found = judge(one, UNITS)
    assert found.reference is None
    assert found.because


def test_what_the_unit_says_is_believed() -> None:
    one = seen("psi", "gauge", key_on=False, idle=False)
    found = judge(one, [unit("psig")])
    assert (found.reference, found.because) == ("gauge", "the unit says gauge")


def test_a_unit_that_the_readings_rule_out() -> None:
    found = judge(seen("psi", "absolute"), [unit("psig")])
    assert found.reference is None
    assert found.because.startswith("the unit says gauge, but with the engine off it reads 98 kPa")
    found = judge(seen("kPa", "gauge"), [unit("kPa abs")])
    assert found.reference is None


def test_a_hint_of_the_name() -> None:
    one = Shown(standing=None, idle=None, lowest=80.0, highest=190.0, open_=80.0)
    plain = judge(one, [BY_NAME["kPa"]])
    hinted = judge(one, [BY_NAME["kPa"]], "absolute")
    assert hinted.reference == "absolute"
    assert hinted.certainty > plain.certainty
    # A name never wins against a reading below vacuum.
    below = Shown(standing=None, idle=None, lowest=-60.0, highest=90.0, open_=0.0)
    assert judge(below, [BY_NAME["kPa"]], "absolute").reference == "gauge"


def test_readings_of_no_manifold() -> None:
    for low, high in ((5_000.0, 9_000.0), (-900.0, -500.0)):
        one = Shown(standing=low, idle=low, lowest=low, highest=high, open_=high)
        found = judge(one, [BY_NAME["kPa"]])
        assert (found.unit, found.reference) == (None, None)
        assert "those of no manifold" in found.because


def test_what_a_drive_shows() -> None:
    one = drive()
    found = shown(one["boost"], one["rpm"], one["throttle"])
    assert found is not None
    assert found.standing == pytest.approx(0.0, abs=0.4)
    assert found.idle == pytest.approx(-65.0, abs=1.0)
    assert found.open_ is not None
    assert found.open_ > -1.0
    alone = shown(one["boost"], None, None)
    assert alone is not None
    assert (alone.standing, alone.idle, alone.open_) == (None, None, None)
    assert shown(np.full(100, np.nan), None, None) is None


def test_outside_air() -> None:
    kpa = BY_NAME["kPa"]
    one = seen("kPa", "absolute")
    assert outside(95.0, one, kpa, "absolute").kpa == 95.0
    from_sensor = outside(None, one, kpa, "absolute")
    assert from_sensor.kpa == pytest.approx(AIR_KPA, abs=0.5)
    assert not from_sensor.measured
    # ISO 2533 at sea level, where there is nothing to go by.
    assumed = outside(None, seen("kPa", "absolute", key_on=False), kpa, "absolute")
    assert assumed.kpa == 101.325
    assert "assumed" in assumed.because
    assert outside(None, seen("kPa", "gauge"), kpa, "gauge").kpa == 101.325
