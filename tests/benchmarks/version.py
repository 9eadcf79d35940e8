"""How soon the command itself is there: ``gatepost --version`` against an empty Python."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

from tests.benchmarks.figure import Figure
from tests.benchmarks.ratio import ratio, seconds


def figures() -> Iterator[Figure]:
    installed = Path(sys.executable).with_name("gatepost")
    command = [str(installed)] if installed.exists() else [sys.executable, "-m", "expert"]
    found = ratio(
        seconds(lambda: _run([*command, "--version"])),
        seconds(lambda: _run([sys.executable, "-c", "pass"])),
        runs=30,
    )
    shown = "gatepost" if installed.exists() else "python -m expert"
    yield found.figure(f"{shown} --version / python -c pass", limit=3.0)


def _run(command: list[str]) -> None:
    subprocess.run(command, check=True, capture_output=True)
