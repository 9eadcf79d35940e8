"""From measured values to answers and symptoms, by the readings of the knowledge.

A reading holds when every value that it names lies within its bounds with all of its uncertainty.
A value that may be on either side of a bound, or that was not measured, tells nothing: what could
not be told is listed with the reason.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from expert.evidence.log.record import Features, LogFinding, Measured, Span
from expert.model import DANGERS, FEATURES, Bounds, Check, Knowledge, LogReading
from expert.units import KPA_PER_PSI, shown_kpa

# The first values of a reading decide; more of them would hide that.
_MOST_REASONS: Final = 2
# A sensor errs by so much (common practice, no source): what comes so near the margin means stop.
SENSOR_ERROR_KPA: Final = 2.0
NOT_MEASURED: Final = "nothing in the log shows it"


@dataclass(frozen=True, slots=True)
class Shown:
    """A symptom that a log shows, the seconds that show it, and why in words."""

    symptom: str
    span: Span
    because: str


@dataclass(frozen=True, slots=True)
class Unsure:
    """What a log cannot tell, checks and symptoms by their ids, and why in a sentence."""

    checks: tuple[str, ...]
    symptoms: tuple[str, ...]
    because: str


@dataclass(frozen=True, slots=True)
class Judged:
    """What follows from the values of one log.

    Symptoms stand in the order of the readings that show them, the main one first.
    """

    symptoms: tuple[Shown, ...]
    findings: tuple[LogFinding, ...]
    unsure: tuple[Unsure, ...]


@dataclass(frozen=True, slots=True)
class _Outcome:
    """Whether a reading holds (None: cannot be told), where it shows, and why in words."""

    holds: bool | None
    span: Span | None
    because: str
    missing: bool = False


def judge(knowledge: Knowledge, parts: Collection[str], features: Features, whole: Span) -> Judged:
    """The symptoms and answers that the values show on a car with these parts.

    ``whole`` is the time of the log; it stands for values without a place of their own.
    """
    margin_kpa = knowledge.policy.overboost_margin_kpa
    by_check: dict[str, list[tuple[LogReading, _Outcome]]] = {}
    by_symptom: dict[str, list[_Outcome]] = {}
    shown: dict[str, _Outcome] = {}
    for reading in knowledge.readings.values():
        if not all(part in parts for part in reading.needs):
            continue
        grave = reading.symptom is not None and knowledge.symptoms[reading.symptom].danger == "stop"
        near_kpa = margin_kpa - SENSOR_ERROR_KPA if grave else margin_kpa
        outcome = _outcome(reading, features.measured, near_kpa)
        if reading.symptom is not None:
            by_symptom.setdefault(reading.symptom, []).append(outcome)
            if outcome.holds:
                shown.setdefault(reading.symptom, outcome)
        elif reading.check is not None and knowledge.checks[reading.check].fits(parts):
            by_check.setdefault(reading.check, []).append((reading, outcome))
    doubts: dict[str, tuple[list[str], list[str]]] = {}
    for symptom, outcomes in by_symptom.items():
        for because in _reasons(outcomes) if symptom not in shown else []:
            doubts.setdefault(because, ([], []))[1].append(symptom)
    findings: list[LogFinding] = []
    for check_id, judged in by_check.items():
        made = list(_answers(knowledge.checks[check_id], judged))
        findings += [
            LogFinding(check_id, answer, one.span or whole, one.because) for answer, one in made
        ]
        if not made:
            for because in _reasons([one for _, one in judged]):
                doubts.setdefault(because, ([], []))[0].append(check_id)
    symptoms = tuple(
        Shown(symptom, one.span or whole, one.because) for symptom, one in shown.items()
    )
    unsure = tuple(
        Unsure(tuple(checks), tuple(named), because) for because, (checks, named) in doubts.items()
    )
    return Judged(symptoms, tuple(findings), unsure)


def _answers(
    check: Check, judged: Sequence[tuple[LogReading, _Outcome]]
) -> Iterator[tuple[str, _Outcome]]:
    """The answers that hold: all flags of a nominal check, of another the gravest."""
    held = {reading.answer or "": one for reading, one in reversed(judged) if one.holds}
    for answer in standing_answers(check, held):
        yield answer, held[answer]


def standing_answers(check: Check, found: Collection[str]) -> tuple[str, ...]:
    """Of all answers found for a check those that stand: its flags, or the gravest one."""
    order = [answer for answer in check.answers if answer in found]
    if check.kind == "nominal":
        flags = [answer for answer in order if answer != check.sound_answer()]
        return tuple(flags or order)
    gravest = sorted(order, key=lambda answer: (_danger(check, answer), _rank(check, answer)))
    return tuple(gravest[-1:])


def _danger(check: Check, answer: str) -> int:
    return DANGERS.index(check.danger.get(answer, "none"))


def _rank(check: Check, answer: str) -> int:
    """How far an answer is from that of a sound car."""
    for side in (check.low, check.high):
        if answer in side:
            return 1 + side.index(answer)
    return list(check.answers).index(answer) if check.kind != "two-sided" else 0


def _reasons(outcomes: Sequence[_Outcome]) -> list[str]:
    """Why none of the readings holds, unless all are ruled out; doubts about a number first."""
    open_ones = [one for one in outcomes if one.holds is None]
    near = [one.because for one in open_ones if not one.missing]
    return (near or [one.because for one in open_ones])[:1]


def _outcome(reading: LogReading, measured: Mapping[str, Measured], margin_kpa: float) -> _Outcome:
    outcomes = [
        _within(feature, bounds, measured.get(_field(feature)), margin_kpa)
        for feature, bounds in reading.when.items()
    ]
    for feature, bounds in reading.if_measured.items():
        value = measured.get(_field(feature))
        if value is not None and value.value is not None:
            outcomes.append(_within(feature, bounds, value, margin_kpa))
    for one in outcomes:
        if one.holds is False:
            return one
    unknown = [one for one in outcomes if one.holds is None]
    if unknown:
        return min(unknown, key=lambda one: one.missing)
    span = next((one.span for one in outcomes if one.span is not None), None)
    return _Outcome(True, span, "; ".join(one.because for one in outcomes[:_MOST_REASONS]))


def _field(feature: str) -> str:
    return feature.replace("-", "_")


def _within(feature: str, bounds: Bounds, measured: Measured | None, margin_kpa: float) -> _Outcome:
    words = FEATURES[feature]
    if measured is None or measured.value is None:
        why = measured.why if measured is not None and measured.why else NOT_MEASURED
        return _Outcome(None, None, f"{_capital(why.rstrip('.'))}.", missing=True)
    above, up_to = bounds.edges(margin_kpa)
    low, high = measured.value - measured.uncertainty, measured.value + measured.uncertainty
    found = f"{words}: {told(feature, measured.value, measured.uncertainty)}"
    if (above is not None and high <= above) or (up_to is not None and low > up_to):
        return _Outcome(False, measured.span, found)
    for edge in (above, up_to):
        if edge is not None and low <= edge < high:
            why = f"{_capital(found)}, which may be on either side of {_edge(feature, edge)}."
            return _Outcome(None, measured.span, why)
    return _Outcome(True, measured.span, f"{found}{_limits(feature, above, up_to)}")


def _limits(feature: str, above: float | None, up_to: float | None) -> str:
    """The bounds that a value lies within, in brackets."""
    if _is_switch(feature):
        return ""
    if above is not None and up_to is not None:
        return f" (between {above:g} and {_edge(feature, up_to)})"
    if above is not None:
        return f" (more than {_edge(feature, above)})"
    return f" (no more than {_edge(feature, up_to)})" if up_to is not None else ""


def _edge(feature: str, value: float) -> str:
    return f"{value:g}\N{NO-BREAK SPACE}{_unit(feature)}".rstrip("\N{NO-BREAK SPACE}")


def _is_switch(feature: str) -> bool:
    return feature in SWITCHES


_UNITS: Final = {
    "kpa": "kPa",
    "pct": "%",
    "rpm": "rpm",
    "s": "s",
    "c": "\N{DEGREE SIGN}C",
    "lambda": "",
    "most": "",
}
_DIGITS: Final = {"%": 0, "rpm": 0, "s": 2, "\N{DEGREE SIGN}C": 0, "": 2}
# Features that are 1 for yes and 0 for no.
SWITCHES: Final = frozenset({"throttle-closed", "duty-at-stop"})


def told(feature: str, value: float, uncertainty: float = 0.0) -> str:
    """A value of a feature for people, with its unit and its uncertainty."""
    if _is_switch(feature):
        return "yes" if value >= 0.5 else "no"
    unit = _unit(feature)
    if unit == "kPa" and not uncertainty:
        return shown_kpa(value + 0.0)
    psi = f" ({(value + 0.0) / KPA_PER_PSI:.1f}\N{NO-BREAK SPACE}psi)" if unit == "kPa" else ""
    digits = _DIGITS.get(unit, 1)
    number = f"{value + 0.0:.{digits}f}"
    spread = f" \N{PLUS-MINUS SIGN} {uncertainty:.{digits}f}" if uncertainty else ""
    return f"{number}{spread}\N{NO-BREAK SPACE}{unit}{psi}".rstrip("\N{NO-BREAK SPACE}")


def _unit(feature: str) -> str:
    if feature.endswith("-per-1000rpm"):
        return "kPa for each 1,000 rpm"
    if feature.endswith("-per-10pct"):
        return "kPa for each 10 %"
    return _UNITS[feature.rpartition("-")[2]]


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
