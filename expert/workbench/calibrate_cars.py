"""Invented cars drawn as the knowledge says that cars are, fault by fault and answer by answer.

What happens on a car is acted out: every cause that is there shows what it shows, so does the leak,
the worst is seen, and now and then an answer is simply wrong. No likelihood and no ranking has a
part in it; of ``expert.reasoning`` nothing is used but the record of a car's history. So these cars
are a test of the rankings, which get to the same chances by algebra.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from expert.model import Cause, Check, Knowledge
from expert.reasoning.network import AS_DESIGNED, History

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
Bools = npt.NDArray[np.bool_]
# How each car answered one check: the numbers of the cars that were asked, and their answers.
Answered = tuple[Ints, list[tuple[str, ...]]]

MOST_FINDINGS: Final = 24
# A complaint that almost no car shows would keep us drawing for ever.
_MOST_ROUNDS: Final = 400


@dataclass(frozen=True, slots=True)
class Cars:
    """Cars with one complaint: ``there`` (cars, causes) marks the causes that are there.

    ``answers`` are the findings by check. A car with no cause has something unlisted.
    """

    there: Bools
    answers: Mapping[str, Answered]


class World:
    """The cars of one kind of parts and one history, as some knowledge says that they are."""

    def __init__(self, knowledge: Knowledge, parts: frozenset[str], history: History) -> None:
        self.knowledge = knowledge
        self.causes = [
            name for name, cause in knowledge.causes.items() if parts.issuperset(cause.needs)
        ]
        self.checks = [
            name
            for name, check in knowledge.checks.items()
            if check.kind != "history" and not check.loads_engine and check.fits(parts)
        ]
        causes = [knowledge.causes[name] for name in self.causes]
        weight = np.array([_weight(cause, knowledge, history) for cause in causes])
        second = knowledge.policy.second_fault
        fresh = history.changed == "just-fitted"
        self._second_fault = second.just_fitted if fresh else second.settled
        self._share = weight / weight.sum()
        pairable = [not name.startswith(AS_DESIGNED) for name in self.causes]
        faults = np.where(pairable, weight, 0.0)
        self._fault_share = faults / faults.sum()

    def cars(
        self, complaint: str, count: int, faults: int | None, rng: np.random.Generator
    ) -> Cars:
        """Cars with this complaint and some answers.

        ``faults`` None leaves the number of faults to the knowledge, unlisted ones included; a
        number gives every car so many of its faults.
        """
        there = self._with_complaint(complaint, count, faults, rng)
        # As many findings as a case may have at any time, from none to most.
        asked = np.minimum(rng.integers(0, MOST_FINDINGS + 1, size=count), len(self.checks))
        order = rng.random((count, len(self.checks))).argsort(axis=1).argsort(axis=1)
        answers = {}
        for k, name in enumerate(self.checks):
            cars = np.flatnonzero(order[:, k] < asked)
            if len(cars):
                answers[name] = (cars, self.answered(name, complaint, there[cars], rng))
        return Cars(there, answers)

    def _with_complaint(
        self, complaint: str, count: int, faults: int | None, rng: np.random.Generator
    ) -> Bools:
        """Cars come in with the complaint; all others drive on and are drawn anew."""
        kept: list[Bools] = []
        missing = count
        for _ in range(_MOST_ROUNDS):
            there = self._faults(4 * count, faults, rng)
            brought = there[self._complains(complaint, there, rng)][:missing]
            kept.append(brought)
            missing -= len(brought)
            if missing == 0:
                return np.concatenate(kept)
        raise ValueError(f"next to no car shows {complaint}")

    def _faults(self, count: int, faults: int | None, rng: np.random.Generator) -> Bools:
        there = np.zeros((count, len(self.causes)), bool)
        if faults is not None:
            return self._several(there, faults, rng)
        policy = self.knowledge.policy
        listed = np.flatnonzero(rng.random(count) >= policy.unlisted)
        two = rng.random(len(listed)) < self._second_fault
        if np.count_nonzero(self._fault_share) < 2:
            two[:] = False
        alone = listed[~two]
        there[alone, rng.choice(len(self.causes), size=len(alone), p=self._share)] = True
        pairs = listed[two]
        there[pairs] = self._several(there[pairs], 2, rng)
        return there

    def _several(self, there: Bools, faults: int, rng: np.random.Generator) -> Bools:
        """Different faults for every car; a set is as likely as the product of its shares."""
        open_ = np.arange(len(there))
        while len(open_):
            drawn = rng.choice(len(self.causes), size=(len(open_), faults), p=self._fault_share)
            there[open_] = False
            there[open_[:, None], drawn] = True
            open_ = open_[there[open_].sum(axis=1) < faults]
        return there

    def _complains(self, complaint: str, there: Bools, rng: np.random.Generator) -> Bools:
        policy, shown = self.knowledge.policy, self.knowledge.symptoms[complaint].causes
        share = np.array([shown.get(name, 0.0) for name in self.causes])
        complains = (there & (rng.random(there.shape) < share)).any(axis=1)
        complains |= rng.random(len(there)) < policy.symptom_leak
        unlisted = ~there.any(axis=1)
        complains[unlisted] = rng.random(int(unlisted.sum())) < policy.unlisted_shows
        slipped = rng.random(len(there)) < policy.slip.asked
        return np.where(slipped, rng.random(len(there)) < 0.5, complains)

    def answered(
        self, name: str, complaint: str, there: Bools, rng: np.random.Generator
    ) -> list[tuple[str, ...]]:
        """What cars with these causes and this complaint answer to a check, slips included."""
        check = self.knowledge.checks[name]
        if check.records_boost:
            # Something unlisted shows what another car with the same complaint would.
            unlisted = ~there.any(axis=1)
            if unlisted.any():
                there = there.copy()
                there[unlisted] = self._others(complaint, int(unlisted.sum()), rng)
        acted = _ACTED.get(check.kind, _graded)(check, self.causes, there, rng)
        slipped = rng.random(len(there)) < self.knowledge.policy.slip.asked
        names = list(check.answers)
        for k in np.flatnonzero(slipped):
            acted[k] = (names[int(rng.integers(len(names)))],)
        return acted

    def _others(self, complaint: str, count: int, rng: np.random.Generator) -> Bools:
        """Other cars with the complaint, whose causes are all listed."""
        kept = np.zeros((0, len(self.causes)), bool)
        while len(kept) < count:
            more = self._with_complaint(complaint, 2 * count, None, rng)
            kept = np.concatenate([kept, more[more.any(axis=1)]])
        return kept[:count]


def _weight(cause: Cause, knowledge: Knowledge, history: History) -> float:
    """How often the cause is met, as docs/reasoning.md says under Priors."""
    fresh = knowledge.policy.weight(cause.seen.just_fitted)
    settled = knowledge.policy.weight(cause.seen.settled)
    if history.changed == "nothing":
        return settled
    if history.changed != "just-fitted":
        return (fresh + settled) / 2.0
    left_alone = history.touched and cause.work and not history.touched & {*cause.work}
    return settled if left_alone else fresh


def _graded(
    check: Check, causes: Sequence[str], there: Bools, rng: np.random.Generator
) -> list[tuple[str, ...]]:
    """Every cause and the leak draw an answer of their own; the worst is seen."""
    names = list(check.answers)
    level = _worst(check, names[1:], causes, there, rng)
    return [(names[k],) for k in level]


def _two_sided(
    check: Check, causes: Sequence[str], there: Bools, rng: np.random.Generator
) -> list[tuple[str, ...]]:
    low = _worst(check, check.low, causes, there, rng)
    high = _worst(check, check.high, causes, there, rng)
    mixed = rng.choice(len(check.both), size=len(there), p=_summed(list(check.both.values())))
    both = list(check.both)
    sound = check.sound_answer()
    seen: list[tuple[str, ...]] = []
    for one_low, one_high, one_both in zip(low, high, mixed, strict=True):
        if one_low and one_high:
            seen.append((both[one_both],))
        elif one_low:
            seen.append((check.low[one_low - 1],))
        else:
            seen.append((check.high[one_high - 1] if one_high else sound,))
    return seen


def _nominal(
    check: Check, causes: Sequence[str], there: Bools, rng: np.random.Generator
) -> list[tuple[str, ...]]:
    """Every cause and the leak raise their flags, each by itself."""
    none, *flags = check.answers
    raised = rng.random((len(there), len(flags))) < [check.healthy.get(f, 0.0) for f in flags]
    for column, name in enumerate(causes):
        cars = np.flatnonzero(there[:, column])
        if name in check.given and len(cars):
            row = [check.given[name].get(flag, 0.0) for flag in flags]
            raised[cars] |= rng.random((len(cars), len(flags))) < row
    return [tuple(flags[k] for k in np.flatnonzero(one)) or (none,) for one in raised]


def _worst(
    check: Check,
    unsound: Sequence[str],
    causes: Sequence[str],
    there: Bools,
    rng: np.random.Generator,
) -> Ints:
    """The worst of the levels that the leak and the causes draw, 0 for sound."""
    level = _drawn(unsound, check.healthy, len(there), rng)
    for column, name in enumerate(causes):
        if name in check.given:
            cars = np.flatnonzero(there[:, column])
            if len(cars):
                own = _drawn(unsound, check.given[name], len(cars), rng)
                level[cars] = np.maximum(level[cars], own)
    return level


def _drawn(
    unsound: Sequence[str], row: Mapping[str, float], count: int, rng: np.random.Generator
) -> Ints:
    shares = [row.get(answer, 0.0) for answer in unsound]
    sound = max(0.0, 1.0 - sum(shares))
    return rng.choice(len(unsound) + 1, size=count, p=_summed([sound, *shares]))


def _summed(shares: Sequence[float]) -> Floats:
    """Shares that sum to 1 exactly, as a draw needs them."""
    found = np.array(shares)
    whole: Floats = found / found.sum()
    return whole


_ACTED: Final[
    Mapping[
        str, Callable[[Check, Sequence[str], Bools, np.random.Generator], list[tuple[str, ...]]]
    ]
] = {"nominal": _nominal, "two-sided": _two_sided}
