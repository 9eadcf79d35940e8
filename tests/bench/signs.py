"""What the drive of a simulated car shows, in plain words; computed from the truth, not the log."""

from __future__ import annotations

from expert.bench.car import Car
from expert.bench.faults import broken
from expert.bench.pull import Row
from expert.bench.session import AGAIN, LIFT, PULL, drive, session
from tests.bench.cars import boost_kpa, car


def at(pull: list[Row], rpm: float) -> float | None:
    return next((boost_kpa(row) for row in pull if row.rpm >= rpm), None)


def assert_shows(fault: str, rig: str, seen: str, unseen: str) -> None:
    """A car with this fault shows all of the words ``seen`` and none of ``unseen``."""
    found = signs(broken(car(rig), [fault], 1))
    assert found >= set(seen.split()), found
    assert not found & set(unseen.split()), found


def signs(car: Car) -> set[str]:
    """Words for a session with a pull at duty 0, one by the map, and a change of gear.

    ``runs``, ``map-runs``: boost goes to the throttle cut. ``high``, ``low``: over or under the
    spring by more than 12 kPa. ``ceiling``: the map makes no more than the spring. ``short``: it
    misses its target. ``creeps``, ``fades``: it rises or falls by more than 10 kPa from 3,500 to
    6,300 rpm. ``overshoots``, ``spikes``: by the map and at duty 0, over what it settles to.
    ``lags``: half the spring comes 500 rpm later than usual. ``swings``. ``surges`` in a pull,
    ``flutters`` after it. ``leaps``: over what it settles to when the throttle opens again.
    ``closes``: the throttle is not open. ``flares``: engine and road part. ``blind``: the sensor
    is out by more than 5 kPa.
    """
    segments = session(car, [0.0, None])
    rows = drive(car, [0.0, None])
    pulls = [k for k, one in enumerate(segments) if one.name == PULL]
    zero, mapped = ([row for row in rows if row.segment == k] for k in pulls)
    again = [row for row in rows if segments[row.segment].name == AGAIN]
    lifts = [row for row in rows if segments[row.segment].name == LIFT]
    spring, target = car.spring_pa / 1e3, car.target_pa / 1e3
    found = set()
    for name, pull in (("runs", zero), ("map-runs", mapped)):
        if min(row.throttle for row in pull[8:]) < 0.2:
            found.add(name)
    most = max(boost_kpa(row) for row in zero)
    settled = zero[len(zero) // 2 :]
    if boost_kpa(settled[0]) > spring + 12.0:
        found.add("high")
    early = at(zero, 3_500.0)
    if "runs" not in found and (early is None or early < spring - 12.0):
        found.add("low")
    if "map-runs" not in found and max(boost_kpa(row) for row in mapped) < spring + 8.0:
        found.add("ceiling")
    if "map-runs" not in found and boost_kpa(mapped[len(mapped) // 2]) < target - 10.0:
        found.add("short")
    for pull in (zero, mapped):
        one, other = at(pull, 3_500.0), at(pull, 6_300.0)
        if one is not None and other is not None:
            found.update({"creeps"} if other > one + 10.0 else ())
            found.update({"fades"} if other < one - 10.0 else ())
    if "map-runs" not in found:
        tops = max(boost_kpa(row) for row in mapped)
        if tops > boost_kpa(mapped[-1]) + 12.0 and tops > target + 8.0:
            found.add("overshoots")
        crossed = _turns([boost_kpa(row) for row in mapped[20:]])
        if crossed >= 6:
            found.add("swings")
    if most > spring + 8.0 and most > boost_kpa(zero[-1]) + 12.0:
        found.add("spikes")
    if again and boost_kpa(again[-1]) > spring - 5.0:
        found.update({"leaps"} if max(map(boost_kpa, again)) > boost_kpa(again[-1]) + 9.0 else ())
    half = at(zero, 3_000.0)
    if "runs" not in found and (half is None or half < 0.5 * spring):
        found.add("lags")
    if sum(row.surging for row in (*zero, *mapped)) > 3:
        found.add("surges")
    if any(row.surging for row in lifts):
        found.add("flutters")
    if max(row.throttle for row in mapped) < 0.9:
        found.add("closes")
    parted = max(row.rpm / max(row.road_m_s, 1.0) for row in mapped)
    if parted > 1.06 * min(row.rpm / max(row.road_m_s, 1.0) for row in mapped):
        found.add("flares")
    if max(abs(row.read_pa - row.manifold_pa) for row in rows) > 5e3:
        found.add("blind")
    return found


def _turns(values: list[float], least: float = 4.0) -> int:
    """How often a curve turns by more than a threshold."""
    turns, way, extreme = 0, 0, values[0]
    for value in values:
        if way >= 0 and value < extreme - least:
            turns, way, extreme = turns + (way != 0), -1, value
        elif way <= 0 and value > extreme + least:
            turns, way, extreme = turns + (way != 0), 1, value
        elif (way >= 0 and value > extreme) or (way < 0 and value < extreme):
            extreme = value
    return turns
