"""What a picture of a log shows: boost, target and duty of its telling pulls, with the evidence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from expert.evidence.log.findings import Shown
from expert.evidence.log.record import Features, LogFinding, Pull, Recording, Span
from expert.model import Knowledge

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

MOST_PULLS: Final = 3
ENGINE_SPEED: Final = "engine speed (1/min)"
TIME: Final = "time (s)"


@dataclass(frozen=True, slots=True)
class Mark:
    """A stretch of the horizontal axis that shows something, and what."""

    from_x: float
    to_x: float
    text: str


@dataclass(frozen=True)
class Curve:
    """One pull over engine speed, or a whole log over time where it has no pull.

    All arrays are as long as ``x``; boost and target are kPa above outside air, duty is per cent,
    None where the log has no such channel. Missing values are NaN.
    """

    title: str
    x_label: str
    x: Floats
    boost_kpa: Floats
    target_kpa: Floats | None
    duty_pct: Floats | None
    marks: tuple[Mark, ...]


def telling(
    knowledge: Knowledge, findings: Sequence[LogFinding], symptoms: Sequence[Shown] = ()
) -> list[LogFinding]:
    """The symptoms, and the findings that a sound car does not give, each with its words in front.

    A symptom stands as a finding of no check.
    """
    complaints = [
        LogFinding("", "", one.span, f"{knowledge.symptoms[one.symptom].title} ({one.because})")
        for one in symptoms
    ]
    return complaints + [
        replace(one, because=f"{check.answers[one.answer].rstrip('.')} ({one.because})")
        for one in findings
        for check in [knowledge.checks[one.check]]
        if one.answer != check.sound_answer()
    ]


def curves(
    recording: Recording,
    features: Features,
    findings: Sequence[LogFinding],
    most: int = MOST_PULLS,
) -> list[Curve]:
    """The pulls that hold the most evidence, in the order of time.

    Where none holds any, the first ones are drawn; where there is no pull, the whole log. A log
    without boost has nothing to draw: the list is empty.
    """
    if "boost" not in recording.values or not len(recording.time_s):
        return []
    if not features.pulls or "rpm" not in recording.values:
        return [_whole(recording, findings)]
    told = {number: len(_within(pull.span, findings)) for number, pull in enumerate(features.pulls)}
    telling = [number for number, count in told.items() if count] or list(told)
    chosen = sorted(sorted(telling, key=lambda number: -told[number])[:most])
    return [_pull(recording, features.pulls[number], number + 1, findings) for number in chosen]


def _whole(recording: Recording, findings: Sequence[LogFinding]) -> Curve:
    return Curve(
        "whole log",
        TIME,
        recording.time_s,
        recording.values["boost"],
        recording.values.get("target"),
        recording.values.get("duty"),
        tuple(Mark(one.span.from_s, one.span.to_s, one.because) for one in findings),
    )


def _pull(recording: Recording, pull: Pull, number: int, findings: Sequence[LogFinding]) -> Curve:
    rows = slice(pull.first, pull.last)
    rpm = recording.values["rpm"][rows]
    target, duty = recording.values.get("target"), recording.values.get("duty")
    time_s = recording.time_s[rows]
    marks = [_mark(one, time_s, rpm) for one in _within(pull.span, findings) if len(rpm)]
    return Curve(
        _title(pull, number),
        ENGINE_SPEED,
        rpm,
        recording.values["boost"][rows],
        None if target is None else target[rows],
        None if duty is None else duty[rows],
        tuple(mark for mark in marks if mark is not None),
    )


def _title(pull: Pull, number: int) -> str:
    parts = [f"pull {number}", f"{pull.span.from_s:.1f} to {pull.span.to_s:.1f} s"]
    if pull.gear is not None:
        parts.append(f"gear {pull.gear}")
    if pull.duty_pct is not None:
        parts.append(f"{pull.duty_pct:.0f} % duty")
    return ", ".join(parts)


def _within(span: Span, findings: Sequence[LogFinding]) -> list[LogFinding]:
    return [one for one in findings if one.span.from_s < span.to_s and one.span.to_s > span.from_s]


def _mark(finding: LogFinding, time_s: Floats, rpm: Floats) -> Mark | None:
    """The engine speeds at which a finding shows in a pull."""
    import numpy as np

    shown = (time_s >= finding.span.from_s) & (time_s <= finding.span.to_s) & np.isfinite(rpm)
    if not shown.any():
        return None
    return Mark(float(rpm[shown].min()), float(rpm[shown].max()), finding.because)
