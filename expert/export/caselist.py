"""The cases of a folder, one line each."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TypedDict

from expert.case.journal import read
from expert.case.place import cases_in
from expert.case.state import State, fold
from expert.errors import GatepostError
from expert.text import clean


class Listed(TypedDict):
    """One case, as ``gatepost case list --json`` prints it."""

    file: str
    begun: str | None
    setup: str | None
    symptoms: list[str]
    answers: int
    confirmed: str | None
    problem: str | None


def listed_cases(folder: Path) -> list[Listed]:
    """Every case of the folder, the latest change first; a broken one says what is wrong."""
    return [_listed(path) for path in cases_in(folder)]


def _listed(path: Path) -> Listed:
    try:
        reading = read(path)
    except GatepostError as error:
        return _row(path, None, State(), clean(str(error)))
    return _row(path, reading.times[0] if reading.times else None, fold(reading.events), None)


def _row(path: Path, begun: str | None, state: State, problem: str | None) -> Listed:
    return {
        "file": str(path),
        "begun": begun,
        "setup": state.setup,
        "symptoms": list(state.symptoms),
        "answers": len(state.findings),
        "confirmed": state.confirmed,
        "problem": problem,
    }


def case_lines(cases: Sequence[Listed]) -> list[str]:
    """One line a case, for people: when, what, how far, and the file to go on with."""
    return [_line(case) for case in cases]


def _line(case: Listed) -> str:
    begun = clean(case["begun"] or "")[:16].replace("T", " ")
    if case["problem"]:
        return clean(f"unreadable: {case['problem']}")
    about = ", ".join([*case["symptoms"], *([case["setup"]] if case["setup"] else [])])
    end = f"found {case['confirmed']}" if case["confirmed"] else f"{case['answers']} answers"
    return clean(f"{begun}  {about or 'nothing said yet'}  ({end})  {case['file']}")
