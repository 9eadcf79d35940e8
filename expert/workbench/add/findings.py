"""What the rules of ``gatepost knowledge check`` find in a change that they did not find before."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import Path

from expert.loading.folder import Loaded
from expert.rules.registry import RULES
from expert.rules.rule import Finding
from expert.rules.run import run
from expert.workbench.check import subject_of
from expert.workbench.check_files import files_of
from expert.workbench.check_report import line


def new_findings(
    before: tuple[Loaded, Sequence[Path]],
    after: tuple[Loaded, Sequence[Path]],
    renamed: Callable[[str], str],
) -> list[str]:
    """The findings of the second knowledge that the first has not, each as a line.

    Both come with the folders that they were read from. ``renamed`` gives a file of the second the
    name that it will have. A line that has only moved is nothing new.
    """
    known = Counter(_key(finding, finding.place.file) for finding in _found(*before))
    lines = []
    for finding in _found(*after):
        key = _key(finding, renamed(finding.place.file))
        if known[key]:
            known[key] -= 1
        else:
            lines.append(renamed(line(finding)))
    return lines


def _found(loaded: Loaded, folders: Sequence[Path]) -> tuple[Finding, ...]:
    return run(subject_of(loaded, files_of(folders)), RULES).findings


def _key(finding: Finding, file: str) -> tuple[str, object, str]:
    """What stays when lines move; an entry that is copied moves to another file as well."""
    return finding.rule, finding.entry or file, finding.message
