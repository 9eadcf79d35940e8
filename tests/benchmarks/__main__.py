"""Measure the named figures, or all of them: ``python -m tests.benchmarks [NAME...]``."""

from __future__ import annotations

import os
import sys
from importlib import import_module

from expert.errors import EXIT_DONE, EXIT_PROBLEMS, EXIT_USAGE
from tests.benchmarks.figure import Figure

# As the command line does, before anything imports numpy.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# Each has a function figures(), and says in its docstring what is measured.
NAMES = (
    "version",
    "first_question",
    "loading",
    "one_answer",
    "next_check",
    "memory",
    "large",
    "growth",
    "libraries",
    "optimum_random",
    "optimum_shipped",
    "effort",
    "learn",
    "calibrate",
    "tryout",
    "mail",
    "adding",
    "diff",
    "gaps",
    "networks",
    "hookup",
    "pull",
    "log_reading",
    "log_measure",
    "log_whole",
    "check_large",
    "dependencies",
)


def main(names: list[str]) -> int:
    unknown = [name for name in names if name not in NAMES]
    if unknown:
        print(f"no figure is called {', '.join(unknown)}; there are: {', '.join(NAMES)}")
        return EXIT_USAGE
    over: list[Figure] = []
    for name in names or NAMES:
        print(f"{name}:", flush=True)
        for figure in import_module(f"tests.benchmarks.{name}").figures():
            print(f"  {figure.line()}", flush=True)
            if figure.over:
                over.append(figure)
    print(f"{len(over)} over the limit" if over else "all within their limits")
    return EXIT_PROBLEMS if over else EXIT_DONE


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
