"""The same two-layer network in two general libraries for Bayesian networks, from the registry.

``python -m tests.benchmarks.oracles pyagrum|pgmpy CAUSES`` prints the seconds of inference and
every posterior as JSON, that of no listed cause last; making the network is not counted.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from time import perf_counter
from typing import Any

import numpy as np

from expert.reasoning.channels import Floats
from tests.benchmarks.two_layer import TwoLayer, two_layer

# The counter says none, one, two, or more; it grows by one cause at a time.
_COUNTS = 4
Node = tuple[str, list[str], Floats]


def nodes(net: TwoLayer) -> list[Node]:
    """Every node as its name, its parents and P(node | parents), the node's own axis first."""
    found: list[Node] = []
    for k, odds in enumerate(net.odds):
        found.append((f"cause{k}", [], np.array([1.0, odds]) / (1.0 + odds)))
    start = np.zeros((_COUNTS, 2))
    start[0, 0] = start[1, 1] = 1.0
    more = np.zeros((_COUNTS, _COUNTS, 2))
    for count in range(_COUNTS):
        more[count, count, 0] = 1.0
        more[min(count + 1, _COUNTS - 1), count, 1] = 1.0
    found.append(("count0", ["cause0"], start))
    for k in range(1, len(net.odds)):
        found.append((f"count{k}", [f"count{k - 1}", f"cause{k}"], more))
    fits = net.counter_likelihood()
    found.append(("fits", [f"count{len(net.odds) - 1}"], np.stack([1.0 - fits, fits])))
    for k, check in enumerate(net.checks):
        parents = [f"cause{parent}" for parent in check.parents]
        found.append((f"check{k}", parents, check.table()))
    return found


def evidence(net: TwoLayer) -> dict[str, int]:
    seen = {f"check{k}": check.seen for k, check in enumerate(net.checks) if check.seen is not None}
    return {"fits": 1, **seen}


def with_pyagrum(net: TwoLayer) -> tuple[float, list[float]]:
    import pyagrum as gum

    model = gum.BayesNet()
    for name, _, table in nodes(net):
        model.add(gum.LabelizedVariable(name, "", table.shape[0]))
    for name, parents, table in nodes(net):
        for parent in parents:
            model.addArc(parent, name)
        for there in np.ndindex(*table.shape[1:]):
            column = list(table[(slice(None), *there)])
            model.cpt(name)[dict(zip(parents, map(int, there), strict=True))] = column
    begun = perf_counter()
    engine = gum.LazyPropagation(model)
    engine.setEvidence(evidence(net))
    engine.makeInference()
    found = [float(engine.posterior(f"cause{k}")[1]) for k in range(len(net.odds))]
    found.append(float(engine.posterior(f"count{len(net.odds) - 1}")[0]))
    return perf_counter() - begun, found


def with_pgmpy(net: TwoLayer) -> tuple[float, list[float]]:
    from pgmpy.factors.discrete import TabularCPD
    from pgmpy.inference import VariableElimination
    from pgmpy.models import DiscreteBayesianNetwork

    model: Any = DiscreteBayesianNetwork()
    for name, parents, _ in nodes(net):
        model.add_node(name)
        model.add_edges_from((parent, name) for parent in parents)
    for name, parents, table in nodes(net):
        model.add_cpds(
            TabularCPD(
                name,
                table.shape[0],
                table.reshape(table.shape[0], -1),
                parents,
                list(table.shape[1:]),
            )
        )
    begun = perf_counter()
    engine = VariableElimination(model)
    seen = evidence(net)

    def query(name: str, state: int) -> float:
        return float(engine.query([name], evidence=seen, show_progress=False).values[state])

    found = [query(f"cause{k}", 1) for k in range(len(net.odds))]
    found.append(query(f"count{len(net.odds) - 1}", 0))
    return perf_counter() - begun, found


LIBRARIES: dict[str, Callable[[TwoLayer], tuple[float, list[float]]]] = {
    "pyagrum": with_pyagrum,
    "pgmpy": with_pgmpy,
}


if __name__ == "__main__":
    taken_s, posteriors = LIBRARIES[sys.argv[1]](two_layer(int(sys.argv[2])))
    print(json.dumps({"seconds": taken_s, "posteriors": posteriors}))
