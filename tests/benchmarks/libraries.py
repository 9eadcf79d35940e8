"""Ours against general libraries for Bayesian networks, on the same two-layer networks.

The networks grow until each library has passed a minute or its memory; every posterior must be
the same. A general library also answers what ours cannot: more than two causes at once.
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.util import find_spec

import numpy as np

from expert.reasoning.belief import marginals, posterior
from tests.benchmarks.figure import Figure
from tests.benchmarks.oracles import LIBRARIES
from tests.benchmarks.ratio import best, seconds
from tests.benchmarks.two_layer import TwoLayer, two_layer

_FIRST, _STEP, _LAST = 8, 4, 60
_PATIENCE_S = 60
_MEMORY_BYTES = 8 << 30
_EQUAL = 1e-9


@dataclass(frozen=True, slots=True)
class Answer:
    """What a library says; without posteriors ``words`` say why it does not."""

    words: str
    posteriors: tuple[float, ...] = ()


def figures() -> Iterator[Figure]:
    left = [name for name in LIBRARIES if find_spec(name)]
    for name in LIBRARIES.keys() - set(left):
        print(f"  {name} is not installed here and left out; pip install {name} brings it")
    for causes in range(_FIRST, _LAST + 1, _STEP):
        net = two_layer(causes)
        ours = _ours(net)
        taken_s = best(seconds(lambda: _ours(net)), runs=9)  # noqa: B023 (used at once)
        answers = {name: _asked(name, causes) for name in left}
        times = ", ".join(f"{name} {answer.words}" for name, answer in answers.items())
        left = [name for name in left if answers[name].posteriors]
        apart = [_apart(ours, answers[name].posteriors) for name in left]
        note = f"ours {taken_s * 1e3:.2f} ms, {times}"
        if not apart:
            print(f"  {causes} causes: {note}")
            return
        yield Figure(f"{causes} causes, largest difference", max(apart), "", _EQUAL, note)


def _ours(net: TwoLayer) -> tuple[float, ...]:
    belief = posterior(net.prior(), net.findings())
    return (*map(float, marginals(belief)), belief.unlisted)


def _apart(ours: tuple[float, ...], theirs: tuple[float, ...]) -> float:
    return float(np.abs(np.array(ours) - np.array(theirs)).max())


def _asked(name: str, causes: int) -> Answer:
    """What the library says, in a process of its own that may be stopped."""
    try:
        done = subprocess.run(
            [sys.executable, "-W", "ignore", "-m", "tests.benchmarks.oracles", name, str(causes)],
            capture_output=True,
            text=True,
            timeout=_PATIENCE_S,
            check=False,
            preexec_fn=lambda: resource.setrlimit(
                resource.RLIMIT_AS, (_MEMORY_BYTES, _MEMORY_BYTES)
            ),
        )
    except subprocess.TimeoutExpired:
        return Answer(f"more than {_PATIENCE_S} s")
    if done.returncode:
        said = (done.stderr.strip() or "no word").splitlines()[-1][:60]
        return Answer(f"gives up ({said})")
    said = json.loads(done.stdout)
    return Answer(f"{said['seconds'] * 1e3:.1f} ms", tuple(said["posteriors"]))
