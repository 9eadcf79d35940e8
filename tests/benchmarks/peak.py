"""Run a command and write its peak memory: ``python -m tests.benchmarks.peak OUT COMMAND...``.

A process of its own, which imports next to nothing, because a child's peak as the system counts
it begins with what its parent held.
"""

from __future__ import annotations

import resource
import subprocess
import sys

# Linux counts in KiB, macOS in bytes.
_UNIT = 1 if sys.platform == "darwin" else 1024


def main(out: str, command: list[str]) -> int:
    code = subprocess.call(command)
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss * _UNIT
    with open(out, "w", encoding="ascii") as stream:  # noqa: PTH123 (pathlib costs memory)
        stream.write(str(peak))
    return code


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.argv[2:]))
