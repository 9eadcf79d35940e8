"""Boost, target and barometer above outside air: ``expert/evidence/log/pressures.py``."""

from __future__ import annotations

import numpy as np
import pytest

from expert.evidence.log.channels import assign
from expert.evidence.log.overrides import overrides
from expert.evidence.log.pressures import Manifold, hint_of, manifold, named_alike
from expert.evidence.log.record import Channel
from tests.evidence.log.sheets import AIR_KPA, CHANNELS, KPA_PER_PSI, Floats, drive, sheet

PER = {"kPa": 1.0, "bar": 100.0, "psi": KPA_PER_PSI, "mbar": 0.1, "inHg": 3.386388640341}
Column = tuple[str, str, Floats]


def made(*columns: Column, asked: tuple[str, ...] = ()) -> Manifold:
    one = drive()
    file = sheet(("RPM", "rpm", one["rpm"]), ("TPS", "%", one["throttle"]), *columns)
    picks = assign(file.headers, file.sample, CHANNELS, overrides(asked)).picks
    raw = {
        name: file.values[picks[name].column] for name in picks if name not in ("rpm", "throttle")
    }
    return manifold(picks, raw, CHANNELS, one["rpm"], one["throttle"])


def channel(result: Manifold, name: str) -> Channel:
    return next(one for one in result.channels if one.id == name)


@pytest.mark.parametrize("unit", PER)
@pytest.mark.parametrize("absolute", [True, False])
@pytest.mark.parametrize("barometer", [True, False])
def test_boost_and_target_come_back(unit: str, absolute: bool, barometer: bool) -> None:
    one = drive()
    air = AIR_KPA if absolute else 0.0
    columns = [
        ("Boost", unit, (one["boost"] + air) / PER[unit]),
        ("Boost target", unit, (one["target"] + air) / PER[unit]),
    ]
    if barometer:
        columns.append(("Barometer", unit, one["barometer"] / PER[unit]))
    result = made(*columns)
    expected = "absolute" if absolute else "gauge"
    assert result.values["boost"] == pytest.approx(one["boost"], abs=0.6)
    assert result.values["target"] == pytest.approx(one["target"], abs=0.6)
    assert channel(result, "boost").reference == expected
    assert channel(result, "target").reference == expected
    assert channel(result, "boost").certainty > 0.85
    assert ("barometer" in result.values) == barometer
    assert bool(result.notes) == (absolute and not barometer)


def test_no_barometer_is_said() -> None:
    (note,) = made(("MAP", "kPa", drive()["boost"] + AIR_KPA)).notes
    assert note.startswith("The file has no barometer. Outside air is 98.")
    assert "with the engine off" in note


def test_no_units_at_all() -> None:
    one = drive()
    result = made(
        ("MAP", "", (one["boost"] + AIR_KPA) / PER["bar"]),
        ("Baro", "", one["barometer"] / PER["bar"]),
        ("Target", "", (one["target"] + AIR_KPA) / PER["bar"]),
    )
    assert result.values["boost"] == pytest.approx(one["boost"], abs=0.6)
    assert result.values["target"] == pytest.approx(one["target"], abs=0.6)
    assert channel(result, "boost").unit == "bar"
    assert "bar" in channel(result, "barometer").because


def test_what_cannot_be_told_is_left_out() -> None:
    rows = len(drive()["rpm"])
    saw = 70.0 + 20.0 * np.sin(np.arange(rows))
    file = sheet(("MAP", "kPa", saw))
    picks = assign(file.headers, file.sample, CHANNELS).picks
    result = manifold(picks, {"boost": saw}, CHANNELS, None, None)
    assert result.values == {}
    assert channel(result, "boost").reference is None
    (note,) = result.notes
    assert note.startswith("Cannot tell what 'MAP' (boost) counts from")
    assert "--channel 'boost=MAP:kPa abs'" in note


def test_the_user_decides() -> None:
    rows = len(drive()["rpm"])
    saw = 70.0 + 20.0 * np.sin(np.arange(rows))
    result = made(("MAP", "kPa", saw), asked=("boost=MAP:kPa gauge",))
    assert result.values["boost"].tolist() == saw.tolist()
    assert channel(result, "boost").certainty == 1.0


def test_a_broken_barometer() -> None:
    one = drive()
    result = made(
        ("MAP", "kPa", one["boost"] + AIR_KPA), ("Baro", "kPa", np.zeros(len(one["rpm"])))
    )
    assert "barometer" not in result.values
    assert result.notes[0] == (
        "The barometer 'Baro' was left out: it reads 0 kPa, which air outside never has."
    )
    assert result.values["boost"] == pytest.approx(one["boost"], abs=0.6)


def test_a_drive_uphill() -> None:
    one = drive()
    rows = len(one["rpm"])
    result = made(
        ("MAP", "kPa", one["boost"] + AIR_KPA), ("Baro", "kPa", np.linspace(98.4, 90.0, rows))
    )
    assert any("The barometer goes from" in note for note in result.notes)


def test_a_target_that_counts_otherwise() -> None:
    one = drive()
    # Boost above vacuum, target above outside air: 95 kPa above vacuum would be no target.
    low = made(
        ("MAP", "kPa", one["boost"] + AIR_KPA),
        ("Target", "kPa", np.where(one["target"] > 50, 55, 0)),
    )
    assert channel(low, "target").reference == "gauge"
    assert np.nanmax(low.values["target"]) == 55
    # The other way round it cannot be told from a gate that never shuts.
    high = made(("Boost", "kPa", one["boost"]), ("Target", "kPa", one["target"] + AIR_KPA))
    assert "target" not in high.values
    assert any("Cannot tell what 'Target' (target)" in note for note in high.notes)
    said = made(("Boost", "kPa", one["boost"]), ("Target", "kPa abs", one["target"] + AIR_KPA))
    assert np.nanmax(said.values["target"]) == pytest.approx(95.0, abs=3.0)


def test_a_lazy_car_keeps_its_target() -> None:
    """Named after boost, a target counts as it does, however far boost stays below."""
    one = drive(peak_kpa=8.0)
    rpm, throttle = one["rpm"], one["throttle"]
    file = sheet(
        ("Boost", "psi", one["boost"] / KPA_PER_PSI), ("Boost target", "psi", rpm * 0 + 15)
    )
    picks = assign(file.headers, file.sample, CHANNELS).picks
    raw = {name: file.values[pick.column] for name, pick in picks.items()}
    result = manifold(picks, raw, CHANNELS, rpm, throttle)
    assert result.values["target"] == pytest.approx(15 * KPA_PER_PSI)


def test_hints_of_names() -> None:
    assert hint_of("MAP") == "absolute"
    assert hint_of("Boost (gauge)") == "gauge"
    assert hint_of("Manifold relative pressure") == "gauge"
    assert hint_of("Boost") is None
    assert hint_of("absolute or relative") is None
    assert named_alike("Boost", "Boost Target")
    assert not named_alike("MAP", "Boost Target")
