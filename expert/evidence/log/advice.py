"""Which pull to record next, how, and at which boost to lift."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from expert.evidence.log.record import Measured, Pull, Recording
from expert.units import shown_kpa

STOP: Final = (
    "Do not record another pull: this log has far too much boost in it. Find the fault with the "
    "engine off first."
)
_FIRST: Final = (
    "Only after every hose has been traced and nothing says stop, on a closed road or track where "
    "it is allowed, or on a dynamometer: "
)
_HOW: Final = "full throttle in third gear from about 2,000 rpm to near the limit, then lift"
_CHANNELS: Final = (
    ("rpm", "engine speed"),
    ("pedal", "the pedal"),
    ("throttle", "the throttle"),
    ("barometer", "the barometer"),
)
_LEAST_ROWS_A_SECOND: Final = 10.0


def advice(
    recording: Recording,
    pulls: Sequence[Pull],
    measured: Mapping[str, Measured],
    *,
    spring_kpa: float | None,
    has_duty: bool,
    margin_kpa: float,
) -> tuple[str, ...]:
    """What to record so that a log shows more, each a sentence or two.

    A log with too much boost gets no pull to record.
    """
    if _too_much(measured, margin_kpa):
        return (STOP,)
    said = []
    if not any(pull.lowest for pull in pulls) or _open(measured, "boost_at_zero_duty_kpa"):
        said.append(_pull(_lowest(has_duty), _limit(spring_kpa, margin_kpa)))
    elif has_duty and _open(measured, "duty_response_kpa_per_10pct"):
        said.append(
            _pull(
                f"{_HOW}, with 5 % more duty than in the last pull", _limit(spring_kpa, margin_kpa)
            )
        )
    absent = [words for name, words in _CHANNELS if name not in recording.values]
    if has_duty:
        absent += [
            words
            for name, words in (("duty", "the duty"), ("target", "the boost target"))
            if name not in recording.values
        ]
    if absent:
        said.append(f"Log {_listed(absent)} too.")
    if recording.time_s.size > 1:
        lasts = float(recording.time_s[-1] - recording.time_s[0])
        rows = (recording.time_s.size - 1) / max(lasts, 1e-9)
        if rows < _LEAST_ROWS_A_SECOND:
            said.append(
                f"Log at least {_LEAST_ROWS_A_SECOND:.0f} rows a second; this log has {rows:.1f}, "
                "and quick swings are lost in it."
            )
    if _open(measured, "key_on_off_kpa") and "barometer" in recording.values:
        said.append(
            "Start the log with the key on and the engine off for three seconds; that shows "
            "whether the boost sensor is right."
        )
    return tuple(said)


def _too_much(measured: Mapping[str, Measured], margin_kpa: float) -> bool:
    for name in ("boost_over_spring_kpa", "boost_over_target_kpa"):
        one = measured[name]
        if one.value is not None and one.value + one.uncertainty > margin_kpa:
            return True
    return False


def _open(measured: Mapping[str, Measured], name: str) -> bool:
    return measured[name].value is None


def _lowest(has_duty: bool) -> str:
    at = "with 0 % duty fixed in the map" if has_duty else "at the lowest boost that can be set"
    return f"{_HOW}, {at}"


def _limit(spring_kpa: float | None, margin_kpa: float) -> str:
    if spring_kpa is None:
        return (
            f"Find out the spring first, and lift at once when boost is {shown_kpa(margin_kpa)} "
            "above it."
        )
    return f"Lift at once when boost passes {shown_kpa(spring_kpa + margin_kpa)}."


def _pull(what: str, limit: str) -> str:
    return f"{_FIRST}{what}. {limit}"


def _listed(words: Sequence[str]) -> str:
    if len(words) == 1:
        return words[0]
    return f"{', '.join(words[:-1])} and {words[-1]}"
