"""Which column is which channel: ``expert/evidence/log/channels.py``."""

from __future__ import annotations

import random
from collections.abc import Sequence
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from expert.bench.car import Car
from expert.bench.faults import FAULTS, broken
from expert.bench.logger import CHANNELS as WRITTEN
from expert.bench.logger import DIALECTS, written
from expert.bench.pull import Row, Segment, run
from expert.evidence.log.channels import Assigned, assign, unit_of
from expert.evidence.log.overrides import overrides
from expert.evidence.log.record import Header
from expert.evidence.log.sheet import open_bytes
from tests.bench.cars import RIGS, car
from tests.evidence.log.sheets import CHANNELS, FakeSheet, Floats, drive, plain, sheet

NAMES = {
    "time": "Time",
    "rpm": "Engine speed",
    "boost": "Boost",
    "barometer": "Barometer",
    "target": "Boost target",
    "duty": "Wastegate duty",
    "throttle": "Throttle",
    "pedal": "Pedal",
    "speed": "Vehicle speed",
    "gear": "Gear",
    "mixture": "Lambda",
    "intake": "Intake temperature",
}


def found(one: FakeSheet, *asked: str) -> Assigned:
    return assign(one.headers, one.sample, CHANNELS, overrides(asked))


def columns(one: Assigned) -> dict[str, str]:
    return {name: pick.channel.column for name, pick in one.picks.items()}


def with_more(*more: tuple[str, str, Floats]) -> FakeSheet:
    """The tidy drive with columns that are something else."""
    one = plain()
    headers = [*one.headers, *(Header(name, unit) for name, unit, _ in more)]
    return FakeSheet(headers, [*one.values, *(values for _, _, values in more)])


@cache
def sound_cars() -> list[Car]:
    return [car(name) for name in RIGS]


def short_drive(fault: str, seed: int) -> list[Row]:
    """A few seconds of a car with a fault: engine off, idle, and the beginning of a pull."""
    fitting = [one for one in sound_cars() if FAULTS[fault].fits(one)]
    one = broken(random.Random(fault).choice(fitting), [fault], seed)
    idle = (one.engine.idle_rpm, one.engine.idle_rpm)
    parts = [
        Segment("key-on", 1.0, 0.0, 3, (0.0, 0.0)),
        Segment("idle", 1.5, 0.0, 3, idle),
        Segment("roll", 0.5, 0.12, 3, (2_800.0, 3_000.0)),
        Segment("pull", 2.0, 1.0, 3),
    ]
    return list(run(one, parts))


@pytest.mark.parametrize("fault", FAULTS)
def test_every_fault_in_every_dialect(fault: str) -> None:
    rows = short_drive(fault, 3)
    for dialect in DIALECTS.values():
        one = open_bytes("log.csv", written(rows, dialect, 3).encode())
        result = assign(one.headers, one.sample, CHANNELS)
        names = dict(zip(WRITTEN, dialect.names, strict=True))
        expected = {name: names[name] for name in WRITTEN if name not in dialect.left_out}
        assert columns(result) == expected
        assert min(pick.channel.certainty for pick in result.picks.values()) > 0.85
        assert result.notes == ()


def test_the_tidy_drive() -> None:
    result = found(plain())
    assert columns(result) == NAMES
    assert result.picks["boost"].channel.because == "named like 'boost', in kPa"


@settings(max_examples=40, deadline=None)
@given(st.permutations(range(17)))
def test_the_order_of_columns_does_not_matter(order: Sequence[int]) -> None:
    one = drive()
    rows = len(one["time"])
    full = with_more(
        ("Boost error", "kPa", one["target"] - one["boost"]),
        ("MAP", "kPa", one["boost"] + 98.4),
        ("Lambda", "", np.full(rows, 1.0)),
        ("Coolant", "°C", np.full(rows, 90.0)),
        ("Duty base", "%", one["duty"]),
    )
    mixed = FakeSheet([full.headers[k] for k in order], [full.values[k] for k in order])
    first, second = found(full), found(mixed)
    assert {name: pick.channel for name, pick in first.picks.items()} == {
        name: pick.channel for name, pick in second.picks.items()
    }
    for name, pick in second.picks.items():
        assert order[pick.column] == first.picks[name].column
    assert first.notes == second.notes


_USED = {name: entry for name, entry in CHANNELS.items() if name in NAMES}
_UNITS = {"pressure": "kPa", "rotation": "1/min", "share": "%", "speed": "km/h", "time": "s"}


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_any_known_names_give_the_same_channels(data: st.DataObject) -> None:
    one = drive()
    chosen = {
        name: data.draw(st.sampled_from(entry.names), label=name) for name, entry in _USED.items()
    }
    dress = data.draw(st.sampled_from([str.upper, str.title, lambda name: name.replace(" ", "_")]))
    result = found(
        sheet(
            *(
                (dress(chosen[name]), _UNITS.get(entry.quantity, ""), one[name])
                for name, entry in _USED.items()
            )
        )
    )
    assert {name: pick.column for name, pick in result.picks.items()} == {
        name: number for number, name in enumerate(_USED)
    }


