"""Random networks for the tests and the benchmarks of the pneumatics."""

from __future__ import annotations

from random import Random

from expert.bench.pneumatics import Network, Pressures, Way


def random_network(rng: Random) -> tuple[Network, Pressures]:
    """A network of up to seven volumes and fourteen ways, and pressures to begin with.

    Sizes span seven decades and pressures two; one way in two is a check valve.
    """
    names = [f"n{k}" for k in range(rng.randint(1, 7))]
    sources_pa = {"s": 10 ** rng.uniform(4, 6), "v": 10 ** rng.uniform(4, 6), "air": 101_325.0}
    ways = []
    for _ in range(rng.randint(1, 14)):
        a, b = rng.sample([*names, *sources_pa], 2)
        opens_pa = rng.choice([None, None, 0.0, rng.uniform(0.0, 1e5)])
        size, ratio = 10 ** rng.uniform(-13, -6), rng.uniform(0.1, 0.6)
        state = rng.choice(["always", "always", "rest", "powered"])
        ways.append(Way(a, b, size, ratio, state, opens_pa))  # type: ignore[arg-type]
    volumes_m3 = {name: 10 ** rng.uniform(-7, -3) for name in names}
    return Network(volumes_m3, sources_pa, ways), {name: 10 ** rng.uniform(4, 6) for name in names}
