"""What the command line says about a car, as events of its case."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast, get_args

from expert.case.car import parts_of
from expert.case.events import Answered, Described, Event, Field, Origin
from expert.case.known import known
from expert.case.pressures import LIMITS_KPA, PressureField, possible
from expert.errors import UsageError
from expert.model import UNKNOWN, Check, Knowledge
from expert.text import clean
from expert.units import ReadingError, parse_kpa


def events_from(
    knowledge: Knowledge,
    *,
    setup: str | None,
    gate: str | None,
    bypass: str | None,
    symptoms: Sequence[str],
    spring: str | None,
    target: str | None,
    answers: Sequence[str],
) -> list[Event]:
    """The events of what was said, checked. Raises UsageError with the nearest name."""
    parts: frozenset[str] | None = None
    if setup is not None:
        parts = parts_of(knowledge, setup, gate, bypass)
    events: list[Event] = [
        Described(cast(Field, field), value)
        for field, value in (("setup", setup), ("gate", gate), ("bypass", bypass))
        if value is not None
    ]
    for symptom in symptoms:
        known("symptom", symptom, knowledge.symptoms)
        events.append(Described("symptom", symptom))
    if spring is not None:
        events.append(Described("spring_kpa", _pressure("--spring", "spring_kpa", spring)))
    if target is not None:
        events.append(Described("target_kpa", _pressure("--target", "target_kpa", target)))
    return [*events, *answered(knowledge, answers, parts)]


def answered(
    knowledge: Knowledge, answers: Sequence[str], parts: frozenset[str] | None
) -> list[Event]:
    """``CHECK=ANSWER[@origin]`` texts as events; several answers to one check are joined."""
    said: dict[tuple[str, Origin], list[str]] = {}
    for text in answers:
        check_id, answer, origin = _parts_of_answer(text)
        known("check", check_id, knowledge.checks)
        check = knowledge.checks[check_id]
        if parts is not None and not check.fits(parts):
            lacks = ", ".join(part for part in check.needs if part not in parts)
            raise UsageError(f"The check {check_id} does not fit this setup: it lacks {lacks}.")
        if answer != UNKNOWN:
            known(f"answer to {check_id}", answer, check.answers)
        given = said.setdefault((check_id, origin), [])
        if answer not in given:
            given.append(answer)
    return [
        Answered(check_id, _joined(check_id, knowledge.checks[check_id], given), origin)
        for (check_id, origin), given in said.items()
    ]


def _pressure(option: str, field: PressureField, text: str) -> float | None:
    """A gauge pressure in kPa that a car can have; None for the word unknown."""
    if text == UNKNOWN:
        return None
    try:
        value_kpa = parse_kpa(text)
    except ReadingError as error:
        raise UsageError(f"{option} {clean(text, 40)!r}: {error}") from None
    if not possible(field, value_kpa):
        least, most = LIMITS_KPA[field]
        raise UsageError(
            f"{option} {clean(text, 40)!r}: expected a gauge pressure from {least:.0f} to "
            f"{most:.0f} kPa."
        )
    return value_kpa


def _parts_of_answer(text: str) -> tuple[str, str, Origin]:
    check_id, equals, rest = text.partition("=")
    answer, at, origin = rest.partition("@")
    if not equals or not check_id or not answer:
        raise UsageError(
            f"{clean(text, 60)!r} is no answer; write CHECK=ANSWER, for example "
            "hose-trace=matches, or CHECK=ANSWER@mail."
        )
    if at and origin not in get_args(Origin):
        raise UsageError(
            f"{clean(origin, 60)!r} is no origin; write one of {', '.join(get_args(Origin))}."
        )
    return check_id, answer, cast(Origin, origin or "asked")


def _joined(check_id: str, check: Check, given: list[str]) -> tuple[str, ...]:
    if given == [UNKNOWN]:
        return ()
    if len(given) > 1:
        first = next(iter(check.answers))
        if UNKNOWN in given or not check.takes_several():
            raise UsageError(f"The check {check_id} takes one answer; found {', '.join(given)}.")
        if check.kind == "nominal" and first in given:
            raise UsageError(f"The check {check_id} cannot be {first} and something else as well.")
    return tuple(given)
