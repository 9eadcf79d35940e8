"""Seconds to compare the whole shipped knowledge with itself after one entry was changed.

Once for a row that all cars have, so that every case must be played on both sides; once for a row
that few cars have; and once for a text. The process is new each time, as on the command line. The
ratio to trying all cases once says the same on a machine that is busy with other things.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from expert.loading.folder import load_with_cases, shipped_folder
from tests.benchmarks.figure import Figure

LIMIT_SECONDS = 3.0
ROUNDS = 3


def figures() -> Iterator[Figure]:
    knowledge, _, places, _ = load_with_cases([shipped_folder()])
    rows = [
        (len(check.needs) + len(knowledge.causes[cause].needs), name, cause)
        for name, check in knowledge.checks.items()
        for cause in check.given
    ]
    with TemporaryDirectory() as scratch:
        for what, (_, check, cause) in (
            ("a row that all cars have", min(rows)),
            ("a row that few cars have", max(rows)),
        ):
            copy = _copy(Path(scratch) / what.split()[3])
            answer = next(iter(knowledge.checks[check].given[cause]))
            place = places.value("check", check, "given", cause, answer)
            _edit(copy / _inside(place.file), place.line, place.column, ".123")
            yield _figure(copy, what, f"{check}, {cause}")
        copy = _copy(Path(scratch) / "text")
        cause = next(iter(knowledge.causes))
        place = places.value("cause", cause, "title")
        _edit(copy / _inside(place.file), place.line, place.column, "Changed #")
        yield _figure(copy, "a title", cause)


def _inside(file: str) -> str:
    return "/".join(Path(file).parts[-2:])


def _copy(folder: Path) -> Path:
    shutil.copytree(shipped_folder(), folder)
    return folder


def _edit(file: Path, line: int, column: int, value: str) -> None:
    """Put another value where one stands; what follows it stays as far as it belongs to others."""
    lines = file.read_text(encoding="utf-8").splitlines(keepends=True)
    text = lines[line - 1]
    rest = text[column - 1 :]
    end = min((k for k, letter in enumerate(rest) if letter in ",}\n"), default=len(rest))
    lines[line - 1] = text[: column - 1] + value + rest[end:]
    file.write_text("".join(lines), encoding="utf-8")


def _figure(copy: Path, what: str, which: str) -> Figure:
    seconds, told = _timed("diff", str(shipped_folder()), str(copy), "--json")
    tried, _ = _timed("try")
    found = json.loads(told)
    note = (
        f"{seconds / tried:.2g} of trying all cases; {which}: {len(found['changes'])} change, "
        f"{found['cases_played']} of {found['cases_known']} cases played, "
        f"{len(found['cases'])} differ"
    )
    return Figure(f"diff after {what} changed", seconds, "s", LIMIT_SECONDS, note)


def _timed(*words: str) -> tuple[float, bytes]:
    """The shortest time of a command, and what it prints."""
    line = [sys.executable, "-m", "expert", "knowledge", *words]
    times = []
    for _ in range(ROUNDS):
        began = perf_counter()
        told = subprocess.run(line, capture_output=True, check=True).stdout
        times.append(perf_counter() - began)
    return min(times), told
