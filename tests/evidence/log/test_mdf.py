"""ASAM MDF files, written by asammdf and read back: ``expert/evidence/log/mdf.py``."""

from __future__ import annotations

import sys
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from expert.evidence.log.errors import LogError
from expert.evidence.log.mdf import held
from expert.evidence.log.record import Header
from expert.evidence.log.sheet import open_bytes, open_log

asammdf = pytest.importorskip("asammdf", reason="needs the extra mdf")

TIMES = np.arange(0.0, 5.0, 0.05)
RPM = np.linspace(2000.0, 6500.0, 100)
BOOST = (100.0 + 40.0 * np.sin(TIMES)).astype(np.float32)
GEAR = np.full(10, 3, np.uint8)


def written() -> bytes:
    """Two groups: one at 20 Hz, one at 2 Hz that begins half a second later."""
    file = asammdf.MDF(version="4.10")
    signal = asammdf.Signal
    file.append(
        [
            signal(RPM, TIMES, name="Engine speed", unit="rpm"),
            signal(BOOST, TIMES, name="MAP", unit="kPa"),
        ]
    )
    file.append([signal(GEAR, np.arange(0.5, 5.5, 0.5), name="Gear")])
    stream = BytesIO()
    file.save(stream)
    file.close()
    return stream.getvalue()


@pytest.fixture(scope="module")
def data() -> bytes:
    return written()


def test_what_is_written_reads_back(data: bytes, tmp_path: Path) -> None:
    path = tmp_path / "log.mf4"
    path.write_bytes(data)
    for sheet in (open_log(path), open_bytes("log.mf4", data)):
        assert list(sheet.headers) == [
            Header("Time", "s"),
            Header("Engine speed", "rpm"),
            Header("MAP", "kPa"),
            Header("Gear", ""),
        ]
        time, rpm, boost, gear = sheet.columns(range(4))
        np.testing.assert_array_equal(time, TIMES)
        np.testing.assert_array_equal(rpm, RPM)
        np.testing.assert_array_equal(boost, BOOST.astype(float))
        assert np.isnan(gear[TIMES < 0.499]).all()
        assert (gear[TIMES > 0.501] == 3.0).all()
        np.testing.assert_array_equal(sheet.sample(1), RPM)
        assert any("2 groups" in note for note in sheet.notes)


def test_infinities_become_nan() -> None:
    file = asammdf.MDF()
    file.append([asammdf.Signal(np.array([1.0, np.inf, np.nan]), np.arange(3.0), name="MAP")])
    stream = BytesIO()
    file.save(stream)
    file.close()
    found = open_bytes("log.mf4", stream.getvalue()).columns([1])[0]
    np.testing.assert_array_equal(found, [1.0, np.nan, np.nan])


def test_without_the_library_the_message_says_how_to_get_it(
    data: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "asammdf", None)
    with pytest.raises(LogError, match=r"gatepost\[mdf\]"):
        open_bytes("log.mf4", data)


@pytest.mark.parametrize("length", [8, 64, 100, 300, 1000, 2000])
def test_a_file_cut_short_is_read_or_refused(data: bytes, length: int) -> None:
    try:
        open_bytes("log.mf4", data[:length]).columns([0])
    except LogError as error:
        assert "\n" not in str(error)
        return
    assert length > 1000


def test_a_file_without_channels_is_refused() -> None:
    stream = BytesIO()
    asammdf.MDF().save(stream)
    with pytest.raises(LogError, match="no channel"):
        open_bytes("log.mf4", stream.getvalue())


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 1500), st.binary(min_size=1, max_size=8))
def test_a_damaged_file_is_read_or_refused(at: int, damage: bytes) -> None:
    whole = written()
    broken = whole[:at] + damage + whole[at + len(damage) :]
    try:
        sheet = open_bytes("log.mf4", broken)
        columns = sheet.columns(range(len(sheet.headers)))
    except LogError:
        return
    assert len({len(column) for column in columns}) == 1


def test_a_value_is_held_until_the_next() -> None:
    stamps, values = np.array([1.0, 2.0]), np.array([5.0, 7.0])
    found = held(stamps, values, np.array([0.5, 1.0, 1.9, 2.0, 9.0]))
    np.testing.assert_array_equal(found, [np.nan, 5.0, 5.0, 7.0, 7.0])
    assert np.isnan(held(stamps[:0], values[:0], stamps)).all()
