"""The way that a case has walked through a tree."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from expert.case.consult import Consultant
from expert.case.standing import current
from expert.case.state import State
from expert.case.walk import Path, Visit, walk


class Marks:
    """Which places and branches a case has walked."""

    def __init__(self, case: State | None, visits: Sequence[Visit] = ()) -> None:
        self._case = case
        self._branches = {(visit.path, visit.branch) for visit in visits}
        self._paths = {visit.path for visit in visits}
        self._last = visits[-1].path if visits else None

    def walked(self, path: Path) -> bool:
        """Did the case come to this place?"""
        return path in self._paths

    def here(self, path: Path) -> bool:
        """Is this the last place that the case came to?"""
        return path == self._last

    def branch(self, path: Path, keys: Collection[str]) -> bool:
        """Did the case leave this place by one of these branches?"""
        return any((path, key) in self._branches for key in keys)

    def answered(self, check: str, answers: Collection[str], unknown: bool) -> bool:
        """Is one of these the case's answer to the check?"""
        given = self._case.answers(check) if self._case else ()
        return any(answer in answers for answer in given) if given else unknown


def marks_of(consultant: Consultant, symptom_id: str, case: State | None) -> Marks:
    """The marks of a case in one symptom's tree; none without a case that has a setup.

    In the tree of its complaint that is the way of its dialogue; in another tree, the way that its
    answers would take there.
    """
    if case is None or case.setup is None or not case.symptoms:
        return Marks(case)
    consultation = consultant.consult(case)
    if symptom_id == case.symptoms[0]:
        return Marks(case, consultation.way.visits)
    symptom, knowledge = consultant.knowledge.symptoms[symptom_id], consultant.knowledge
    now = current(knowledge, case)
    return Marks(case, walk(symptom, now, consultation.network.parts).visits)
