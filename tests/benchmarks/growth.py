"""How time and memory grow with the knowledge, up to 2,000 causes x 2,000 checks.

Every size runs in a process of its own: ``python -m tests.benchmarks.growth SIZE`` prints the
best seconds of all check values; the peak is of that process, its generated knowledge included.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks import generated
from tests.benchmarks.figure import Figure
from tests.benchmarks.ratio import best, seconds

_SIZES = (100, 300, 1000, 2000)
_RUNS = 3


def figures() -> Iterator[Figure]:
    with TemporaryDirectory() as folder:
        out = Path(folder, "peak")
        for size in _SIZES:
            worker = [sys.executable, "-m", "tests.benchmarks.growth", str(size)]
            done = subprocess.run(
                [sys.executable, "-m", "tests.benchmarks.peak", str(out), *worker],
                check=True,
                capture_output=True,
                text=True,
            )
            peak_mb = int(out.read_text(encoding="ascii")) / 1e6
            yield Figure(
                f"{size} causes x {size} checks",
                float(done.stdout) * 1e3,
                "ms",
                note=f"peak memory {peak_mb:.0f} MB",
            )


if __name__ == "__main__":
    print(best(seconds(generated.large(int(sys.argv[1])).values), _RUNS))
