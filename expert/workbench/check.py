"""What is wrong with knowledge folders, and what is unwise in them, by all rules or some."""

from __future__ import annotations

import gc
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from expert.errors import KnowledgeError
from expert.loading.folder import Loaded, load_with_cases, shipped_folder
from expert.loading.heard import load_heard
from expert.loading.letters import load_letters
from expert.loading.linking.cars import Cars
from expert.model import Knowledge
from expert.rules.ids import FORM
from expert.rules.rule import Finding, Rule, Subject
from expert.rules.run import Excused, run
from expert.workbench.check_files import Files, files_of, mended, texts_of, write_all

# Mending one thing may bare another; what is left after so many rounds is reported.
_ROUNDS: Final = 3


@dataclass(frozen=True, slots=True)
class Checked:
    """What was found; without knowledge, when mistakes of form have kept it from being read.

    ``fixed`` counts the findings that were mended, ``fixable`` those of the rest that could be.
    """

    knowledge: Knowledge | None
    findings: tuple[Finding, ...]
    excused: tuple[Excused, ...] = ()
    fixed: int = 0

    @property
    def fixable(self) -> int:
        """How many findings could be mended for certain."""
        return sum(finding.fix is not None for finding in self.findings)


def checked(folders: Sequence[Path], rules: Sequence[Rule], mend: Sequence[Path] = ()) -> Checked:
    """Look through the folders; in those of ``mend``, first mend what can be mended for certain.

    Files are mended whole and all together, or none is. Raises MissingError when a folder cannot
    be read, or a file cannot be written.
    """
    with _uncollected():
        return _checked(folders, rules, files_of(mend))


@contextmanager
def _uncollected() -> Iterator[None]:
    """No search for cyclic garbage meanwhile: what is read is kept, so searches find none.

    On large folders they would take as long as the rules; see tests/benchmarks/check_large.py.
    """
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


def _checked(folders: Sequence[Path], rules: Sequence[Rule], ours: Files) -> Checked:
    found, files = _looked(folders, rules)
    fixed = 0
    for _ in range(_ROUNDS):
        fixes = [one.fix for one in found.findings if one.fix is not None and one.fix.file in ours]
        if not fixes:
            break
        write_all(mended(fixes, files))
        before = found.fixable
        found, files = _looked(folders, rules)
        fixed += max(before - found.fixable, 0)
    return replace(found, fixed=fixed)


def _looked(folders: Sequence[Path], rules: Sequence[Rule]) -> tuple[Checked, Files]:
    files = files_of(folders)
    try:
        loaded = load_with_cases(folders)
        # For their mistakes alone; the shipped letters are looked through by the tests.
        load_heard(folders, loaded.knowledge)
        own = [one for one in folders if one != shipped_folder()]
        load_letters(own, loaded.knowledge)
    except KnowledgeError as problem:
        mistakes = (
            Finding(mistake.place, mistake.message, FORM, "error") for mistake in problem.mistakes
        )
        return Checked(None, tuple(mistakes)), files
    outcome = run(subject_of(loaded, files), rules)
    return Checked(loaded.knowledge, outcome.findings, outcome.excused), files


def subject_of(loaded: Loaded, files: Files) -> Subject:
    """What the rules look at."""
    knowledge, cases, places, documents = loaded
    cars = Cars(knowledge.setups, knowledge.bypasses)
    return Subject(knowledge, cases, places, cars, tuple(texts_of(documents, files)))
