"""One answer taken, ranked and shown, in the real dialogue on the shipped knowledge.

From the moment an answer has been read until the next question waits for its own: the answer
understood and saved to disk, the belief worked out, what has changed told, the next check chosen
and shown, with a plain window that writes into memory. Answers are picked at random, the same in
every round, and the best round counts for each of them.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from io import StringIO
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter

from expert.case.consult import Consultant
from expert.case.events import Event
from expert.case.journal import Journal
from expert.case.state import fold
from expert.ui.plain import PlainTalker
from expert.ui.protocol import Block, Choices, Leave
from expert.ui.talk import run
from tests.benchmarks.figure import Figure
from tests.benchmarks.ratio import best, seconds
from tests.benchmarks.shipped import cars, knowledge

_LIMIT_MS = 20.0
_ROUNDS = 3
_MOST_ANSWERS = 15


class Owner(PlainTalker):
    """Answers every question at random and notes how long each answer took to be dealt with."""

    def __init__(self, seed: int) -> None:
        super().__init__(StringIO(), StringIO(), width=lambda: 80)
        self.taken_s: list[float] = []
        self._random = random.Random(seed)
        self._choices = 0
        self._answered_s: float | None = None

    def tell(self, block: Block) -> None:
        if isinstance(block, Choices):
            self._choices = len(block.items)
        super().tell(block)

    def ask(self, prompt: str, completions: Sequence[str] = ()) -> str:
        if self._answered_s is not None:
            self.taken_s.append(perf_counter() - self._answered_s)
        if len(self.taken_s) == _MOST_ANSWERS:
            raise Leave
        answer = str(self._random.randint(1, max(1, self._choices)))
        self._answered_s = perf_counter()
        return answer


def figures() -> Iterator[Figure]:
    taken_ms: list[float] = []
    products_ms: list[float] = []
    for seed, (_, events) in enumerate(cars()):
        rounds = [_session(seed, events) for _ in range(_ROUNDS)]
        taken_ms += [min(times) * 1e3 for times in zip(*rounds, strict=True)]
        products_ms.append(_product_s(events) * 1e3)
    answers = f"{len(taken_ms)} answers on {len(products_ms)} cars"
    yield Figure("one answer, middle", median(taken_ms), "ms", _LIMIT_MS, answers)
    yield Figure("one answer, slowest", max(taken_ms), "ms", _LIMIT_MS)
    yield Figure(
        "one answer, middle / product of the pair matrix with the terms of all checks",
        median(taken_ms) / median(products_ms),
        "x",
        note=f"the product takes {median(products_ms):.2f} ms",
    )


def _session(seed: int, events: list[Event]) -> list[float]:
    owner = Owner(seed)
    with TemporaryDirectory() as folder:
        path = Path(folder, "case.jsonl")
        with Journal.open(path, knowledge().digest) as journal:
            run(Consultant(knowledge()), journal, owner, events)
    return owner.taken_s


def _product_s(events: list[Event]) -> float:
    consultation = Consultant(knowledge()).consult(fold(events))
    stack, pair = consultation.network.stack, consultation.belief.pair
    assert stack is not None
    return best(seconds(lambda: stack.factor @ pair), runs=5)
