"""Sensor, map and codes: what a scan tool, a second gauge and the map itself show."""

from __future__ import annotations

import math
from typing import Final

from expert.bench.instruments.subject import (
    KEY_ON_PART,
    UNKNOWN,
    Answers,
    Subject,
    read_kpa,
    true_kpa,
)

# A control unit stores underboost after this long so far under its target: common practice.
UNDER_KPA: Final = 25.0
UNDER_S: Final = 2.0
_ROOM_PA: Final = 50e3
# Two gauges that differ by more than 1 psi differ.
DIFFER_KPA: Final = 7.0


def key_on_pressure(subject: Subject) -> Answers:
    """The sensor with the engine standing, against the air outside."""
    rows = subject.of(KEY_ON_PART)
    off = abs(sum(row.read_pa - row.ambient_pa for row in rows) / len(rows)) / 1e3
    if off <= 2.5:
        return ("within-2-kpa",)
    return ("off-3-to-5",) if off <= 5.0 else ("off-more",)


def sensor_hose(subject: Subject) -> Answers:
    """How the sensor is joined to the manifold."""
    return ("on-sound",) if subject.car.sensor.sees > 0.9 else ("off",)


def sensor_pumped(subject: Subject) -> Answers:
    """The sensor pumped up to the planned boost, a gauge beside it."""
    sensor, ambient = subject.car.sensor, subject.car.place.ambient_pa
    errors = []
    for share in (0.0, 0.33, 0.67, 1.0):
        gauge_pa = ambient + share * subject.car.target_pa
        # Pumped at its own port, so its hose does not matter.
        read = min(max(sensor.offset_pa + sensor.gain * gauge_pa, 10e3), sensor.most_pa)
        errors.append(read - gauge_pa)
    if abs(errors[0]) > 5e3:
        return ("off-gauge",)
    return ("stops-short",) if errors[-1] < -5e3 else ("follows",)


def sensor_range(subject: Subject) -> Answers:
    """How far the sensor reads, by its sheet, beyond the planned boost."""
    sensor, place = subject.car.sensor, subject.car.place
    room = sensor.most_pa - place.ambient_pa - subject.car.target_pa
    if room < 0.0:
        return ("short",)
    return ("ample",) if room >= _ROOM_PA else ("tight",)


def duty_commanded(subject: Subject) -> Answers:
    """The duty in the table at full boost, and what the log has of it."""
    control = subject.car.control
    if not control.has_solenoid:
        return UNKNOWN
    if control.duty_taken and control.table > 0.15:
        return ("taken-away",)
    if control.table <= 0.0:
        return ("zero",)
    return ("small",) if control.table <= 0.15 else ("well-above-zero",)


def duty_in_log(subject: Subject) -> Answers:
    """Any duty in the pull by the map."""
    if not subject.car.control.has_solenoid:
        return UNKNOWN
    return ("some",) if max(row.duty for row in subject.mapped) > 0.02 else ("none",)


def correction_on(subject: Subject) -> Answers:
    """Whether the map corrects."""
    control = subject.car.control
    return ("corrects",) if control.gain > 0.0 or control.integral > 0.0 else ("table-only",)


def limits_compared(subject: Subject) -> Answers:
    """Boost as it was read, against the limit that closes the throttle."""
    control = subject.car.control
    most = 1e3 * max(read_kpa(row) for row in (*subject.lowest, *subject.mapped))
    if most < control.cut_pa:
        return ("clear",)
    # As planned: no further over the target than a sound map swings.
    return ("touches",) if control.cut_pa <= control.target_pa + 10e3 else ("far-over",)


def gauge_look(subject: Subject) -> Answers:
    """The gauge on the dash, the engine standing."""
    return ("right",) if abs(subject.car.gauge.offset_pa) < 5e3 else ("off-zero",)


def throttle_travel(subject: Subject) -> Answers:
    """The throttle with the pedal flat and the engine standing."""
    control = subject.car.control
    if control.limp:
        return UNKNOWN
    return ("full",) if control.throttle_most > 0.9 else ("short",)


def second_gauge(subject: Subject) -> Answers:
    """Log, gauge and a second gauge on a gentle pull to half the spring."""
    car = subject.car
    true_pa = car.place.ambient_pa + 0.5 * car.spring_pa
    log = abs(car.sensor.read_pa(true_pa, car.place.ambient_pa) - true_pa)
    gauge = abs(car.gauge.read_pa(true_pa, car.place.ambient_pa) - true_pa)
    return ("differ",) if max(log, gauge) > 1e3 * DIFFER_KPA else ("agree",)


def story(subject: Subject) -> Answers:
    """Whether gauge, log and feel agree; the feel goes by true boost and by speed."""
    rows = [*subject.lowest, *subject.mapped]
    log = max(abs(read_kpa(row) - true_kpa(row)) for row in rows)
    if log > 10.0:
        return ("log-alone",)
    if abs(subject.car.gauge.offset_pa) > 10e3:
        return ("gauge-alone",)
    return ("feel-alone",) if slips(subject) else ("agree",)


def slips(subject: Subject) -> bool:
    """Do revs and road part in a pull?"""
    for pull in (subject.lowest, subject.mapped):
        ratios = [row.rpm / row.road_m_s for row in pull if row.road_m_s > 5.0]
        if ratios and max(ratios) > 1.05 * min(ratios):
            return True
    return False


def stored_codes(subject: Subject) -> Answers:
    """What a control unit stores of what it can itself notice."""
    car = subject.car
    found: list[str] = []
    off = abs(sum(r.read_pa - r.ambient_pa for r in subject.of(KEY_ON_PART)))
    if off / max(len(subject.of(KEY_ON_PART)), 1) > 10e3:
        found.append("boost-sensor")
    if car.control.has_solenoid and _circuit_bad(subject):
        found.append("wastegate-solenoid")
    pulls = [*subject.lowest, *subject.mapped]
    if any(read_kpa(row) * 1e3 > car.control.cut_pa for row in pulls):
        found.append("overboost")
    if car.control.has_solenoid and _under_s(subject) > UNDER_S:
        found.append("underboost")
    if car.control.limp:
        # Limp mode stands for a code that is not modelled further.
        found.append("other")
    elif car.control.throttle_most < 0.9:
        found.append("throttle")
    if car.engine.misfire_k > 0.0:
        found.append("misfire")
    return tuple(found) or ("none",)


def _circuit_bad(subject: Subject) -> bool:
    valve = subject.car.solenoid
    good = 5.0 < valve.coil_ohm < 1_000.0 and valve.plugged and valve.supply_v > 8.0
    return not good or valve.wire_ohm > 1_000.0 or valve.ground_ohm < 5.0


def _under_s(subject: Subject) -> float:
    """How long the pull by the map is far under its target, past the middle of the revs."""
    rows = [row for row in subject.mapped if row.rpm > 3_800.0]
    under = [row for row in rows if (row.target_pa - row.read_pa) / 1e3 > UNDER_KPA]
    step = rows[1].time_s - rows[0].time_s if len(rows) > 1 else 0.0
    return math.fsum(step for _ in under)
