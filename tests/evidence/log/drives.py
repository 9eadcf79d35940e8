"""Recordings to measure: invented pulls by a formula, and drives of simulated cars."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from expert.bench.car import sound_car
from expert.bench.faults import broken
from expert.bench.logger import DIALECTS, channels
from expert.bench.pull import Row, run
from expert.bench.session import session
from expert.evidence.log.pulls import find
from expert.evidence.log.record import Measured, Pull, Recording, Span
from expert.evidence.log.seen import Seen, seen
from expert.evidence.log.trace import trace_of
from tests.bench.cars import PLACE, RIGS

Floats = NDArray[np.float64]
SPRING_KPA = 69.0
IDS = (
    *("rpm", "boost", "barometer", "target", "duty", "throttle", "pedal"),
    *("speed", "gear", "mixture", "intake"),
)
KEY_ON_S, IDLE_S, LIFT_S = 2.0, 2.0, 2.0
PULL_FROM_S = KEY_ON_S + IDLE_S

Curve = Callable[[Floats], Floats]


def flat(level_kpa: float, rise_s: float = 1.0) -> Curve:
    """Boost that rises evenly from 0 and then stays."""
    return lambda time: level_kpa * np.clip(time / rise_s, 0.0, 1.0)


def step_response(level_kpa: float, zeta: float, omega: float) -> Curve:
    """The closed form for a step into a system of second order, damped by less than 1."""
    damped = omega * math.sqrt(1.0 - zeta**2)

    def curve(time: Floats) -> Floats:
        shape = np.cos(damped * time) + zeta / math.sqrt(1.0 - zeta**2) * np.sin(damped * time)
        return level_kpa * (1.0 - np.exp(-zeta * omega * time) * shape)

    return curve


def made(
    boost: Curve,
    *,
    seconds: float = 10.0,
    hz: float = 20.0,
    noise_kpa: float = 0.0,
    seed: int = 1,
    duty: Curve | float = 0.0,
    gear: int = 3,
    rpm: tuple[float, float] = (2_000.0, 6_500.0),
    start_s: float = 0.0,
    target_kpa: float = 100.0,
    throttle: Curve | float = 100.0,
    slip: Curve | float = 0.0,
    leave_out: tuple[str, ...] = (),
) -> Recording:
    """A drive of key-on, idle, one pull and a lift; the curves are of the time in the pull."""
    time = np.arange(0.0, PULL_FROM_S + seconds + LIFT_S, 1.0 / hz)
    into = time - PULL_FROM_S
    pulling = (into >= 0.0) & (into < seconds)
    idle, lifted = (time >= KEY_ON_S) & (into < 0.0), into >= seconds
    within = np.clip(into, 0.0, seconds)
    turns = rpm[0] + (rpm[1] - rpm[0]) * within / seconds
    gearing = (130.0, 80.0, 48.0, 36.0, 28.0)[gear - 1]

    def of(curve: Curve | float) -> Floats:
        if isinstance(curve, float):
            return np.where(pulling, curve, 0.0)
        return np.where(pulling, curve(within), 0.0)

    level = np.where(pulling, boost(within), 0.0)
    level = np.where(idle, -65.0, np.where(lifted, -60.0, level))
    draw = np.random.default_rng(seed)
    values = {
        "rpm": np.where(time < KEY_ON_S, 0.0, np.where(idle, 850.0, turns * (1.0 + of(slip)))),
        "boost": level + draw.normal(0.0, noise_kpa, time.size),
        "barometer": np.full(time.shape, 101.3),
        "target": np.full(time.shape, target_kpa),
        "duty": of(duty),
        "throttle": of(throttle),
        "pedal": np.where(pulling, 100.0, 0.0),
        "speed": np.where(pulling | lifted, turns / gearing, 0.0),
        "gear": np.where(pulling | lifted, float(gear), 0.0),
        "mixture": np.where(pulling, 0.85, 1.0),
    }
    kept = {name: found for name, found in values.items() if name not in leave_out}
    return Recording("made.csv", time + start_s, kept, ())


def joined(*parts: Recording) -> Recording:
    """Drives one after the other, as one recording."""
    times, end = [], 0.0
    for part in parts:
        step = float(part.time_s[1] - part.time_s[0])
        times.append(part.time_s - part.time_s[0] + end)
        end = float(times[-1][-1]) + step
    values = {
        name: np.concatenate([part.values[name] for part in parts]) for name in parts[0].values
    }
    return Recording(parts[0].file, np.concatenate(times), values, ())


def only_pull(recording: Recording, has_duty: bool = True) -> Seen:
    """The single pull of a recording."""
    (pull,) = find(recording, has_duty)
    trace = trace_of(recording, pull)
    assert trace is not None
    return seen(trace)


def whole(recording: Recording, **changes: object) -> Pull:
    """A pull over all rows of a recording."""
    span = Span(float(recording.time_s[0]), float(recording.time_s[-1]))
    pull = Pull(0, recording.time_s.size, span, None, None, True)
    return replace(pull, **changes)  # type: ignore[arg-type]


@lru_cache(maxsize=64)
def bench(
    *causes: str,
    rig: str = "external",
    seed: int = 1,
    duties: tuple[float | None, ...] = (0.0, None),
    gear: int = 3,
) -> Recording:
    """The recording of a simulated car in its session, as a logger without any units sees it."""
    car = broken(sound_car(RIGS[rig], SPRING_KPA * 1e3, PLACE), causes, seed)
    return recorded(list(run(car, session(car, list(duties), gear))), seed)


def recorded(rows: list[Row], seed: int) -> Recording:
    """Rows of the bench with the noise and the rounding of a logger, boost less the barometer."""
    columns = channels(DIALECTS["plain"])
    draw = random.Random(f"{seed} logger")
    table = np.array(
        [[round(one.value(row, draw), one.decimals) for one in columns] for row in rows]
    )
    values = dict(zip(IDS, table.T, strict=True))
    ambient = float(np.median(values["barometer"]))
    values["boost"] = values["boost"] - ambient
    values["target"] = values["target"] - ambient
    return Recording("bench.csv", np.array([row.time_s for row in rows]), values, ())


def value(measured: Mapping[str, Measured], name: str) -> float:
    """A value that must have been measured."""
    found = measured[name].value
    assert found is not None, f"{name}: {measured[name].why}"
    return found


def thinned(recording: Recording, every: int) -> Recording:
    """Every so many-th row."""
    return replace(
        recording,
        time_s=recording.time_s[::every],
        values={name: found[::every] for name, found in recording.values.items()},
    )


def changed(recording: Recording, **channels_: Floats) -> Recording:
    """The recording with other channels."""
    return replace(recording, values={**recording.values, **channels_})


def without(recording: Recording, *names: str) -> Recording:
    """The recording without some channels."""
    kept = {name: found for name, found in recording.values.items() if name not in names}
    return replace(recording, values=kept)
