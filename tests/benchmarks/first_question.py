"""How soon the first question is on screen, against importing the libraries alone.

Both run in a terminal of their own and are timed until their text appears there; what they do
afterwards, such as taking the interpreter down, is not counted.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

import pexpect

from tests.benchmarks.figure import Figure
from tests.benchmarks.ratio import ratio

_IMPORTS = "import yaml, rich.console, prompt_toolkit, numpy; print('imported')"
# Output is looked for as often as this, in seconds; pexpect's own pause would be longer.
_PAUSE_S = 0.0005


def figures() -> Iterator[Figure]:
    with TemporaryDirectory() as folder:
        case = Path(folder, "case.jsonl")

        def first_question() -> float:
            case.unlink(missing_ok=True)
            return _until("Your answer:", ["-m", "expert", "diagnose", "--case", str(case)])

        found = ratio(first_question, lambda: _until("imported", ["-c", _IMPORTS]), runs=20)
    yield found.figure("first question / importing the libraries alone", limit=1.6)


def _until(text: str, arguments: list[str]) -> float:
    begun = perf_counter()
    window = pexpect.spawn(
        sys.executable,
        arguments,
        env={**os.environ, "TERM": "xterm-256color"},
        dimensions=(40, 80),
        timeout=30,
    )
    window.delayafterread = _PAUSE_S
    window.expect_exact(text)
    taken = perf_counter() - begun
    window.close(force=True)
    return taken
