"""What the knowledge cannot tell: look-alikes, causes out of reach, idle checks, silent rows."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from expert.model import Cause, Check, Knowledge, Symptom
from expert.reasoning.channels import Floats
from expert.reasoning.network import AS_DESIGNED, seen_weight
from expert.rules import ids
from expert.workbench.gap_cars import Car, cars, reached

APART, NEVER_FOUND, NEVER_CHOSEN, SAME, IMPLIED = ids.GAPS
# A pair that its best check tells apart by less than this is a gap: odds of two to one.
LEAST_DECIBANS: Final = 3.0
# Causes are look-alikes only where both show one symptom at least so often.
BOTH_SHOW: Final = 0.15
# An answer is one of a cause's when at least this share of the cars with it give it.
SEEN: Final = 0.15
# Symptoms are the same where no cause differs by more than this.
SAME_SHARES: Final = 0.05
# A cause that shows a complaint at least so often is expected to show in a reading of boost.
OFTEN: Final = 0.5
BOOST_COMPLAINTS: Final = ("lazy", "overboost", "creep")
# So many rare words of what confirms a cause must be those of a check.
SHARED_WORDS: Final = 4
RARE_IN: Final = 5
_WORD: Final = re.compile(r"[a-z]{5,}")
_ENDING: Final = re.compile(r"(ing|ed|es|s|ly)$")


@dataclass(frozen=True, slots=True)
class Gap:
    """One thing that cannot be told.

    ``entries`` are ids, all of ``kind``; ``best`` the check that tells most, or the one that is
    meant, and ``decibans`` how much (or the chance that is reached). ``cars`` are setups with their
    gates; ``excuse`` is the reason given in the files, if there is one.
    """

    gap: str
    kind: str
    entries: tuple[str, ...]
    best: str | None
    value: float
    cars: tuple[str, ...]
    excuse: str | None = None


Key = tuple[str, str, tuple[str, ...]]


def find_gaps(knowledge: Knowledge, setups: Sequence[str], symptom: str | None = None) -> list[Gap]:
    """Every gap on cars with these setups, the same gap on several cars once.

    With a symptom only causes that show it are looked at.
    """
    seen: dict[Key, list[tuple[str, str | None, float]]] = defaultdict(list)
    names: list[str] = []
    for car in cars(knowledge, list(setups)):
        names.append(car.name)
        for key, best, value in _of_car(knowledge, car, symptom):
            seen[key].append((car.name, best, value))
    every = Counter(names)
    for key, best, value in _implied(knowledge):
        if symptom is None or key[2][0] in knowledge.symptoms[symptom].causes:
            seen[key].append(("", best, value))
    merged = (_merged(knowledge, key, sights, every) for key, sights in seen.items())
    found = [gap for gap in merged if gap is not None]
    order = {gap: k for k, gap in enumerate(ids.GAPS)}
    return sorted(found, key=lambda gap: (order[gap.gap], gap.entries))


def car_names(knowledge: Knowledge, setups: Sequence[str]) -> list[str]:
    """The names of the cars with these setups, each once."""
    return list(dict.fromkeys(car.name for car in cars(knowledge, list(setups))))


def _merged(
    knowledge: Knowledge,
    key: Key,
    sights: list[tuple[str, str | None, float]],
    every: Counter[str],
) -> Gap | None:
    """One gap of what was seen on several cars; by name, where every bypass has it."""
    gap, kind, entries = key
    counted = Counter(name for name, _, _ in sights)
    names = tuple(name for name in every if counted[name] == every[name] or not every[name])
    if gap in (APART, NEVER_FOUND):
        names = tuple(name for name in every if counted[name])
    if not names and "" not in counted:
        return None
    best, value = max(((best, value) for _, best, value in sights), key=lambda pair: pair[1])
    return Gap(gap, kind, entries, best, value, names, _excuse(knowledge, gap, kind, entries))


def _excuse(knowledge: Knowledge, gap: str, kind: str, entries: tuple[str, ...]) -> str | None:
    tables: Mapping[str, Mapping[str, Cause | Check | Symptom]] = {
        "cause": knowledge.causes,
        "check": knowledge.checks,
        "symptom": knowledge.symptoms,
    }
    reasons = (tables[kind][entry].excused.get(gap) for entry in entries)
    return next((reason for reason in reasons if reason), None)


def _of_car(
    knowledge: Knowledge, car: Car, symptom: str | None
) -> Iterator[tuple[Key, str | None, float]]:
    causes = car.network.causes
    looked_at = np.array(
        [symptom is None or cause in knowledge.symptoms[symptom].causes for cause in causes], bool
    )
    yield from _look_alikes(car, looked_at)
    yield from _out_of_reach(knowledge, car, looked_at)
    if symptom is None:
        yield from _never_chosen(knowledge, car)
        yield from _same_symptoms(knowledge, car)


def _look_alikes(
    car: Car, looked_at: npt.NDArray[np.bool_]
) -> Iterator[tuple[Key, str | None, float]]:
    best = car.strength.max(axis=0)
    which = car.strength.argmax(axis=0)
    often = (car.shows >= BOTH_SHOW).astype(float)
    together = (often.T @ often) > 0.0
    alike = np.triu((best < LEAST_DECIBANS) & together, 1) & looked_at[:, None] & looked_at
    for i, j in zip(*np.nonzero(alike), strict=True):
        pair = tuple(sorted((car.network.causes[i], car.network.causes[j])))
        yield (APART, "cause", pair), car.checks[which[i, j]], float(best[i, j])


def _out_of_reach(
    knowledge: Knowledge, car: Car, looked_at: npt.NDArray[np.bool_]
) -> Iterator[tuple[Key, str | None, float]]:
    """Causes that stay unlikely although every check speaks for them as far as it may."""
    chance = best_chance(knowledge, car)
    for i in np.nonzero((chance < knowledge.policy.conclude) & looked_at)[0]:
        yield (NEVER_FOUND, "cause", (car.network.causes[i],)), None, float(chance[i])


def best_chance(knowledge: Knowledge, car: Car) -> Floats:
    """P(cause) for a car with it alone that answers every check as tellingly as cars with it do.

    That is the answer that speaks most for the cause, of those that at least SEEN of the cars with
    it give. Among single causes, for the complaint that the cause shows most; shape (causes,).
    """
    network, policy = car.network, knowledge.policy
    weights = np.array(
        [seen_weight(knowledge.causes[cause], policy, network.history) for cause in network.causes]
    )
    leak = policy.symptom_leak
    shown = 1.0 - (1.0 - car.shows) * (1.0 - leak)
    complaint = car.shows.argmax(axis=0)
    score = np.log(weights)[None, :] + np.log(shown)[complaint]
    for shares in car.answers:
        for_it = np.where(shares >= SEEN, shares / shares.mean(axis=1, keepdims=True), 0.0)
        score += np.log(shares)[for_it.argmax(axis=0)]
    score -= score.max(axis=1, keepdims=True)
    odds = np.exp(score)
    chance: Floats = np.diag(odds) / odds.sum(axis=1)
    return chance


def _never_chosen(knowledge: Knowledge, car: Car) -> Iterator[tuple[Key, str | None, float]]:
    """Checks in no tree, for which another of no more minutes does as well on every pair."""
    parts = car.network.parts
    asked = {check for one in knowledge.symptoms.values() for check in reached(one, parts)}
    cheaper = np.zeros(car.strength.shape[1:])
    for check, strength in zip(car.checks, car.strength, strict=True):
        if check not in asked and bool(np.all(strength <= cheaper + 1e-9)):
            yield (NEVER_CHOSEN, "check", (check,)), None, float(strength.max())
        np.maximum(cheaper, strength, out=cheaper)


def _same_symptoms(knowledge: Knowledge, car: Car) -> Iterator[tuple[Key, str | None, float]]:
    names = list(knowledge.symptoms)
    for i, one in enumerate(names):
        for j in range(i + 1, len(names)):
            apart = float(np.abs(car.shows[i] - car.shows[j]).max(initial=0.0))
            if apart <= SAME_SHARES:
                yield (SAME, "symptom", (one, names[j])), None, apart


def _implied(knowledge: Knowledge) -> Iterator[tuple[Key, str | None, float]]:
    """Causes about which a check is silent that their complaint or their proof points at."""
    for cause in knowledge.causes:
        if not cause.startswith(AS_DESIGNED):
            yield from _silent_runs(knowledge, cause)
            yield from _silent_proofs(knowledge, cause)


def _silent_runs(knowledge: Knowledge, cause: str) -> Iterator[tuple[Key, str | None, float]]:
    symptoms = [one for name, one in knowledge.symptoms.items() if name in BOOST_COMPLAINTS]
    share = max((one.causes.get(cause, 0.0) for one in symptoms), default=0.0)
    runs = [name for name, check in knowledge.checks.items() if check.records_boost]
    if share >= OFTEN and runs and not any(cause in knowledge.checks[run].given for run in runs):
        yield (IMPLIED, "cause", (cause,)), runs[0], share


def _silent_proofs(knowledge: Knowledge, cause: str) -> Iterator[tuple[Key, str | None, float]]:
    texts = {name: _stems(_text_of(check)) for name, check in knowledge.checks.items()}
    spread = Counter(word for words in texts.values() for word in words)
    proof = _stems(knowledge.causes[cause].confirm)
    needs = set(knowledge.causes[cause].needs)
    for name, words in texts.items():
        check = knowledge.checks[name]
        shared = [word for word in proof & words if spread[word] <= RARE_IN]
        fits = not check.needs or bool(needs & set(check.needs))
        if len(shared) >= SHARED_WORDS and fits and cause not in check.given:
            yield (IMPLIED, "cause", (cause,)), name, float(len(shared))


def _text_of(check: Check) -> str:
    return " ".join([check.ask, *check.answers.values()])


def _stems(text: str) -> set[str]:
    return {_ENDING.sub("", word) for word in _WORD.findall(text.lower())}
