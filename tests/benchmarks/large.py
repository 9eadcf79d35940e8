"""Every check's value on 1,000 causes x 1,000 checks, exact over all pairs.

Against the bare matrix product inside it: the pair matrix with the terms of all checks. Only that
product can use several threads, so the ratio depends on how many it is given; measured with as
many as numpy takes by itself, and with one: ``python -m tests.benchmarks.large`` prints the
seconds of both sides.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator

from tests.benchmarks import generated
from tests.benchmarks.figure import Figure
from tests.benchmarks.ratio import Ratio, ratio, seconds

_SIZE = 1000
_WHAT = f"values of {_SIZE} checks, {_SIZE} causes / bare product"
_ONE_THREAD = {"OPENBLAS_NUM_THREADS": "1", "MKL_NUM_THREADS": "1", "VECLIB_MAXIMUM_THREADS": "1"}


def figures() -> Iterator[Figure]:
    yield _measured({}).figure(_WHAT, 3.0)
    yield _measured(_ONE_THREAD).figure(f"{_WHAT}, one thread", 3.0)


def _measured(environ: dict[str, str]) -> Ratio:
    done = subprocess.run(
        [sys.executable, "-m", "tests.benchmarks.large"],
        env={**os.environ, **environ},
        check=True,
        capture_output=True,
        text=True,
    )
    ours_s, other_s = map(float, done.stdout.split())
    return Ratio(ours_s, other_s)


if __name__ == "__main__":
    big = generated.large(_SIZE)
    factor, pair = big.stack.factor, big.belief.pair
    found = ratio(seconds(big.values), seconds(lambda: factor @ pair), runs=7)
    print(found.ours_s, found.other_s)
