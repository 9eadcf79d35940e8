"""The one constructor of offers: no check reaches a user except through it."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass

from expert.case.safety import RED_FLAGS, LoadGate
from expert.model import Check, Knowledge


@dataclass(frozen=True, slots=True)
class Offer:
    """A check that may be done now, with all that must be shown beside it.

    ``minutes`` includes the preparations that this case has not paid yet; ``abort_kpa`` is the
    gauge boost at which a loaded run must be broken off, when the spring is known.
    """

    id: str
    check: Check
    prepare: tuple[str, ...]
    cautions: tuple[str, ...]
    minutes: float
    value: float
    abort_kpa: float | None


@dataclass(frozen=True, slots=True)
class Withheld:
    """A check that must not be offered now, and why."""

    id: str
    because: tuple[str, ...]


def minutes_of(knowledge: Knowledge, check: Check, prepared: Container[str]) -> float:
    """Minutes of a check with the preparations that are still to be done."""
    todo = [knowledge.preparations[name] for name in check.prepare if name not in prepared]
    return check.minutes + sum(work.minutes for work in todo)


def offer(
    knowledge: Knowledge,
    check_id: str,
    gate: LoadGate,
    *,
    prepared: Container[str],
    spring_kpa: float | None,
    value: float,
) -> Offer | Withheld:
    """Offer a check, or withhold it because nobody may work on the car, or load its engine.

    What is asked in words alone, and the red flags themselves, can be asked at any time.
    """
    check = knowledge.checks[check_id]
    if gate.hands_off and check.kind != "history" and check_id != RED_FLAGS:
        return Withheld(check_id, gate.hands_off)
    if check.loads_engine and not gate.allowed:
        return Withheld(check_id, gate.because)
    prepare = tuple(name for name in check.prepare if name not in prepared)
    cautions = [name for work in prepare for name in knowledge.preparations[work].cautions]
    margin = knowledge.policy.overboost_margin_kpa
    abort_kpa = spring_kpa + margin if check.loads_engine and spring_kpa is not None else None
    return Offer(
        id=check_id,
        check=check,
        prepare=prepare,
        cautions=tuple(dict.fromkeys([*cautions, *check.cautions])),
        minutes=minutes_of(knowledge, check, prepared),
        value=value,
        abort_kpa=abort_kpa,
    )
