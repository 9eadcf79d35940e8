"""10,000 random networks: how many find no balance or a pressure that cannot be."""

from __future__ import annotations

import time
from collections.abc import Iterator
from random import Random

from expert.bench.pneumatics import BalanceError, steady, stepped
from tests.bench.networks import random_network
from tests.benchmarks.figure import Figure

NETWORKS = 10_000


def figures() -> Iterator[Figure]:
    unbalanced = impossible = 0
    started = time.perf_counter()
    for number in range(NETWORKS):
        rng = Random(number)
        network, before = random_network(rng)
        try:
            found = [
                steady(network, before),
                stepped(network, before, True, 10 ** rng.uniform(-5, 1)),
            ]
        except BalanceError:
            unbalanced += 1
            continue
        impossible += any(min(pressures.values()) <= 0.0 for pressures in found)
    seconds = time.perf_counter() - started
    note = f"{NETWORKS:,} networks, {1000 * seconds / NETWORKS:.2f} ms each"
    yield Figure("without a balance", unbalanced, "", 0, note)
    yield Figure("with an absolute pressure of zero or less", impossible, "", 0)
