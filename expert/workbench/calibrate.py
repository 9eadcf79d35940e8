"""Are stated probabilities true? Rankings held against invented cars whose causes are known.

On cars that are as the knowledge says, the stated probabilities must be right, or the algebra is
wrong. On cars that are otherwise, it shows how gracefully rankings fail: with every number of the
knowledge off by noise, and with three faults where rankings think of two at most.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import numpy.typing as npt

from expert.case.car import GATES, NO_BYPASS, parts_of
from expert.case.firmness import shaken_cause, shaken_check, shaken_policy, shaken_symptom
from expert.model import Knowledge
from expert.reasoning.network import Channel, History, Network, applicable
from expert.workbench.calibrate_cars import Cars, World
from expert.workbench.calibrate_rank import Ranked, Ranker
from expert.workbench.scores import Bin, bins, calibration_error, chance_error, log_loss

Floats = npt.NDArray[np.float64]
Rank = Callable[[Ranker, Network, Cars], Ranked]

CARS: Final = 20_000
FIRST: Final = 5
MOST_ERROR: Final = 0.01
_CHANGES: Final = (None, "nothing", "earlier", "just-fitted")


@dataclass(frozen=True, slots=True)
class Setting:
    """How the cars are made: noise in units of the policy's ``shake``, and the number of faults."""

    name: str
    shakes: float = 0.0
    faults: int | None = None


SETTINGS: Final = (
    Setting("as the knowledge says"),
    Setting("numbers off by half a shake", shakes=0.5),
    Setting("numbers off by one shake", shakes=1.0),
    Setting("numbers off by two shakes", shakes=2.0),
    Setting("three faults", faults=3),
)


@dataclass(frozen=True, slots=True)
class Calibration:
    """How rankings did on the cars of a setting.

    ``first`` and ``five``: share of the cars with listed causes of which one was ranked first, or
    among the first five. ``log``: mean of -ln of the share of the cause to be confirmed, over all
    cars, in nats. ``error``: calibration error of all stated probabilities of causes;
    ``first_error`` that of the likeliest cause alone, which ``bins`` holds in detail;
    ``chance`` is what the latter would be by chance if all that is stated were right.
    """

    setting: Setting
    cars: int
    first: float
    five: float
    log: float
    error: float
    first_error: float
    chance: float
    bins: tuple[Bin, ...]

    @property
    def off(self) -> bool:
        """Is the error of the likeliest cause more than is allowed, and more than chance makes?"""
        return self.first_error > max(MOST_ERROR, 2.0 * self.chance)


@dataclass(frozen=True, slots=True)
class _Table:
    """What was stated of some cars and what was true.

    ``stated`` and ``there`` (cars, causes) in one row after the other; ``first``, ``right``,
    ``place`` and ``hit`` (cars,); ``place`` is the rank of the best true cause, -1 without any.
    """

    stated: Floats
    there: Floats
    first: Floats
    right: Floats
    place: npt.NDArray[np.intp]
    hit: Floats


def calibrations(
    knowledge: Knowledge,
    cars: int = CARS,
    seed: int = 1,
    settings: Sequence[Setting] = SETTINGS,
    rank: Rank = Ranker.ranked,
) -> list[Calibration]:
    """The rankings of so many cars in each setting, spread over all setups, gates and complaints.

    ``rank`` is what makes the rankings; only a test gives another.
    """
    tables: list[list[_Table]] = [[] for _ in settings]
    counts = _counts(knowledge, cars)
    for number, parts in enumerate(counts):
        # What the findings say is kept for cars with the same parts, and only for these.
        ranker = Ranker(len(applicable(knowledge, parts)))
        channels: dict[str, Channel] = {}
        for place, setting in enumerate(settings):
            rng = np.random.default_rng([seed, place, number])
            truth = _shaken(knowledge, setting.shakes, rng)
            for complaint, count in counts[parts].items():
                history = _history(knowledge, rng)
                world = World(truth, parts, history)
                drawn = world.cars(complaint, count, setting.faults, rng)
                network = Network(knowledge, parts, complaint, history, channels)
                tables[place].append(_table(drawn, rank(ranker, network, drawn), rng))
    return [_calibration(setting, found) for setting, found in zip(settings, tables, strict=True)]


