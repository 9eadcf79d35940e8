"""Every check's value on 1,000 causes x 1,000 checks, exact over all pairs.

Against the bare matrix product inside it: the pair matrix with the terms of all checks.
"""

from __future__ import annotations

from collections.abc import Iterator

from tests.benchmarks import generated
from tests.benchmarks.figure import Figure
from tests.benchmarks.ratio import ratio, seconds

_SIZE = 1000


def figures() -> Iterator[Figure]:
    big = generated.large(_SIZE)
    factor, pair = big.stack.factor, big.belief.pair
    found = ratio(seconds(big.values), seconds(lambda: factor @ pair), runs=7)
    note = f"product {factor.shape[0]} x {factor.shape[1]} x {pair.shape[1]}"
    yield found.figure(f"values of {_SIZE} checks, {_SIZE} causes / bare product", 3.0, note)
