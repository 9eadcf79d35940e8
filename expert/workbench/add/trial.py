"""What a plan would come to: the folder as it would be, loaded, checked, tried and compared."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from expert.errors import KnowledgeError, MissingError
from expert.loading.folder import Loaded, load_with_cases
from expert.loading.source import shown_path
from expert.text import clean
from expert.workbench.add.findings import new_findings
from expert.workbench.add.plan import Plan
from expert.workbench.add.setting import NewEntry
from expert.workbench.add.target import Target

if TYPE_CHECKING:
    from expert.workbench.tryout import Outcome


@dataclass(frozen=True, slots=True)
class Tried:
    """The new case, and the cases that came out as expected before and no longer do.

    ``lines`` tell what misses, and why; there are none when all is well. ``ways`` tell which cases
    are asked other checks than before.
    """

    named: str | None
    asked: int
    lines: tuple[str, ...]
    broken: tuple[str, ...]
    ways: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Trial:
    """All that is known of a plan before it is written; a broken one has mistakes and no more."""

    mistakes: tuple[str, ...] = ()
    findings: tuple[str, ...] = ()
    tried: Tried | None = None


def trial(new: NewEntry, plan: Plan, target: Target, before: Loaded) -> Trial:
    """Make the plan true in a temporary copy, and look at it as a tuner would."""
    with _copied(target, plan) as (folders, renamed):
        try:
            after = load_with_cases(folders)
        except KnowledgeError as error:
            return Trial(mistakes=tuple(renamed(str(mistake)) for mistake in error.mistakes))
        findings = new_findings((before, target.there()), (after, folders), renamed)
        return Trial(findings=tuple(findings), tried=_tried(new, before, after, renamed))


class _Renamed:
    """Messages about the copy, in words about the folder itself."""

    def __init__(self, copy: Path, folder: Path) -> None:
        self._copy, self._folder = shown_path(copy), shown_path(folder)

    def __call__(self, text: str) -> str:
        return text.replace(self._copy, "" if self._folder == "." else self._folder)


@contextmanager
def _copied(target: Target, plan: Plan) -> Iterator[tuple[list[Path], _Renamed]]:
    """The folders with a copy in place of the target, in which the plan has come true."""
    try:
        with tempfile.TemporaryDirectory(prefix="gatepost-") as made:
            copy = Path(made).resolve() / "copy"
            if target.folder.exists():
                shutil.copytree(target.folder, copy, ignore=shutil.ignore_patterns(".*", "*~"))
            for change in plan.changes:
                path = copy / change.path.relative_to(target.folder)
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(change.after)
            folders = [copy if one == target.folder else one for one in target.folders]
            yield folders, _Renamed(copy, target.folder)
    except (OSError, shutil.Error) as error:
        raise MissingError(
            f"The change cannot be tried in a copy ({clean(str(error), 200)}). Nothing was written."
        ) from None


def _tried(new: NewEntry, before: Loaded, after: Loaded, renamed: _Renamed) -> Tried | None:
    """Play all cases; those of before also as they were."""
    # Imported here: numpy comes with it, and the questions can be asked without.
    from expert.workbench.tryout import misses, outcomes
    from expert.workbench.tryout_quick import QuickConsultant
    from expert.workbench.tryout_report import lines

    if not after.cases:
        return None
    now = outcomes(QuickConsultant(after.knowledge), after.cases)
    missing = {name: misses(after.knowledge, case, now[name]) for name, case in after.cases.items()}
    was = outcomes(QuickConsultant(before.knowledge), before.cases)
    broken = tuple(
        name
        for name, case in before.cases.items()
        if missing.get(name) and not misses(before.knowledge, case, was[name])
    )
    own = new.case.id if new.case is not None else None
    told = [
        renamed(line)
        for name in ([own] if own is not None else []) + list(broken)
        for line in lines(name, after.cases[name], now[name], missing[name], after.places)
    ]
    named = now[own].named if own is not None else None
    asked = len(now[own].asked) if own is not None else 0
    return Tried(named, asked, tuple(told), broken, tuple(_ways(was, now)))


def _ways(was: Mapping[str, Outcome], now: Mapping[str, Outcome]) -> Iterator[str]:
    """The cases that take another way than before, those that change most first."""
    grown = {
        name: len(now[name].asked) - len(before.asked)
        for name, before in was.items()
        if name in now and now[name].asked != before.asked
    }
    for name in sorted(grown, key=lambda name: -abs(grown[name])):
        first, then = len(was[name].asked), len(now[name].asked)
        yield f"{name}: {first} checks before, {then} now"
