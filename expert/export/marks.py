"""The way that a case has walked through a tree."""

from __future__ import annotations

from collections.abc import Collection

from expert.case.car import parts_of
from expert.case.state import State
from expert.case.walk import Path, Visit, walk
from expert.model import Knowledge, Symptom


class Marks:
    """Which places and branches a case has walked; none without a case that has a setup."""

    def __init__(self, knowledge: Knowledge, symptom: Symptom, case: State | None) -> None:
        self._case = case
        visits: tuple[Visit, ...] = ()
        if case is not None and case.setup is not None:
            parts = parts_of(knowledge, case.setup, case.gate, case.bypass)
            visits = walk(symptom, case, parts).visits
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
