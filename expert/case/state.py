"""The state of a case: a fold over its events."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from expert.case.events import (
    Answered,
    Confirmed,
    Described,
    Event,
    Lacks,
    Mended,
    Noted,
    Opened,
    Origin,
    Persists,
    Resumed,
    RuledOut,
    SetAside,
    Undone,
)


@dataclass(frozen=True, slots=True)
class Finding:
    """An answer with its origin; no answers means that it is not known.

    ``epoch`` counts the repairs made before it.
    """

    check: str
    answers: tuple[str, ...]
    origin: Origin
    epoch: int = 0


@dataclass(frozen=True, slots=True)
class State:
    """Everything that is known of a case, in the order in which it was said.

    ``mended`` are the causes found and mended so far, in order; ``complaints`` the epochs, counted
    in repairs, in which the complaint was still there.
    """

    setup: str | None = None
    gate: str | None = None
    bypass: str | None = None
    symptoms: tuple[str, ...] = ()
    spring_kpa: float | None = None
    target_kpa: float | None = None
    said: frozenset[str] = frozenset()
    findings: tuple[Finding, ...] = ()
    set_aside: frozenset[str] = frozenset()
    lacking: frozenset[str] = frozenset()
    ruled_out: tuple[str, ...] = ()
    mended: tuple[str, ...] = ()
    complaints: tuple[int, ...] = (0,)
    confirmed: str | None = None
    notes: tuple[str, ...] = ()
    knowledge: str = ""

    @property
    def epoch(self) -> int:
        """How many repairs have been made."""
        return len(self.mended)

    @property
    def verifying(self) -> bool:
        """Has a repair been made, and is it not yet known whether it helped?"""
        return self.confirmed is None and self.epoch not in self.complaints

    def finding(self, check: str) -> Finding | None:
        """The latest that is known about a check, if it was asked."""
        made = [finding for finding in self.findings if finding.check == check]
        return max(made, key=lambda finding: finding.epoch, default=None)

    def answers(self, check: str) -> tuple[str, ...]:
        """The known answers to a check; empty when unknown or not asked."""
        finding = self.finding(check)
        return finding.answers if finding else ()


STEPS = (Described, Answered, SetAside, Lacks, RuledOut, Mended, Persists, Confirmed)


def effective(events: Iterable[Event]) -> list[Event]:
    """The events that still count: every undo takes the last step before it away."""
    kept: list[Event] = []
    for event in events:
        if not isinstance(event, Undone):
            kept.append(event)
            continue
        for k in range(len(kept) - 1, -1, -1):
            if isinstance(kept[k], STEPS):
                del kept[k]
                break
    return kept


def fold(events: Iterable[Event]) -> State:
    """The state that the events add up to."""
    state = State()
    for event in effective(events):
        state = advanced(state, event)
    return state


def advanced(state: State, event: Event) -> State:
    """The state after one more event (an undo is resolved by ``effective`` before)."""
    match event:
        case Opened(knowledge) | Resumed(knowledge):
            return replace(state, knowledge=knowledge)
        case Described():
            return _described(state, event)
        case Answered(check, answers, origin):
            return _answered(state, Finding(check, answers, origin, state.epoch))
        case SetAside(check):
            return replace(state, set_aside=state.set_aside | {check})
        case Lacks(tool):
            return replace(state, lacking=state.lacking | {tool})
        case RuledOut(cause):
            return replace(state, ruled_out=(*state.ruled_out, cause))
        case Mended(cause):
            return replace(state, mended=(*state.mended, cause), set_aside=frozenset())
        case Persists():
            return replace(state, complaints=(*state.complaints, state.epoch))
        case Confirmed(cause):
            return replace(state, confirmed=cause)
        case Noted(text):
            return replace(state, notes=(*state.notes, text))
        case Undone():
            return state


def _described(state: State, event: Described) -> State:
    state = replace(state, said=state.said | {event.field})
    text = event.value if isinstance(event.value, str) else None
    number = event.value if isinstance(event.value, float) else None
    match event.field:
        case "setup":
            return replace(state, setup=text)
        case "gate":
            return replace(state, gate=text)
        case "bypass":
            return replace(state, bypass=text)
        case "spring_kpa":
            return replace(state, spring_kpa=number)
        case "target_kpa":
            return replace(state, target_kpa=number)
        case "symptom":
            if text is None or text in state.symptoms:
                return state
            return replace(state, symptoms=(*state.symptoms, text))


_RELIABILITY = {"asked": 2, "log": 2, "hookup": 1, "mail": 0}


def _answered(state: State, new: Finding) -> State:
    """One finding a check and epoch counts: the most reliable origin, then the latest.

    A known answer is never replaced by an unknown one from a less reliable origin.
    """
    aside = state.set_aside - {new.check}
    same = [old for old in state.findings if (old.check, old.epoch) == (new.check, new.epoch)]
    if any(old.answers and _RELIABILITY[new.origin] < _RELIABILITY[old.origin] for old in same):
        return state
    others = tuple(finding for finding in state.findings if finding not in same)
    return replace(state, findings=(*others, new), set_aside=aside)
