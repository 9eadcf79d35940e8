"""From the knowledge, the cars and perhaps a case to the outline of a symptom's tree."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from expert.case.car import parts_of
from expert.case.consult import Consultant
from expert.case.known import known
from expert.case.safety import RED_FLAGS, Drive
from expert.case.state import State
from expert.case.walk import Path, fork_branch
from expert.export.lanes import grouped, shares
from expert.export.marks import Marks, marks_of
from expert.export.outline import (
    Branch,
    CheckSpot,
    ForkSpot,
    Lane,
    Leaf,
    Outline,
    Spot,
    Suspicion,
)
from expert.export.places import Place, Places, places
from expert.export.ways import Guide, Way, Ways, best_of
from expert.model import OTHERWISE, Ask, Fork, Knowledge, Suspect

NONE_OF_THESE: Final = "none of these"
_DRIVES: Final[tuple[Drive, ...]] = ("ok", "caution", "stop")

Target = Path | Leaf | None


def sketch(
    consultant: Consultant, symptom_id: str, cars: Sequence[State], case: State | None = None
) -> Outline:
    """The outline of a symptom's tree for these cars, with the way of ``case`` marked.

    ``cars`` are states with a setup (see ``cars_for``); findings in them count as known. Raises
    UsageError for an unknown symptom.
    """
    knowledge = consultant.knowledge
    known("symptom", symptom_id, knowledge.symptoms)
    symptom = knowledge.symptoms[symptom_id]
    marks = marks_of(consultant, symptom_id, case)
    sketcher = _Sketcher(Guide(consultant), knowledge, places(symptom), cars, marks)
    return sketcher.outline(symptom_id, case is not None)


@dataclass(frozen=True, slots=True)
class _Done:
    """What has been asked and prepared, whatever the way."""

    asked: frozenset[str] = frozenset()
    prepared: frozenset[str] = frozenset()

    def both(self, other: _Done) -> _Done:
        return _Done(self.asked & other.asked, self.prepared & other.prepared)


@dataclass(slots=True)
class _Arrival:
    """Everything that comes in at a spot."""

    done: _Done
    ways: list[Ways] = field(default_factory=list)
    parents: set[Path] = field(default_factory=set)


class _Sketcher:
    """Goes through the places in order, so that all ways into one are known before it is drawn."""

    def __init__(
        self, guide: Guide, knowledge: Knowledge, tree: Places, cars: Sequence[State], marks: Marks
    ) -> None:
        self.guide = guide
        self.knowledge = knowledge
        self.tree = tree
        self.cars = cars
        self.marks = marks
        self.parts = [parts_of(knowledge, car.setup or "", car.gate, car.bypass) for car in cars]
        self.arrivals: dict[Path, _Arrival] = {}

    def outline(self, symptom_id: str, case: bool) -> Outline:
        start = {
            number: Way(_complaining(car, symptom_id), 1.0) for number, car in enumerate(self.cars)
        }
        root = self._reach(self.tree.root, start, None, _Done())
        if isinstance(root, Leaf):
            root = replace(root, walked=self.marks.walked(self.tree.root))
        spots: dict[Path, Spot] = {}
        for path, place in self.tree.by_path.items():
            if path in self.arrivals:
                spots[path] = self._spot(path, place, self.arrivals[path])
        shared = tuple(path for path in spots if len(self.arrivals[path].parents) > 1)
        return Outline(symptom_id, root, spots, shared, len(self.cars), case)

    def _reach(self, start: Path | None, ways: Ways, parent: Path | None, done: _Done) -> Target:
        """What is drawn at the end of a branch; a spot is told what comes in there."""
        path = self._end(start, ways)
        if path is None:
            return None
        node = self.tree.by_path[path].node
        if isinstance(node, Suspect):
            return self._leaf(node, ways)
        arrival = self.arrivals.setdefault(path, _Arrival(done))
        arrival.done = arrival.done.both(done)
        arrival.ways.append(ways)
        if parent is not None:
            arrival.parents.add(parent)
        return path

    def _end(self, path: Path | None, ways: Ways) -> Path | None:
        """The place after every fork that all these cars leave by the same branch."""
        while path is not None and isinstance(node := self.tree.by_path[path].node, Fork):
            branches = {fork_branch(node, self.parts[car]) for car in ways}
            if len(branches) != 1:
                return path
            path = self.tree.by_path[path].steps.get(branches.pop() or "")
        return path

    def _drawn(self, step: Path, ways: Ways) -> Path | Suspect | None:
        """What tells apart the ends of branches: a spot, the suspects of a leaf, or nothing."""
        path = self._end(step, ways)
        node = self.tree.by_path[path].node if path is not None else None
        return node if isinstance(node, Suspect) else path

    def _leaf(self, node: Suspect, ways: Ways) -> Leaf:
        suspects = []
        for cause in node.suspect:
            needs = set(self.knowledge.causes[cause].needs)
            chances = [
                self.guide.consult(way.state).chance(cause)
                for car, way in ways.items()
                if needs <= self.parts[car]
            ]
            if chances:
                suspects.append(Suspicion(cause, min(chances), max(chances)))
        drives = [self.guide.consult(way.state).verdict.drive for way in ways.values()]
        return Leaf(tuple(suspects), max(drives, key=_DRIVES.index), walked=False)

    def _spot(self, path: Path, place: Place, arrival: _Arrival) -> Spot:
        ways = best_of(arrival.ways)
        match place.node:
            case Ask(check):
                return self._check(path, place, check, ways, arrival.done)
            case Fork() as fork:
                return self._fork(path, place, fork, ways, arrival.done)
            case Suspect():
                raise AssertionError("a leaf is drawn by each spot that leads to it")

    def _fork(self, path: Path, place: Place, fork: Fork, ways: Ways, done: _Done) -> ForkSpot:
        taken: dict[str | None, dict[int, Way]] = {}
        for car, way in ways.items():
            taken.setdefault(fork_branch(fork, self.parts[car]), {})[car] = way
        branches = []
        parts = {part: self.knowledge.parts[part].title for part in fork.has if part != OTHERWISE}
        nothing = f"no {next(iter(parts.values()))}" if len(parts) == 1 else NONE_OF_THESE
        for key in (*fork.has, None):
            if key in taken:
                words = parts.get(key or "", nothing)
                lane = Lane((words,), "none", self.marks.branch(path, [key or ""]))
                target = self._reach(place.steps.get(key or ""), taken[key], path, done)
                branches.append(_branch((lane,), target))
        return ForkSpot(
            tuple(parts), self.marks.walked(path), self.marks.here(path), _merged(branches)
        )

    def _check(self, path: Path, place: Place, check_id: str, ways: Ways, done: _Done) -> CheckSpot:
        check = self.knowledge.checks[check_id]
        after = _Done(done.asked | {check_id}, done.prepared | set(check.prepare))
        branches = []
        ends = {key: self._drawn(step, ways) for key, step in place.steps.items()}
        for group in grouped(check, ends, self._possible(check_id, ways)):
            onward = self.guide.onward(ways, check_id, group.answers, group.unknown)
            step = place.steps.get(next(iter(group.keys.values())))
            target = self._reach(step, onward, path, after)
            lanes = tuple(
                Lane(
                    share.words,
                    share.danger,
                    self.marks.branch(path, group.keys.values())
                    and self.marks.answered(check_id, share.answers, share.unknown),
                )
                for share in shares(check, group)
            )
            branches.append(_branch(lanes, target))
        return CheckSpot(
            check=check_id,
            prepare=tuple(work for work in check.prepare if work not in done.prepared),
            known=check_id in done.asked,
            withheld=check.loads_engine and self._withheld(ways),
            walked=self.marks.walked(path),
            here=self.marks.here(path),
            branches=tuple(branches),
        )

    def _possible(self, check_id: str, ways: Ways) -> set[str]:
        """The answers that one of the cars can give, or has given; red flags are all asked."""
        check = self.knowledge.checks[check_id]
        if check_id == RED_FLAGS:
            return set(check.answers)
        found: set[str] = set()
        for way in ways.values():
            found |= check.answers_for(self.guide.consult(way.state).network.causes).keys()
            found |= set(way.state.answers(check_id))
        return found

    def _withheld(self, ways: Ways) -> bool:
        """Is the load gate shut for every car?"""
        return not any(self.guide.consult(way.state).gate.allowed for way in ways.values())


def _branch(lanes: tuple[Lane, ...], target: Target) -> Branch:
    """A branch; a leaf belongs to it alone and is walked with it."""
    if isinstance(target, Leaf):
        target = replace(target, walked=any(lane.walked for lane in lanes))
    return Branch(lanes, target)


def _merged(branches: Iterable[Branch]) -> tuple[Branch, ...]:
    """Branches to the same spot become one."""
    merged: dict[object, Branch] = {}
    for number, branch in enumerate(branches):
        key = branch.target if isinstance(branch.target, tuple) else number
        before = merged[key].lanes if key in merged else ()
        merged[key] = Branch((*before, *branch.lanes), branch.target)
    return tuple(merged.values())


def _complaining(car: State, symptom: str) -> State:
    """The car with this symptom as its complaint, and the others after it."""
    others = tuple(other for other in car.symptoms if other != symptom)
    return replace(car, symptoms=(symptom, *others))
