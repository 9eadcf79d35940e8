"""Causes that no pattern of answers makes likely enough to be named."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

import numpy as np

from expert.reasoning.belief import posterior
from expert.reasoning.channels import Floats
from expert.reasoning.network import Channel, History, Network, seen_weight
from expert.workbench.gap_cars import Car
from expert.workbench.gap_pairs import Bools, Numbers

# An answer may stand in the pattern when at least this share of the cars with the cause give it.
SEEN: Final = 0.15
# The pattern is chosen against all rivals first, and then against those that it leaves likely.
ROUNDS: Final = 3
# Causes that single causes alone make likely by this margin are not worked out with pairs.
MARGIN: Final = 0.05
# Answers are changed for as long as a round of changes adds so much to the chance.
LEAST_GAIN: Final = 1e-3

NO_HISTORY: Final = History()


class OutOfReach(NamedTuple):
    """A cause by its number, its best chance, and what is likeliest beside it.

    ``rival`` are the one or two causes of that story; none for `unlisted`.
    """

    number: int
    chance: float
    rival: tuple[str, ...]


def out_of_reach(car: Car, looked_at: Bools) -> Iterator[OutOfReach]:
    """Causes that stay below what the policy concludes at, whatever the answers.

    A pattern is sought for cars with the cause alone, whose complaint is the symptom that it shows
    most often and of whose history nothing is known. The chance is the reasoning's own, with pairs
    and `unlisted`, for the best pattern that was found.
    """
    conclude = car.table.knowledge.policy.conclude
    if not len(car.shows):
        return
    chance, pattern = strongest(car)
    channels: dict[str, Channel] = {}
    for number in np.nonzero((chance < conclude + MARGIN) & looked_at)[0].tolist():
        found = _exact(car, number, pattern[:, number], channels)
        if found.chance < conclude:
            yield found


def strongest(car: Car) -> tuple[Floats, Numbers]:
    """For every cause its best chance among single causes, and the pattern that leads to it.

    The chances are of shape (causes,), the numbers of the answers (checks, causes).
    """
    size = len(car.causes)
    best, kept = np.zeros(size), np.zeros((len(car.checks), size), np.intp)
    if not size or not len(car.shows):
        return best, kept
    start = _start(car)
    rival = np.exp(start - start.max(axis=0))
    heard = [_with_unlisted(car, number) for number in range(len(car.checks))]
    for _ in range(ROUNDS):
        np.fill_diagonal(rival, 0.0)
        rival /= np.maximum(rival.sum(axis=0), 1e-300)
        chosen = np.array([_chosen(shares, unlisted, rival) for shares, unlisted in heard])
        score = start.copy()
        for (shares, unlisted), answers in zip(heard, chosen, strict=True):
            score[:-1] += np.log(shares)[answers].T
            score[-1] += np.log(unlisted)[answers, np.arange(size)]
        rival = np.exp(score - score.max(axis=0))
        chance = np.diag(rival) / rival.sum(axis=0)
        better = chance > best
        kept[:, better] = chosen.reshape(kept.shape)[:, better]
        best = np.maximum(best, chance)
    return best, kept


def _start(car: Car) -> Floats:
    """Log of the weight of every single cause, and of `unlisted` in the last row.

    One column for each cause whose complaint it is; shape (causes + 1, causes).
    """
    policy = car.table.knowledge.policy
    slip, leak = policy.slip.asked, policy.symptom_leak
    shown = (1.0 - slip) * (1.0 - (1.0 - car.shows) * (1.0 - leak)) + slip / 2.0
    unlisted = (1.0 - slip) * policy.unlisted_shows + slip / 2.0
    listed = np.log(_prior(car)[:, None] * shown[_complaints(car)].T)
    last = np.full((1, len(car.causes)), np.log(policy.unlisted * unlisted))
    return np.concatenate([listed, last])


def _prior(car: Car) -> Floats:
    knowledge = car.table.knowledge
    weights = [
        seen_weight(knowledge.causes[cause], knowledge.policy, NO_HISTORY) for cause in car.causes
    ]
    prior: Floats = np.array(weights) / np.sum(weights) * (1.0 - knowledge.policy.unlisted)
    return prior


def _complaints(car: Car) -> Numbers:
    """The symptom that each cause shows most often."""
    numbers: Numbers = car.shows.argmax(axis=0)
    return numbers


def _with_unlisted(car: Car, number: int) -> tuple[Floats, Floats]:
    """A check's answers by single causes, and by `unlisted` for each cause's complaint.

    Both are of shape (answers, causes). As in a network, an unlisted cause answers as a sound car
    does, but shows in a reading of boost what the listed causes of the complaint show.
    """
    check = car.checks[number]
    shares = car.answers[number]
    if not car.table.checks[check].records_boost:
        sound = car.table.heard[check].sound
        return shares, np.repeat(sound[:, None], shares.shape[1], axis=1)
    weight = _prior(car)[:, None] * np.maximum(car.shows, 1e-9).T
    expected: Floats = shares @ (weight / weight.sum(axis=0))
    return shares, expected[:, _complaints(car)]


def _chosen(shares: Floats, unlisted: Floats, rival: Floats) -> Numbers:
    """For each cause the answer that speaks most for it against its rivals, of those it gives."""
    against = shares @ rival[:-1] + unlisted * rival[-1]
    answers: Numbers = np.where(shares >= SEEN, shares / against, 0.0).argmax(axis=0)
    return answers


def _exact(car: Car, cause: int, pattern: Numbers, channels: dict[str, Channel]) -> OutOfReach:
    """What the reasoning makes of a pattern, pairs included, or of a better one.

    Where it stays below what the policy concludes at, one answer after the other is changed for as
    long as that makes the cause likelier; and the same again from the likeliest answers.
    """
    knowledge = car.table.knowledge
    complaint = list(knowledge.symptoms)[_complaints(car)[cause]]
    stories = _Stories(Network(knowledge, car.parts, complaint, NO_HISTORY, channels), cause)
    score = stories.start + sum(_told(car, stories, pattern))
    if stories.chance(score) < knowledge.policy.conclude:
        typical = np.array([shares[:, cause].argmax() for shares in car.answers], np.intp)
        may = [np.nonzero(shares[:, cause] >= SEEN)[0] for shares in car.answers]
        climbed = [_climbed(car, stories, begin, may) for begin in (pattern, typical)]
        score = max(climbed, key=stories.chance)
    return OutOfReach(cause, stories.chance(score), stories.rival(score))


def _told(car: Car, stories: _Stories, pattern: Numbers) -> list[Floats]:
    return [stories.told(check, answer) for check, answer in zip(car.checks, pattern, strict=True)]


def _climbed(car: Car, stories: _Stories, pattern: Numbers, may: Sequence[Numbers]) -> Floats:
    """The score of a pattern of which no single answer can be changed to make it likelier."""
    told = _told(car, stories, pattern)
    score = stories.start + sum(told)
    chance, before = stories.chance(score), -1.0
    while chance > before + LEAST_GAIN:
        before = chance
        for number, (check, answers) in enumerate(zip(car.checks, may, strict=True)):
            for answer in answers:
                other = stories.told(check, answer)
                changed = score - told[number] + other
                if stories.chance(changed) > chance:
                    score, chance, told[number] = changed, stories.chance(changed), other
    return score


class _Stories:
    """All that may be behind the complaint of a car, single causes, pairs and `unlisted`, in a row.

    Beliefs are logs here, so that one answer can be taken out and another put in.
    """

    def __init__(self, network: Network, cause: int) -> None:
        assert network.complaint is not None
        count = len(network.causes)
        self._network = network
        self._pairs = np.triu_indices(count, 1)
        belief = posterior(network.prior, [network.symptom(network.complaint)])
        with np.errstate(divide="ignore"):
            self.start = np.log(self._row(belief.single, belief.pair, belief.unlisted))
        marked = np.arange(count) == cause
        self._has = self._row(marked, marked[:, None] | marked, 0.0) > 0.0
        self._rows: dict[tuple[str, int], Floats] = {}

    def _row(self, single: Floats | Bools, pair: Floats | Bools, unlisted: float) -> Floats:
        return np.concatenate([single, pair[self._pairs], [unlisted]])

    def told(self, check: str, answer: int) -> Floats:
        """Log of how likely the answer with this number is under each; worked out once."""
        if (check, answer) not in self._rows:
            name = self._network.channel(check).answers[answer]
            evidence = self._network.finding(check, (name,), "asked")
            single, pair = evidence.terms.of_single(), evidence.terms.of_pair()
            row = evidence.mixed(self._row(single, pair, evidence.unlisted))
            self._rows[check, answer] = np.log(row)
        return self._rows[check, answer]

    def chance(self, score: Floats) -> float:
        """P(the cause), alone or in a pair."""
        weight = np.exp(score - score.max())
        return float(weight[self._has].sum() / weight.sum())

    def rival(self, score: Floats) -> tuple[str, ...]:
        """The likeliest story without the cause: its causes, or none where it is `unlisted`."""
        others = np.where(self._has, -np.inf, score)
        number, causes = int(others.argmax()), self._network.causes
        if number == len(others) - 1:
            return ()
        if number < len(causes):
            return (causes[number],)
        pair = number - len(causes)
        return (causes[self._pairs[0][pair]], causes[self._pairs[1][pair]])
