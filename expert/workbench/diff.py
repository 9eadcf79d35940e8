"""What a change of the knowledge comes to: cases, leaves of trees and first questions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final, NamedTuple

from expert.case.car import GATES, parts_of
from expert.case.consult import Consultant
from expert.case.events import Answered, Described
from expert.case.safety import RED_FLAGS
from expert.case.state import State, advanced, fold
from expert.case.steps import AskStep, ConcludeStep, Step
from expert.errors import UsageError
from expert.model import UNKNOWN, Ask, Check, Fork, Knowledge, KnownCase, Symptom, Tree
from expert.workbench.changes import Change, changes
from expert.workbench.diff_leaves import LeafChange, leaf_changes
from expert.workbench.sides import Side
from expert.workbench.touched import Touched
from expert.workbench.tryout import Outcome, misses
from expert.workbench.tryout_pool import outcomes_of_each
from expert.workbench.tryout_quick import QuickConsultant

# What of a case decides how it goes; the rest is text, or what it is held against.
_STORY: Final = ("setup", "gate", "bypass", "symptoms", "spring_kpa", "target_kpa")
# No car is asked so many questions about its past.
_MOST_ASKED: Final = 20


@dataclass(frozen=True, slots=True)
class Came:
    """How a case came out on one side, and in which aspects it misses what it expects."""

    outcome: Outcome
    missed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CaseChange:
    """A known case that comes out otherwise, or stands on one side only.

    ``before`` or ``after`` is None where the case does not fit that side. ``only`` is "old" or
    "new" for a case of one side.
    """

    id: str
    title: str
    only: str | None
    before: Came | None
    after: Came | None


@dataclass(frozen=True, slots=True)
class Opening:
    """How a dialogue begins: the first step after the red flags, and the first after the history.

    A step is the id of a check, or says what is done instead.
    """

    first: str
    after_history: str


@dataclass(frozen=True, slots=True)
class OpeningChange:
    """A dialogue that begins otherwise."""

    symptom: str
    setup: str
    gate: str | None
    before: Opening
    after: Opening


@dataclass(frozen=True, slots=True)
class Leaves:
    """One place where a tree changes, and the cars for which it does; empty for all of them."""

    change: LeafChange
    cars: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Difference:
    """All that differs between two sides, and what comes of it.

    Of ``cases_known`` cases ``cases_played`` were played; the others cannot come out otherwise.
    """

    changes: tuple[Change, ...]
    cases: tuple[CaseChange, ...]
    leaves: tuple[Leaves, ...]
    openings: tuple[OpeningChange, ...]
    cases_known: int
    cases_played: int


class Car(NamedTuple):
    """A car that both sides know, and its parts on either."""

    setup: str
    gate: str | None
    bypass: str | None
    before: frozenset[str]
    after: frozenset[str]

    @property
    def name(self) -> str:
        """The car in words."""
        gate = f", {self.gate} gate" if self.gate else ""
        return self.setup + gate + (f", bypass {self.bypass}" if self.bypass else "")


def difference(old: Side, new: Side, everything: bool = False) -> Difference:
    """Compare two sides. With ``everything``, also play what no change can touch."""
    before, after = old.loaded.knowledge, new.loaded.knowledge
    touched = None if everything else Touched(before, after)
    known = {**old.loaded.cases, **new.loaded.cases}
    cases, played = _cases(old, new, touched)
    return Difference(
        changes=tuple(changes(old.loaded, new.loaded)),
        cases=tuple(cases),
        leaves=tuple(_leaves(before, after, everything)),
        openings=tuple(_openings(before, after, touched)),
        cases_known=len(known),
        cases_played=played,
    )


def unfit(knowledge: Knowledge, case: KnownCase) -> bool:
    """Does the case tell of a car, a complaint or an answer that the knowledge does not hold?"""
    try:
        parts_of(knowledge, case.setup, case.gate, case.bypass)
    except UsageError:
        return True
    if any(symptom not in knowledge.symptoms for symptom in case.symptoms):
        return True
    return any(
        check not in knowledge.checks
        or any(one != UNKNOWN and one not in knowledge.checks[check].answers for one in answers)
        for check, answers in case.answers.items()
    )


def _cases(old: Side, new: Side, touched: Touched | None) -> tuple[list[CaseChange], int]:
    """Every case to report, in the order of the files, and how many were played."""
    pairs = {name: _stories(old, new, name) for name in {**new.loaded.cases, **old.loaded.cases}}
    if touched is not None:
        pairs = {
            name: pair
            for name, pair in pairs.items()
            if _only(old, new, name) is not None or _open(touched, *pair)
        }
    before, after = _played(old.loaded.knowledge, new.loaded.knowledge, pairs)
    found = []
    for name, pair in pairs.items():
        only = _only(old, new, name)
        if before.get(name) != after.get(name) or only is not None:
            told = CaseChange(name, pair[1].title, only, before.get(name), after.get(name))
            found.append(told)
    return found, len(pairs)


def _stories(old: Side, new: Side, name: str) -> tuple[KnownCase, KnownCase]:
    """A case as either side tells it; one that stands on one side only is told the same on both."""
    one, other = old.loaded.cases.get(name), new.loaded.cases.get(name)
    told = other or one
    assert told is not None
    return one or told, other or told


def _only(old: Side, new: Side, name: str) -> str | None:
    if name not in old.loaded.cases:
        return "new"
    return "old" if name not in new.loaded.cases else None


def _open(touched: Touched, one: KnownCase, other: KnownCase) -> bool:
    """May a case that stands on both sides come out otherwise?"""
    if one.answers != other.answers or one.rest != other.rest:
        return True
    if one.expect != other.expect or any(
        getattr(one, field) != getattr(other, field) for field in _STORY
    ):
        return True
    parts = [
        parts_of(knowledge, case.setup, case.gate, case.bypass)
        for knowledge, case in ((touched.old, one), (touched.new, other))
    ]
    return touched.car(parts[0], parts[1], one.symptoms)


def _played(
    old: Knowledge, new: Knowledge, pairs: Mapping[str, tuple[KnownCase, KnownCase]]
) -> tuple[dict[str, Came], dict[str, Came]]:
    """How each case comes out on either side; without those that do not fit there."""
    one = {name: case for name, (case, _) in pairs.items() if not unfit(old, case)}
    other = {name: case for name, (_, case) in pairs.items() if not unfit(new, case)}
    before, after = outcomes_of_each([(old, one), (new, other)])
    return _came(old, one, before), _came(new, other, after)


def _came(
    knowledge: Knowledge, cases: Mapping[str, KnownCase], found: Mapping[str, Outcome]
) -> dict[str, Came]:
    missed = {name: misses(knowledge, case, found[name]) for name, case in cases.items()}
    return {
        name: Came(found[name], tuple(dict.fromkeys(one.aspect for one in missed[name])))
        for name in cases
    }


def cars(old: Knowledge, new: Knowledge, bypasses: bool) -> Iterator[Car]:
    """Every setup with each of its gates, and each bypass if asked for, that both sides know."""
    both = [None, *(name for name in new.bypasses if name in old.bypasses)] if bypasses else [None]
    for setup in new.setups:
        if setup not in old.setups:
            continue
        for gate in (None, *GATES):
            for bypass in both:
                try:
                    parts = [parts_of(one, setup, gate, bypass) for one in (old, new)]
                except UsageError:
                    continue
                if gate is None or new.setups[setup].gates:
                    yield Car(setup, gate, bypass, *parts)


def _leaves(old: Knowledge, new: Knowledge, everything: bool) -> Iterator[Leaves]:
    """Where trees change, once for all cars for which they change alike."""
    every = list(cars(old, new, bypasses=True))
    for symptom in new.symptoms:
        if symptom not in old.symptoms:
            continue
        one, other = old.symptoms[symptom], new.symptoms[symptom]
        alike = not everything and _walked_alike(old, new, one, other)
        # Cars may come to the same place by other ways; the way of the first car is told.
        found: dict[object, tuple[LeafChange, dict[str, None]]] = {}
        known: dict[tuple[frozenset[str], ...], list[LeafChange]] = {}
        matter = _parts_asked(old, one) | _parts_asked(new, other)
        for car in every:
            seen = (car.before & matter, car.after & matter)
            if alike and seen[0] == seen[1]:
                continue
            if seen not in known:
                known[seen] = leaf_changes(old, new, symptom, car.before, car.after)
            for change in known[seen]:
                what = (change.sort, change.before, change.after, change.place)
                found.setdefault(what, (change, {}))[1][car.name] = None
        for change, names in found.values():
            yield Leaves(change, () if len(names) == len(every) else tuple(names))


def _walked_alike(old: Knowledge, new: Knowledge, one: Symptom, other: Symptom) -> bool:
    """Are the trees the same, and the answers and needs of all checks in them?"""
    # As text, since the order of the branches counts and comparing mappings passes it over.
    if repr((one.tree, one.subtrees)) != repr((other.tree, other.subtrees)):
        return False
    return all(
        list(old.checks[check].answers) == list(new.checks[check].answers)
        and old.checks[check].needs == new.checks[check].needs
        for check in _checks_in(one)
    )


def _nodes(symptom: Symptom) -> Iterator[Tree]:
    todo: list[Tree] = [symptom.tree, *symptom.subtrees.values()]
    while todo:
        node = todo.pop()
        yield node
        if isinstance(node, Ask):
            todo += node.then.values()
        elif isinstance(node, Fork):
            todo += node.has.values()


def _checks_in(symptom: Symptom) -> set[str]:
    return {node.check for node in _nodes(symptom) if isinstance(node, Ask)}


def _parts_asked(knowledge: Knowledge, symptom: Symptom) -> frozenset[str]:
    """The parts that decide which way a car takes through a tree."""
    forks = {part for node in _nodes(symptom) if isinstance(node, Fork) for part in node.has}
    needs = {part for check in _checks_in(symptom) for part in knowledge.checks[check].needs}
    return frozenset(forks | needs)


def _openings(old: Knowledge, new: Knowledge, touched: Touched | None) -> Iterator[OpeningChange]:
    before, after = QuickConsultant(old), QuickConsultant(new)
    for symptom in new.symptoms:
        for car in cars(old, new, bypasses=False):
            if symptom not in old.symptoms:
                continue
            if touched is not None and not touched.car(car.before, car.after, [symptom]):
                continue
            state = _begun(symptom, car)
            one, other = opening(before, state), opening(after, state)
            if one != other:
                yield OpeningChange(symptom, car.setup, car.gate, one, other)


def _begun(symptom: str, car: Car) -> State:
    told: list[Any] = [Described("setup", car.setup), Described("symptom", symptom)]
    return fold([*told, Described("gate", car.gate)] if car.gate else told)


def opening(consultant: Consultant, state: State) -> Opening:
    """How the dialogue begins: no red flags, and a history that nobody can tell."""
    first: str | None = None
    checks: Mapping[str, Check] = consultant.knowledge.checks
    for _ in range(_MOST_ASKED):
        step = consultant.consult(state).step
        words = _step_words(step)
        asked = step.offer.id if isinstance(step, AskStep) else ""
        if asked == RED_FLAGS and first is None:
            sound = (checks[asked].sound_answer(),)
            state = advanced(state, Answered(asked, sound))
            continue
        first = first or words
        if asked not in checks or checks[asked].kind != "history":
            break
        state = advanced(state, Answered(asked, ()))
    return Opening(first or words, words)


def _step_words(step: Step) -> str:
    if isinstance(step, AskStep):
        return step.offer.id
    return f"names {step.cause.id}" if isinstance(step, ConcludeStep) else "hands the car over"
