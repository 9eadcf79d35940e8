"""The peak memory of a command, measured by ``tests.benchmarks.peak`` in a process of its own."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path


def peak_bytes(folder: Path, command: Sequence[str], env: Mapping[str, str] | None = None) -> int:
    """Run a command of this Python; its output is thrown away."""
    out = folder / "peak"
    measured = [sys.executable, "-m", "tests.benchmarks.peak", str(out), sys.executable, *command]
    subprocess.run(measured, check=True, stdout=subprocess.DEVNULL, env=env)
    return int(out.read_text(encoding="ascii"))
