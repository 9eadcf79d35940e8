"""From counts to numbers: what the files say, moved as far as the cases carry.

Shares of answers: a Dirichlet prior whose mean is the row in the files and whose weight is
``strength`` cases; counts are added to it. What a car with a cause would have shown by itself is
hidden behind what a sound car shows all the same and behind slips, so the counts are the expected
ones (A. P. Dempster, N. M. Laird and D. B. Rubin, "Maximum likelihood from incomplete data via the
EM algorithm", Journal of the Royal Statistical Society B 39, 1977; from memory). Without leak and
slip this is plain counting.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import numpy.typing as npt

from expert.model import Check, Knowledge, Policy
from expert.workbench.learn_count import SOUND, Tally
from expert.workbench.learn_weights import SeenChange, seen_changes

Floats = npt.NDArray[np.float64]
Counts = Mapping[tuple[tuple[str, ...], str], int]
Shares = Mapping[str, float]

STRENGTH: Final = 20.0
_ROUNDS: Final = 60
# Shares are written in ten-thousandths.
_DIGITS: Final = 10_000
_LEAST: Final = 0.001


@dataclass(frozen=True, slots=True)
class RowChange:
    """A learned row of a check, of ``given`` or of ``healthy`` (``cause`` is then ``SOUND``)."""

    check: str
    cause: str
    before: Shares
    after: Shares
    cases: int


@dataclass(frozen=True, slots=True)
class Learned:
    """The knowledge with its learned numbers, and what was changed."""

    knowledge: Knowledge
    seen: tuple[SeenChange, ...]
    rows: tuple[RowChange, ...]


def learned(knowledge: Knowledge, tally: Tally, strength: float = STRENGTH) -> Learned:
    """What these cases make of the knowledge, whose own numbers weigh ``strength`` cases each."""
    seen = tuple(seen_changes(knowledge, tally, strength))
    rows = tuple(_row_changes(knowledge, tally, strength))
    causes, checks = dict(knowledge.causes), dict(knowledge.checks)
    for weight in seen:
        cause = causes[weight.cause]
        moved = (
            replace(cause.seen, just_fitted=weight.after)
            if weight.column == "just_fitted"
            else replace(cause.seen, settled=weight.after)
        )
        causes[weight.cause] = replace(cause, seen=moved)
    for row in rows:
        check = checks[row.check]
        checks[row.check] = (
            replace(check, healthy=row.after)
            if row.cause == SOUND
            else replace(check, given={**check.given, row.cause: row.after})
        )
    return Learned(replace(knowledge, causes=causes, checks=checks), seen, rows)


def _row_changes(knowledge: Knowledge, tally: Tally, strength: float) -> Iterator[RowChange]:
    by_row: defaultdict[tuple[str, str], Counter[tuple[tuple[str, ...], str]]] = defaultdict(
        Counter
    )
    for one, count in tally.answers.items():
        by_row[one.check, one.cause][one.answers, one.origin] += count
    for name, entry in knowledge.checks.items():
        check = entry
        # The sound cars first: what they show all the same is taken off from the others.
        for cause, was in [(SOUND, entry.healthy), *entry.given.items()]:
            counts = by_row.get((name, cause))
            if not counts:
                continue
            row = fitted_row(check, cause, counts, knowledge.policy, strength)
            if cause == SOUND:
                check = replace(check, healthy=row)
            if row != was:
                yield RowChange(name, cause, was, row, counts.total())


def fitted_row(
    check: Check, cause: str, counts: Counts, policy: Policy, strength: float
) -> dict[str, float]:
    """One row of ``given``, or ``healthy`` for ``SOUND``, after these answers by their origin."""
    before = check.healthy if cause == SOUND else check.given[cause]
    leak = {} if cause == SOUND else check.healthy
    fit = {"nominal": _flags, "two-sided": _sides}.get(check.kind, _levels)
    after = fit(check, before, leak, _with_slips(counts, policy), strength)
    return _written(check, before, after)


_Slips = list[tuple[tuple[str, ...], float, int]]


def _with_slips(counts: Counts, policy: Policy) -> _Slips:
    return [
        (answers, float(getattr(policy.slip, origin)), count)
        for (answers, origin), count in sorted(counts.items())
    ]


def _levels(
    check: Check,
    before: Shares,
    leak: Shares,
    seen: _Slips,
    weight: float,
) -> dict[str, float]:
    """Graded: the worse of the cause's own answer and the leak's is seen."""
    answers = list(check.answers)
    prior, below = _column(answers[1:], before), np.cumsum(_column(answers[1:], leak))
    level = np.arange(len(answers))
    # P(seen x | own y): x is the leak's while y is milder, or y's own while the leak is not worse.
    chance = np.diag(below)
    for x in range(1, len(answers)):
        chance[x, level < x] = below[x] - below[x - 1]
    total = sum(count for *_, count in seen)
    plain = np.zeros(len(answers))
    for (answer,), _, count in seen:
        plain[answers.index(answer)] += count
    share = (weight * prior + plain) / (weight + total)
    for _ in range(_ROUNDS):
        hidden = np.zeros(len(answers))
        for (answer,), slip, count in seen:
            likelihood = (1.0 - slip) * chance[answers.index(answer)] + slip / len(answers)
            hidden += count * _normal(share * likelihood)
        share = (weight * prior + hidden) / (weight + total)
    return dict(zip(answers[1:], map(float, share[1:]), strict=True))


def _sides(
    check: Check,
    before: Shares,
    leak: Shares,
    seen: _Slips,
    weight: float,
) -> dict[str, float]:
    """Two-sided: a low and a high channel, each with its own hidden level."""
    low, high = [_column(side, before) for side in (check.low, check.high)]
    order = [check.sound_answer(), *check.low, *check.high]
    chance = _readings(check, order, leak)
    total = sum(count for *_, count in seen)
    first, second = low.copy(), high.copy()
    for answers, _, count in seen:
        first = first + count / (total + weight) * _one_hot(check.low, answers[0])
        second = second + count / (total + weight) * _one_hot(check.high, answers[0])
    first, second = _normal(first), _normal(second)
    for _ in range(_ROUNDS):
        hidden_low, hidden_high = np.zeros(len(low)), np.zeros(len(high))
        own = np.multiply.outer(first, second)
        for (answer,), slip, count in seen:
            likelihood = (1.0 - slip) * chance[order.index(answer)] + slip / len(order)
            share = count * _normal(own * likelihood)
            hidden_low += share.sum(axis=1)
            hidden_high += share.sum(axis=0)
        first = (weight * low + hidden_low) / (weight + total)
        second = (weight * high + hidden_high) / (weight + total)
    pairs = [*zip(check.low, first[1:], strict=True), *zip(check.high, second[1:], strict=True)]
    return {answer: float(share) for answer, share in pairs}


def _readings(check: Check, order: list[str], leak: Shares) -> Floats:
    """P(reading | own low level, own high level), shape (readings, low levels, high levels)."""
    low_leak, high_leak = _column(check.low, leak), _column(check.high, leak)
    both = np.array([check.both.get(answer, 0.0) for answer in order])
    chance = np.zeros((len(order), len(low_leak), len(high_leak)))
    for own_low, own_high, leak_low, leak_high in np.ndindex(*chance.shape[1:], *chance.shape[1:]):
        low, high = max(own_low, leak_low), max(own_high, leak_high)
        share = low_leak[leak_low] * high_leak[leak_high]
        if low and high:
            chance[:, own_low, own_high] += share * both / both.sum()
        else:
            reading = low or (len(check.low) + high if high else 0)
            chance[reading, own_low, own_high] += share
    return chance


def _flags(
    check: Check,
    before: Shares,
    leak: Shares,
    seen: _Slips,
    weight: float,
) -> dict[str, float]:
    """Nominal: every flag by itself; a slip makes the whole answer meaningless."""
    flags = list(check.answers)[1:]
    prior = np.array([before.get(flag, 0.0) for flag in flags])
    leaks = np.array([leak.get(flag, 0.0) for flag in flags])
    total = sum(count for *_, count in seen)
    shown = [np.array([flag in answers for flag in flags]) for answers, _, _ in seen]
    plain = sum((count * one for one, (*_, count) in zip(shown, seen, strict=True)), np.zeros(1))
    share = (weight * prior + plain) / (weight + total)
    for _ in range(_ROUNDS):
        hidden = np.zeros(len(flags))
        there = share + (1.0 - share) * leaks
        for one, (_, slip, count) in zip(shown, seen, strict=True):
            true = (1.0 - slip) * np.where(one, there, 1.0 - there).prod()
            meant = true / (true + slip / len(check.answers)) if true else 0.0
            own = np.where(one, share / np.where(there > 0.0, there, 1.0), 0.0)
            hidden += count * (meant * own + (1.0 - meant) * share)
        share = (weight * prior + hidden) / (weight + total)
    return dict(zip(flags, map(float, share), strict=True))


def _column(unsound: list[str] | tuple[str, ...], shares: Shares) -> Floats:
    column = np.array([0.0, *(shares.get(answer, 0.0) for answer in unsound)])
    column[0] = max(0.0, 1.0 - column.sum())
    return column


def _one_hot(unsound: tuple[str, ...], answer: str) -> Floats:
    return np.array([answer not in unsound, *(answer == one for one in unsound)], float)


def _normal(weights: Floats) -> Floats:
    total = weights.sum()
    normal: Floats = weights / total if total > 0.0 else weights
    return normal


def _written(check: Check, before: Shares, after: Shares) -> dict[str, float]:
    """The row as it is written: cut to few digits, so that no sum grows over 1.

    Answers that the files name stay named; others come in only where the cases show them often.
    """
    row = {}
    for answer in check.answers:
        share = float(np.floor(after.get(answer, 0.0) * _DIGITS + 1e-6)) / _DIGITS
        if answer in before:
            row[answer] = max(share, min(before[answer], _LEAST))
        elif share >= _LEAST:
            row[answer] = share
    for side in _sums(check):
        named = [answer for answer in side if answer in row]
        excess = sum(row[answer] for answer in named) - 1.0
        if excess > 0.0:
            most = max(named, key=row.__getitem__)
            row[most] = float(np.floor((row[most] - excess) * _DIGITS)) / _DIGITS
    return row


def _sums(check: Check) -> tuple[Sequence[str], ...]:
    """The answers whose shares may sum to 1 at most, together."""
    if check.kind == "two-sided":
        return check.low, check.high
    return () if check.kind == "nominal" else (tuple(check.answers),)
