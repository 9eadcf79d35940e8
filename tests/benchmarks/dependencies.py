"""What each runtime dependency takes: megabytes installed, and processor time to import."""

from __future__ import annotations

import resource
import subprocess
import sys
from collections.abc import Iterator
from importlib.metadata import files

from tests.benchmarks.figure import Figure

# The name on the registry, and what the program imports of it.
PACKAGES = {
    "PyYAML": "yaml",
    "prompt_toolkit": "prompt_toolkit",
    "rich": "rich.console",
    "graphviz": "graphviz",
    "numpy": "numpy",
    "scipy": "scipy.signal",
    "matplotlib": "matplotlib.figure",
}
_RUNS = 7


def figures() -> Iterator[Figure]:
    nothing_ms = _start_ms("pass")
    yield Figure("python -c pass", nothing_ms, "ms", digits=2)
    for package, module in PACKAGES.items():
        yield Figure(f"{package}, size", _size_mb(package), "MB", digits=2)
        added_ms = _start_ms(f"import {module}") - nothing_ms
        yield Figure(f"{package}, start", added_ms, "ms", digits=3)


def _size_mb(package: str) -> float:
    """What the package's own files take, without compiled caches."""
    found = files(package)
    assert found is not None
    sizes = [file.locate().stat().st_size for file in found if file.suffix != ".pyc"]
    return sum(sizes) / 1e6


def _start_ms(code: str) -> float:
    return min(_spent_ms(code) for _ in range(_RUNS))


def _spent_ms(code: str) -> float:
    """Processor time of a fresh interpreter, its own and the system's."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, "-c", code], check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return 1e3 * (after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
