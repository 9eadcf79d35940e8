"""A sheet made into a recording: ``expert/evidence/log/recording.py``."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from expert.evidence.log.errors import LogError
from expert.evidence.log.overrides import OverrideError, overrides
from expert.evidence.log.record import Channel, Header, Recording
from expert.evidence.log.recording import record
from tests.evidence.log.sheets import AIR_KPA, CHANNELS, FakeSheet, drive, plain, sheet


def told(recording: Recording, name: str) -> Channel:
    return next(one for one in recording.channels if one.id == name)


def renamed(one: FakeSheet, names: dict[str, Header]) -> FakeSheet:
    return FakeSheet([names.get(head.name, head) for head in one.headers], one.values)


def test_the_tidy_drive() -> None:
    one = drive()
    result = record(plain(), CHANNELS)
    assert result.time_s.tolist() == one["time"].tolist()
    for name in ("rpm", "duty", "throttle", "pedal", "speed", "gear", "mixture", "intake"):
        assert result.values[name] == pytest.approx(one[name])
    assert result.values["boost"] == pytest.approx(one["boost"], abs=1e-6)
    assert result.values["target"] == pytest.approx(one["target"], abs=1e-6)
    assert result.values["barometer"] == pytest.approx(AIR_KPA)
    assert {channel.id for channel in result.channels} == {"time", *result.values}
    assert result.notes == ()


def test_units_inside() -> None:
    one = drive()
    result = record(
        sheet(
            ("Time", "ms", 1e3 * one["time"]),
            ("Engine speed", "1/min", one["rpm"]),
            ("Throttle", "", one["throttle"] / 100.0),
            ("Speed", "mph", one["speed"] / 1.609344),
            ("AFR", "", 14.7 * one["mixture"]),
            ("IAT", "°F", one["intake"] * 1.8 + 32.0),
            ("Knock retard", "°CA", np.full(len(one["time"]), 1.5)),
        ),
        CHANNELS,
    )
    assert result.time_s == pytest.approx(one["time"])
    for name in ("throttle", "speed", "mixture", "intake"):
        assert result.values[name] == pytest.approx(one[name], abs=1e-6)
    # Knock is kept as written.
    assert set(result.values["knock"].tolist()) == {1.5}
    assert told(result, "mixture").unit == "AFR"


def test_a_throttle_in_degrees() -> None:
    one = drive()
    degrees = 0.84 * one["throttle"]
    result = record(sheet(("Time", "s", one["time"]), ("Throttle", "°", degrees)), CHANNELS)
    assert np.nanmax(result.values["throttle"]) == pytest.approx(100.0, abs=0.5)
    assert "'Throttle' is in degrees; 83 were taken as fully open." in result.notes
    # One that never opens far must not be stretched to fully open.
    short = record(sheet(("Time", "s", one["time"]), ("Throttle", "°", degrees / 3)), CHANNELS)
    assert np.nanmax(short.values["throttle"]) == pytest.approx(31, abs=1)


def test_a_time_without_unit_or_name() -> None:
    one = plain()
    bare = renamed(one, {"Time": Header("Time", "")})
    assert record(bare, CHANNELS).time_s.tolist() == drive()["time"].tolist()
    unnamed = renamed(one, {"Time": Header("column 1", "")})
    found = record(unnamed, CHANNELS)
    assert found.time_s.tolist() == drive()["time"].tolist()
    assert told(found, "time").certainty < 0.8
    assert "even steps" in told(found, "time").because


def test_no_time_is_refused_with_the_way_out() -> None:
    one = drive()
    with pytest.raises(LogError, match=r"drive.csv: no column holds the time.*--channel time="):
        record(sheet(("RPM", "rpm", one["rpm"]), ("MAP", "kPa", one["boost"] + 98)), CHANNELS)
    still = np.zeros(len(one["time"]))
    with pytest.raises(LogError, match=r"its column 'Time' is no time"):
        record(sheet(("Time", "s", still), ("RPM", "rpm", one["rpm"])), CHANNELS)


def test_rows_out_of_order_take_their_values_along() -> None:
    one = plain()
    order = np.random.default_rng(5).permutation(len(one.values[0]))
    mixed = FakeSheet(one.headers, [column[order] for column in one.values])
    first, second = record(one, CHANNELS), record(mixed, CHANNELS)
    assert second.time_s.tolist() == first.time_s.tolist()
    for name, values in first.values.items():
        assert second.values[name].tolist() == values.tolist()
    assert any("sorted" in note for note in second.notes)


def test_slips_of_the_logger_go_and_are_counted() -> None:
    one = drive()
    one["rpm"][60] = 65_535.0
    result = record(plain(one), CHANNELS)
    assert np.isnan(result.values["rpm"][60])
    assert "1 impossible reading of the speed of the engine left out." in result.notes


def test_blank_cells_stay_blank() -> None:
    one = drive()
    one["boost"][10:13] = np.nan
    result = record(plain(one), CHANNELS)
    assert np.isnan(result.values["boost"][10:13]).all()
    assert np.isfinite(result.values["boost"][13:]).all()


def test_what_the_user_says() -> None:
    one = plain()
    odd = renamed(one, {"Boost": Header("Quux", "")})
    assert "boost" not in record(odd, CHANNELS).values
    result = record(odd, CHANNELS, overrides(["boost=Quux:kPa abs"]))
    assert result.values["boost"] == pytest.approx(drive()["boost"], abs=1e-6)
    assert told(result, "boost").because.startswith("you said so")
    with pytest.raises(OverrideError, match="no column 'Quuux'; the nearest are 'Quux'"):
        record(odd, CHANNELS, overrides(["boost=Quuux"]))


def test_notes_of_the_file_come_first() -> None:
    one = replace(plain(), notes=["1 line left out."])
    assert record(one, CHANNELS).notes[0] == "1 line left out."


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.sampled_from([0.0, 1.0, -5.0, 1e9, -1e9, np.nan, np.inf]), min_size=8, max_size=8)
)
def test_any_numbers(cells: list[float]) -> None:
    """Whatever stands in the columns: a recording with rising time, or one sentence."""
    one = plain()
    columns = [np.resize(np.roll(cells, k), 40) for k in range(len(one.headers))]
    columns[0] = np.arange(40.0) if np.isfinite(cells[0]) else columns[0]
    try:
        result = record(FakeSheet(one.headers, columns), CHANNELS)
    except LogError as problem:
        assert str(problem).isprintable()
        return
    assert (np.diff(result.time_s) > 0.0).all()
    for values in result.values.values():
        assert len(values) == len(result.time_s)
