"""Rules tried on the small invented knowledge, with some files added or replaced."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from expert.rules.registry import BY_ID
from expert.rules.rule import Finding
from expert.workbench.check import Checked, checked
from tests.loading.folders import SMALL


def write(folder: Path, files: Mapping[str, str]) -> Path:
    """Files byte for byte in a folder."""
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode("utf-8"))
    return folder


def folders(folder: Path, files: Mapping[str, str]) -> list[Path]:
    """The small knowledge, and a folder of these files that adds to it."""
    return [write(folder / "small", SMALL), write(folder / "ours", files)]


def look(rule: str, folder: Path, files: Mapping[str, str]) -> Checked:
    """What one rule finds in the small knowledge with these files."""
    found = checked(folders(folder, files), [BY_ID[rule]])
    assert found.knowledge is not None, [f"{one.place}: {one.message}" for one in found.findings]
    return found


def findings(rule: str, folder: Path, files: Mapping[str, str]) -> list[Finding]:
    """Its findings in these files alone, whatever the small knowledge has wrong."""
    prefix = f"{folder}/ours/"
    return [
        finding
        for finding in look(rule, folder, files).findings
        if finding.place.file.removeprefix(prefix) in files
    ]


def lines(rule: str, folder: Path, files: Mapping[str, str]) -> list[str]:
    """The same as lines with file, line and column."""
    return [
        f"{str(one.place).removeprefix(f'{folder}/ours/')}: {one.message}"
        for one in findings(rule, folder, files)
    ]


def check(
    name: str = "glance",
    ask: str = "What do you see?",
    answers: str = "{good: good, bad: bad}",
    healthy: str = "{bad: .01}",
    given: str = "{hose-off: {bad: .9}}",
    more: str = "",
) -> str:
    """One check as a file has it; ``more`` are whole lines before its answers, in line 4."""
    return (
        f"{name}:\n  ask: {ask}\n  minutes: 3\n{more}  answers: {answers}\n"
        f"  healthy: {healthy}\n  given: {given}\n  basis: invented\n"
    )


def cause(name: str = "leak", title: str = "A leak", more: str = "") -> str:
    """One cause as a file has it; ``more`` are whole lines, from line 9 on."""
    return (
        f"{name}:\n  title: {title}\n  what: Air goes.\n  confirm: Look.\n  fix: Mend it.\n"
        "  seen: {just-fitted: rare, settled: rare}\n  minutes: 10\n  parts: low\n"
        f"{more or '  danger: none' + chr(10)}  basis: invented\n"
    )
