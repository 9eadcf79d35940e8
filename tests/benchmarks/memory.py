"""Peak memory of a whole session in the shell, from the first question to the cause found."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

import pexpect

from tests.benchmarks.figure import Figure

_LIMIT_MB = 130.0
_CAR = ["--setup", "external-single", "--bypass", "none", "--symptom", "lazy"]
_CAR += ["--spring", "50 kPa", "--target", "100 kPa"]
_LOOKS = ("ranking", "status", "why", "how")
_MOST_QUESTIONS = 200


def figures() -> Iterator[Figure]:
    with TemporaryDirectory() as folder:
        out = Path(folder, "peak")
        case = Path(folder, "case.jsonl")
        arguments = ["-m", "tests.benchmarks.peak", str(out), sys.executable, "-m", "expert"]
        answers = _session([*arguments, "diagnose", "--case", str(case), *_CAR])
        peak_mb = int(out.read_text(encoding="ascii")) / 1e6
    yield Figure("a whole session", peak_mb, "MB", _LIMIT_MB, f"{answers} lines typed")


def _session(arguments: list[str]) -> int:
    """Look at everything once, then say that all is healthy until there is nothing to ask."""
    window = pexpect.spawn(
        sys.executable,
        arguments,
        env={**os.environ, "TERM": "xterm-256color"},
        dimensions=(40, 80),
        timeout=30,
    )
    lines = [*_LOOKS, *["1"] * _MOST_QUESTIONS]
    for typed, line in enumerate(lines):
        if window.expect_exact(["Your answer:", pexpect.EOF]) == 1:
            return typed
        window.send(f"{line}\r")
    window.sendeof()
    window.expect(pexpect.EOF)
    return len(lines)
