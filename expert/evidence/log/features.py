"""All that is measured in a recording, by name; pressures in kPa above outside air.

Every value has its uncertainty and the time that shows it. What the log cannot show is None with
the reason.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

from expert.evidence.log.advice import advice
from expert.evidence.log.coldest import coldest
from expert.evidence.log.creep import Creep, creep_of, fall_of
from expert.evidence.log.duty import at_stop, most_duty, response, steady_duty
from expert.evidence.log.ending import ending_of
from expert.evidence.log.flat import cut_flat
from expert.evidence.log.gears import gears_spread
from expert.evidence.log.load import under_load
from expert.evidence.log.overshoot import Overshoot, overshoot_of
from expert.evidence.log.pulls import find
from expert.evidence.log.record import Features, Measured, Pull, Recording
from expert.evidence.log.ripple import flutter_after, surge_of
from expert.evidence.log.seen import Seen, seen
from expert.evidence.log.slip import slip_of
from expert.evidence.log.steady import (
    lowest_boost,
    onset_rpm,
    peak_boost,
    reaches_rpm,
    steady_of,
)
from expert.evidence.log.still import idle_vacuum, key_on
from expert.evidence.log.swing import IRREGULAR, Swing, duty_swing_pct, swing_of
from expert.evidence.log.target import aim_of, tops_of
from expert.evidence.log.throttle import closing, opening
from expert.evidence.log.told import NO_PULL, first_reason, largest, least, missing, surest
from expert.evidence.log.trace import traces

NAMES: Final[Mapping[str, str]] = {
    "peak_boost_kpa": "the highest boost of the whole log",
    "boost_at_zero_duty_kpa": "boost of the pulls at the lowest setting",
    "boost_over_spring_kpa": "the same, less the spring",
    "boost_end_at_zero_duty_kpa": "boost at the end of the pulls at the lowest setting",
    "rises_at_end_pct": "its rate there, in per cent of its fastest rise",
    "slows_to_pct": "the slowest that it rises from near the spring on, in per cent of the fastest",
    "steady_boost_kpa": "where boost settles in the pulls with the most duty",
    "steady_duty_pct": "the duty there",
    "onset_rpm": "rpm at which boost first reaches 80 % of where it settles",
    "near_spring_rpm": "rpm at which boost is within 14 kPa of the spring, at the lowest setting",
    "onset_at_zero_duty_rpm": "the same in the pulls at the lowest setting",
    "overshoot_pct": "the peak above where boost settles, in per cent of it",
    "overshoot_kpa": "the same in kPa",
    "settling_s": "time until boost stays within 2 % of where it settles",
    "hunting_period_s": "time from swing to swing",
    "hunting_kpa": "size of the swings, from top to bottom",
    "hunting_at_one_duty_kpa": "the same in pulls in which duty did not move",
    "duty_leads_s": "time by which duty moves before boost in a swing",
    "creep_kpa_per_1000rpm": "slope of boost over rpm at one duty",
    "creep_kpa": "rise of boost at one duty, from where it settled to the end",
    "falls_kpa": "sag of boost towards high rpm",
    "duty_response_kpa_per_10pct": "what boost gains for 10 % of duty",
    "target_kpa": "the target at full throttle",
    "boost_under_target_kpa": "how far boost stays under its target",
    "boost_over_target_kpa": "how far boost stays over its target once it is past",
    "swings_over_target_kpa": "how far the swings get past the target",
    "cut_over_target_kpa": "how far boost was over its target when the throttle closed",
    "throttle_closed": "1 where the throttle closed with the pedal flat",
    "throttle_least_pct": "the least throttle with the pedal flat",
    "throttle_most_pct": "the most throttle with the pedal flat",
    "throttle_closed_at_kpa": "boost when the throttle began to close",
    "duty_max_pct": "the highest duty",
    "duty_at_stop": "1 where duty stays at its highest and boost under its target",
    "key_on_off_kpa": "boost with the engine off",
    "idle_vacuum_kpa": "vacuum at idle: boost below outside air",
    "cut_flat_s": "how long the top of boost stands at one number",
    "slip_pct": "rise of rpm over road speed within a pull",
    "gears_spread_kpa": "boost in the highest gear less that in the lowest",
    "surge_kpa": "quick ripples of boost at full throttle, from top to bottom",
    "flutter_kpa": "quick ripples of boost after a lift, from top to bottom",
    "intake_coldest_c": "the coldest intake air of the log, in degrees Celsius",
    "mixture_lambda": "the usual lambda at full throttle",
    "mixture_leanest_lambda": "lambda that only one row in twenty passes",
    "knock_most": "the most knock at full throttle, as the log counts it",
}
# Pulls that are looked at closely; past so many the telling ones are chosen.
MOST_PULLS: Final = 24
# Boost so far past the spring is overboost, and a reason to lift: common practice, no source.
MARGIN_KPA: Final = 20.0
# How far a sound car settles from its spring, 2 psi: common practice, no source.
NEAR_KPA: Final = 14.0
# Pulls whose duty is within this of the most were made at the highest setting.
_HIGHEST_PCT: Final = 8.0
# What an inferred pull is worth: its values count as this much less certain.
_INFERRED: Final = 2.0


def measure(recording: Recording, spring_kpa: float | None, has_duty: bool) -> Features:
    """The pulls of a recording and all features, for a car with a spring of that pressure.

    ``has_duty`` says whether the car has a boost solenoid. Without one every pull is made at its
    only setting. A recording without boost shows nothing.
    """
    if "boost" not in recording.values or recording.time_s.size < 3:
        why = "the log has no boost" if recording.time_s.size >= 3 else "the log is empty"
        return Features((), dict.fromkeys(NAMES, missing(why)), ())
    recording = _finite(recording)
    pulls = find(recording, has_duty)
    chosen = _telling(recording, pulls)
    close = [seen(trace) for trace in traces(recording, chosen)]
    measured = _measured(recording, close, spring_kpa)
    if any(pull.inferred for pull in pulls):
        measured = {
            name: replace(one, uncertainty=_INFERRED * one.uncertainty)
            for name, one in measured.items()
        }
    said = advice(
        recording,
        pulls,
        measured,
        spring_kpa=spring_kpa,
        has_duty=has_duty,
        margin_kpa=MARGIN_KPA,
    )
    return Features(pulls, measured, said)


def _finite(recording: Recording) -> Recording:
    """The recording with NaN for what is infinite."""
    import numpy as np

    wild = {name for name, values in recording.values.items() if np.isinf(values).any()}
    if not wild:
        return recording
    mended = {
        name: np.where(np.isfinite(values), values, np.nan) if name in wild else values
        for name, values in recording.values.items()
    }
    return replace(recording, values=mended)


def _telling(recording: Recording, pulls: Sequence[Pull]) -> list[Pull]:
    """At most so many pulls: those with the most boost, and the longest at each setting."""
    import numpy as np

    if len(pulls) <= MOST_PULLS:
        return list(pulls)
    boost = recording.values["boost"]
    edges = np.array([(pull.first, pull.last) for pull in pulls]).ravel()
    tops = np.fmax.reduceat(np.append(boost, np.nan), edges)[::2]
    lasts = np.array([pull.span.to_s - pull.span.from_s for pull in pulls])
    lowest = np.array([pull.lowest for pull in pulls])
    share = MOST_PULLS // 3
    kept = set(np.argsort(np.nan_to_num(tops, nan=-np.inf))[-share:].tolist())
    for group in (lowest, ~lowest):
        rows = np.flatnonzero(group)
        kept.update(rows[np.argsort(lasts[rows])[-share:]].tolist())
    return [pulls[number] for number in sorted(kept)]


def _measured(
    recording: Recording, close: Sequence[Seen], spring_kpa: float | None
) -> dict[str, Measured]:
    main, lowest = _main(close), [one for one in close if one.trace.pull.lowest]
    found = lowest_boost(close, spring_kpa, MARGIN_KPA)
    steady = surest([steady_of(one) for one in main])
    overshoot = _worst_overshoot([overshoot_of(one) for one in close])
    swings = [(one, swing_of(one)) for one in close]
    swing = _worst_swing([one for _, one in swings])
    still = [one.kpa for pull, one in swings if (duty_swing_pct(pull) or 0.0) <= 3.0]
    creep = _worst_creep(lowest) or _worst_creep(close) or _no_creep(close)
    aimed = [one for one in close if not one.trace.pull.lowest] or list(close)
    aims = [aim_of(one) for one in aimed]
    closed = closing([one.trace for one in close])
    most = most_duty(close)
    ends = [ending_of(one, spring_kpa) for one in lowest]
    no_lowest = "no pull was made at the lowest setting"
    return {
        "peak_boost_kpa": peak_boost(recording),
        "boost_at_zero_duty_kpa": found,
        "boost_over_spring_kpa": _over_spring(found, spring_kpa),
        "boost_end_at_zero_duty_kpa": largest([one.kpa for one in ends], no_lowest),
        # One pull that slows shows that the gate opens, however late another one began.
        "rises_at_end_pct": least([one.rises_pct for one in ends], no_lowest),
        "slows_to_pct": least([one.slows_to_pct for one in ends], no_lowest),
        "steady_boost_kpa": steady,
        "steady_duty_pct": surest([steady_duty(one) for one in main]),
        "onset_rpm": _onset(main, close),
        "near_spring_rpm": _near_spring(lowest, spring_kpa),
        "onset_at_zero_duty_rpm": least([onset_rpm(one) for one in lowest], no_lowest),
        "overshoot_pct": overshoot.pct,
        "overshoot_kpa": overshoot.kpa,
        "settling_s": overshoot.settling_s,
        "hunting_period_s": swing.period_s,
        "hunting_kpa": swing.kpa,
        "hunting_at_one_duty_kpa": largest(still, "duty moved in every pull"),
        "duty_leads_s": swing.duty_leads_s,
        "creep_kpa_per_1000rpm": creep.kpa_per_1000rpm,
        "creep_kpa": creep.kpa,
        "falls_kpa": largest([fall_of(one) for one in close]),
        "duty_response_kpa_per_10pct": response(close) if close else missing(NO_PULL),
        "target_kpa": under_load(recording, aimed, "target", 0.5),
        "boost_under_target_kpa": surest([aim.under for aim in aims]),
        "boost_over_target_kpa": largest([aim.over for aim in aims]),
        "swings_over_target_kpa": largest(
            [tops_of(one) for one, swing in swings if swing.period_s.value is not None],
            "boost does not swing",
        ),
        "cut_over_target_kpa": largest([ending_of(one).over_target for one in close]),
        "throttle_closed": closed.closed,
        "throttle_least_pct": closed.least_pct,
        "throttle_most_pct": opening([one.trace for one in close]),
        "throttle_closed_at_kpa": closed.at_kpa,
        "duty_max_pct": most,
        "duty_at_stop": surest([at_stop(one, most.value) for one in aimed]),
        "key_on_off_kpa": key_on(recording),
        "idle_vacuum_kpa": idle_vacuum(recording),
        "cut_flat_s": cut_flat([one.trace for one in close]),
        "slip_pct": largest([slip_of(one.trace) for one in close]),
        "gears_spread_kpa": gears_spread(close) if close else missing(NO_PULL),
        "surge_kpa": largest([surge_of(one) for one in close]),
        "flutter_kpa": largest([flutter_after(recording, one) for one in close]),
        "intake_coldest_c": coldest(recording),
        "mixture_lambda": under_load(recording, close, "mixture", 0.5),
        "mixture_leanest_lambda": largest(_each(recording, close, "mixture", 0.95)),
        "knock_most": largest(_each(recording, close, "knock", 1.0)),
    }


def _worst_creep(close: Sequence[Seen]) -> Creep | None:
    """The largest rise at one duty; none where no pull shows any."""
    known = [one for one in map(creep_of, close) if one.kpa.value is not None]
    return max(known, key=lambda one: one.kpa.value or 0.0, default=None)


def _no_creep(close: Sequence[Seen]) -> Creep:
    """Why no pull shows any."""
    return creep_of(close[0]) if close else Creep(missing(NO_PULL), missing(NO_PULL))


def _each(
    recording: Recording, close: Sequence[Seen], channel: str, share: float
) -> list[Measured]:
    if not close:
        return [under_load(recording, close, channel, share)]
    return [under_load(recording, [one], channel, share) for one in close]


def _main(close: Sequence[Seen]) -> list[Seen]:
    """The pulls with the most duty; all where the log has none."""
    duties = [one.trace.pull.duty_pct for one in close]
    known = [duty for duty in duties if duty is not None]
    if not known:
        return list(close)
    return [
        one
        for one, duty in zip(close, duties, strict=True)
        if duty is not None and duty >= max(known) - _HIGHEST_PCT
    ]


def _onset(main: Sequence[Seen], close: Sequence[Seen]) -> Measured:
    """The earliest onset: a pull that begins at higher rpm cannot show an earlier one."""
    found = least([onset_rpm(one) for one in main])
    return found if found.value is not None else least([onset_rpm(one) for one in close])


def _over_spring(found: Measured, spring_kpa: float | None) -> Measured:
    if found.value is None:
        return found
    if spring_kpa is None:
        return missing("the spring is not known; name it with --spring")
    return replace(found, value=found.value - spring_kpa)


def _near_spring(lowest: Sequence[Seen], spring_kpa: float | None) -> Measured:
    if spring_kpa is None:
        return missing("the spring is not known; name it with --spring")
    found = [reaches_rpm(one, spring_kpa - NEAR_KPA) for one in lowest]
    return least(found, "no pull was made at the lowest setting")


def _worst_overshoot(found: Sequence[Overshoot]) -> Overshoot:
    known = [one for one in found if one.kpa.value is not None]
    if not known:
        absent = first_reason([one.kpa for one in found])
        return Overshoot(absent, absent, absent)
    return max(known, key=lambda one: one.kpa.value or 0.0)


def _worst_swing(found: Sequence[Swing]) -> Swing:
    swinging = [one for one in found if one.period_s.value is not None]
    if swinging:
        return max(swinging, key=lambda one: one.kpa.value or 0.0)
    for one in found:
        if one.kpa.why == IRREGULAR:
            return one
    calm = [one for one in found if one.kpa.value is not None]
    if calm:
        return max(calm, key=lambda one: one.kpa.uncertainty)
    absent = first_reason([one.kpa for one in found])
    return Swing(absent, absent, absent)