@pytest.mark.parametrize(
    ("name", "unit"),
    [
        ("Boost error", "kPa"),
        ("Boost pressure limit", "kPa"),
        ("Boost control integral", ""),
        ("Throttle request", "%"),
        ("Throttle target", "%"),
        ("Wastegate duty base", "%"),
        ("Injector duty", "%"),
        ("Idle target", "rpm"),
        ("Turbo speed", "rpm"),
        ("Coolant temperature", "°C"),
        ("Ambient temperature", "°C"),
        ("Wheel speed FL", "km/h"),
        ("Wheel speed rear left", "km/h"),
        ("Gear shift light", ""),
        ("Gear ratio", ""),
        ("Lambda target", ""),
        ("Exhaust manifold pressure", "kPa"),
        ("Fuel pressure", "kPa"),
    ],
)
def test_what_only_looks_alike_fools_nobody(name: str, unit: str) -> None:
    """Beside the right column it takes nothing, and alone it is not taken for it."""
    values = drive()["boost"]
    assert columns(found(with_more((name, unit, values)))) == NAMES
    alone = sheet(("Time", "s", drive()["time"]), (name, unit, values))
    assert set(columns(found(alone))) == {"time"}


def test_speed_is_told_by_its_unit_or_its_values() -> None:
    one = drive()
    time = ("Time", "s", one["time"])
    assert columns(found(sheet(time, ("Speed", "km/h", one["speed"])))).keys() == {"time", "speed"}
    assert columns(found(sheet(time, ("Speed", "rpm", one["rpm"])))).keys() == {"time", "rpm"}
    assert columns(found(sheet(time, ("Speed", "", one["rpm"])))).keys() == {"time", "rpm"}
    both = sheet(time, ("Speed", "", one["speed"]), ("Engine speed", "", one["rpm"]))
    assert columns(found(both)) == {"time": "Time", "rpm": "Engine speed", "speed": "Speed"}


def test_two_that_say_the_same() -> None:
    one = drive()
    result = found(with_more(("MAP", "kPa", one["boost"] + 98.4)))
    pick = result.picks["boost"]
    assert pick.channel.certainty > 0.9
    assert "another column says the same" in pick.channel.because
    assert result.notes == ()


def test_two_that_differ_are_decided_by_the_throttle_and_said() -> None:
    one = drive()
    draw = np.random.default_rng(1)
    still = np.full(len(one["time"]), 99.0) + 0.1 * draw.standard_normal(len(one["time"]))
    pair = [("MAP 1", "kPa", still), ("MAP 2", "kPa", one["boost"] + 98.4)]
    for first, second in (pair, pair[::-1]):
        result = found(
            sheet(
                ("Time", "s", one["time"]),
                ("RPM", "rpm", one["rpm"]),
                ("TPS", "%", one["throttle"]),
                first,
                second,
            )
        )
        pick = result.picks["boost"]
        assert pick.channel.column == "MAP 2"
        assert pick.channel.certainty < 0.7
        assert "'MAP 1' could be meant as well" in pick.channel.because
        assert "--channel boost=COLUMN" in result.notes[0]


def test_volts_are_no_pressure() -> None:
    one = drive()
    result = found(sheet(("Time", "s", one["time"]), ("MAP", "V", one["boost"] / 100 + 1)))
    assert "boost" not in result.picks
    (note,) = result.notes
    assert "'MAP'" in note
    assert "volts" in note
    assert "kPa" in note


def test_a_unit_that_is_not_known_costs_certainty() -> None:
    one = drive()
    known, unknown = (
        found(sheet(("Time", "s", one["time"]), ("Duty", unit, one["duty"]))).picks["duty"].channel
        for unit in ("%", "quux")
    )
    assert unknown.certainty < known.certainty
    assert "its unit 'quux' is not known here" in unknown.because


def test_a_unit_stuck_to_the_name() -> None:
    name, unit, written_ = unit_of(Header("MAPkPa", ""))
    assert (name, unit and unit.name, written_) == ("MAP", "kPa", True)
    assert unit_of(Header("Speed", ""))[1] is None
    assert unit_of(Header("MAP", "psi"))[0] == "MAP"


def test_what_the_user_says_is_done() -> None:
    one = drive()
    odd = sheet(
        ("Time", "s", one["time"]),
        ("Quux", "", one["boost"] + 98.4),
        ("Boost", "kPa", one["boost"]),
    )
    pick = found(odd, "boost=quux:kPa abs").picks["boost"]
    assert (pick.column, pick.channel.certainty) == (1, 1.0)
    assert (pick.channel.because, pick.channel.reference) == ("you said so", "absolute")
    assert pick.unit is not None
    assert pick.unit.name == "kPa absolute"


def test_empty_columns_lose() -> None:
    one = drive()
    rows = len(one["time"])
    result = found(with_more(("Wastegate duty cycle", "%", np.full(rows, np.nan))))
    assert result.picks["duty"].channel.column == "Wastegate duty"
    assert result.notes == ()


def test_five_thousand_columns() -> None:
    one = drive()
    more = [(f"Boost trim cell {n}", "%", one["duty"]) for n in range(2500)]
    more += [(f"Manifold probe {n} xyzzy", "kPa", one["boost"]) for n in range(2500)]
    wide = with_more(*more)
    assert columns(found(wide)) == NAMES
    # Only a few of them are looked at.
    assert len(set(wide.sampled)) < 100


@settings(deadline=None)
@given(st.lists(st.tuples(st.text(max_size=20), st.text(max_size=8)), max_size=8))
def test_any_headers(headers: list[tuple[str, str]]) -> None:
    values = drive()["boost"]
    result = found(sheet(*((name, unit, values) for name, unit in headers)))
    taken = [pick.column for pick in result.picks.values()]
    assert len(set(taken)) == len(taken)
    for pick in result.picks.values():
        assert 0.0 < pick.channel.certainty <= 0.99
