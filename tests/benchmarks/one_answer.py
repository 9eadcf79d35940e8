"""One answer taken, ranked and shown, in the real dialogue on the shipped knowledge.

From the moment an answer has been read until the next question is shown: the answer understood
and saved to disk, the belief worked out, what has changed told, the next check chosen and shown,
with a plain window that writes into memory. What a conclusion says of its firmness follows after
it, and is measured by itself. Answers are picked at random, the same in every round.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
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
from expert.ui.steps import NOT_IT
from expert.ui.talk import run
from tests.benchmarks.figure import Figure
from tests.benchmarks.ratio import best, seconds
from tests.benchmarks.shipped import cars, knowledge

_LIMIT_MS = 20.0
_ROUNDS = 3
_MOST_ANSWERS = 15


@dataclass(frozen=True, slots=True)
class Taken:
    """How long one answer took to be dealt with, and whether a conclusion came of it.

    ``late_s`` is what came after the question was shown.
    """

    spent_s: float
    late_s: float
    concluded: bool


class Owner(PlainTalker):
    """Answers every question at random and notes how long each answer took to be dealt with."""

    def __init__(self, seed: int) -> None:
        super().__init__(StringIO(), StringIO(), width=lambda: 80)
        self.taken: list[Taken] = []
        self._random = random.Random(seed)
        self._choices = 0
        self._shown_s = 0.0
        self._answered_s: float | None = None

    def tell(self, block: Block) -> None:
        if isinstance(block, Choices):
            self._choices = len(block.items)
            self._shown_s = perf_counter()
        super().tell(block)

    def ask(self, prompt: str, completions: Sequence[str] = ()) -> str:
        if self._answered_s is not None:
            spent_s, late_s = self._shown_s - self._answered_s, perf_counter() - self._shown_s
            self.taken.append(Taken(spent_s, late_s, concluded=NOT_IT in completions))
        if len(self.taken) == _MOST_ANSWERS:
            raise Leave
        answer = str(self._random.randint(1, max(1, self._choices)))
        self._answered_s = perf_counter()
        return answer


def figures() -> Iterator[Figure]:
    checks_ms: list[float] = []
    ends_ms: list[float] = []
    late_ms: list[float] = []
    products_ms: list[float] = []
    for seed, (_, events) in enumerate(cars()):
        rounds = [_session(seed, events) for _ in range(_ROUNDS)]
        for same in zip(*rounds, strict=True):
            spent_ms = min(one.spent_s for one in same) * 1e3
            (ends_ms if same[0].concluded else checks_ms).append(spent_ms)
            if same[0].concluded:
                late_ms.append(min(one.late_s for one in same) * 1e3)
        products_ms.append(_product_s(events) * 1e3)
    yield from _figures("next check", checks_ms)
    yield from _figures("conclusion", ends_ms)
    yield Figure("how firm a conclusion is, middle", median(late_ms), "ms")
    yield Figure(
        "one answer, next check, middle / product of the pair matrix with the terms of all checks",
        median(checks_ms) / median(products_ms),
        "x",
        note=f"the product takes {median(products_ms):.2f} ms",
    )


def _figures(leads_to: str, spent_ms: list[float]) -> Iterator[Figure]:
    what = f"one answer, {leads_to}"
    yield Figure(f"{what}, middle of {len(spent_ms)}", median(spent_ms), "ms", _LIMIT_MS)
    yield Figure(f"{what}, slowest", max(spent_ms), "ms", _LIMIT_MS)


def _session(seed: int, events: list[Event]) -> list[Taken]:
    owner = Owner(seed)
    with TemporaryDirectory() as folder:
        path = Path(folder, "case.jsonl")
        with Journal.open(path, knowledge().digest) as journal:
            run(Consultant(knowledge()), journal, owner, events)
    return owner.taken


def _product_s(events: list[Event]) -> float:
    consultation = Consultant(knowledge()).consult(fold(events))
    stack, pair = consultation.network.stack, consultation.belief.pair
    assert stack is not None
    return best(seconds(lambda: stack.factor @ pair), runs=5)