def _counts(knowledge: Knowledge, cars: int) -> dict[frozenset[str], Counter[str]]:
    """How many cars of each kind: every setup with every gate, bypass and complaint, evenly."""
    kinds: list[tuple[frozenset[str], str]] = []
    for setup, layout in knowledge.setups.items():
        named: list[str | None] = [name for name, part in GATES.items() if part in layout.gates]
        for gate in named or [None]:
            for bypass in (NO_BYPASS, *knowledge.bypasses):
                parts = parts_of(knowledge, setup, gate, bypass)
                kinds += [(parts, complaint) for complaint in knowledge.symptoms]
    ends = np.linspace(0, cars, len(kinds) + 1).round().astype(int)
    counts: defaultdict[frozenset[str], Counter[str]] = defaultdict(Counter)
    for (parts, complaint), count in zip(kinds, np.diff(ends), strict=True):
        if count:
            counts[parts][complaint] += int(count)
    return counts


def _history(knowledge: Knowledge, rng: np.random.Generator) -> History:
    """A past that a car may have."""
    changed = _CHANGES[int(rng.integers(len(_CHANGES)))]
    if changed != "just-fitted" or rng.random() < 0.5 or "worked-on" not in knowledge.checks:
        return History(changed)
    areas = list(knowledge.checks["worked-on"].answers)
    return History(changed, frozenset({areas[int(rng.integers(len(areas)))]}))


def _shaken(knowledge: Knowledge, shakes: float, rng: np.random.Generator) -> Knowledge:
    """The knowledge with noise on every share and every weight."""
    if not shakes:
        return knowledge
    spread = shakes * knowledge.policy.shake
    return replace(
        knowledge,
        policy=shaken_policy(knowledge.policy, spread, rng),
        causes={name: shaken_cause(one, spread, rng) for name, one in knowledge.causes.items()},
        checks={name: shaken_check(one, spread, rng) for name, one in knowledge.checks.items()},
        symptoms={
            name: shaken_symptom(one, spread, rng) for name, one in knowledge.symptoms.items()
        },
    )


def _table(cars: Cars, ranked: Ranked, rng: np.random.Generator) -> _Table:
    there, stated = cars.there, ranked.probability
    rows = np.arange(len(there))
    order = np.argsort(-stated, axis=1, kind="stable")
    in_order = there[rows[:, None], order]
    # One of the faults is found and confirmed; where none is listed, it is the unlisted one.
    chance = rng.random(there.shape) * there
    confirmed = np.where(there.any(axis=1), chance.argmax(axis=1), there.shape[1])
    return _Table(
        stated=stated.ravel(),
        there=there.ravel().astype(float),
        first=stated[rows, order[:, 0]],
        right=in_order[:, 0].astype(float),
        place=np.where(in_order.any(axis=1), in_order.argmax(axis=1), -1),
        hit=ranked.share[rows, confirmed],
    )


def _calibration(setting: Setting, tables: Sequence[_Table]) -> Calibration:
    place = np.concatenate([table.place for table in tables])
    listed = place[place >= 0]
    likeliest = bins(
        np.concatenate([table.first for table in tables]),
        np.concatenate([table.right for table in tables]),
    )
    every = bins(
        np.concatenate([table.stated for table in tables]),
        np.concatenate([table.there for table in tables]),
    )
    return Calibration(
        setting,
        cars=len(place),
        first=float((listed == 0).mean()),
        five=float((listed < FIRST).mean()),
        log=log_loss(np.concatenate([table.hit for table in tables])),
        error=calibration_error(every),
        first_error=calibration_error(likeliest),
        chance=chance_error(likeliest),
        bins=tuple(likeliest),
    )
