"""Any network of sources, volumes, restrictions and switching valves, steady or pulsed.

Each volume keeps its mass: V/(R T) dp/dt is the sum of the flows into it, at one temperature. A
step in time is implicit, so that it is stable however small a volume is, and a volume that nothing
joins to anything keeps the pressure that was shut in. In a step every pressure lies between the
lowest and the highest of the sources and of the pressures before it: the flow into a volume falls
with its own pressure and rises with its neighbours', so the solution is unique (Ortega and
Rheinboldt, Iterative Solution of Nonlinear Equations in Several Variables, 13.5, M-functions).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal, NamedTuple

import numpy as np

from expert.bench.air import GAS_CONSTANT
from expert.bench.flow import FITTING_RATIO, REFERENCE_K, choked_kg_s_pa, restricted

State = Literal["always", "rest", "powered"]

_MOST_ROUNDS: Final = 200
_MOST_CHANGES: Final = 400
_SHARES: Final = (1.0, 0.5, 0.25, 0.125, 0.0625)
# A volume is in balance when what is left over is this small beside the flow through it, or as
# small as the rounding of the pressures lets it be.
_BALANCE: Final = 1e-11
_ROUNDING: Final = 8.0 * 2.0**-52
# A flow that is none: a third of a nanogram a year.
_NO_FLOW_KG_S: Final = 1e-17
# After the last of these times everything is steady that ever will be. The first lets what is shut
# in mix while there is still a number to tell how much of it there is.
_LONG_S: Final = (1.0, 1e4, 1e9)
# An open valve is shut when it would pass more than rounding backwards.
_SHUT: Final = 1.0 - 1e-12


@dataclass(frozen=True, slots=True)
class Way:
    """A passage between two nodes with its sonic conductance in m3/(s Pa).

    ``state`` says when it is open: always, or in one position of the solenoid. A way with
    ``opens_pa`` is a check valve: it passes from ``a`` to ``b`` only, beyond that difference.
    """

    a: str
    b: str
    conductance: float
    ratio: float = FITTING_RATIO
    state: State = "always"
    opens_pa: float | None = None


@dataclass(frozen=True, slots=True)
class Network:
    """Volumes in m3, sources in Pa absolute, and the ways between them; all nodes by name."""

    volumes_m3: Mapping[str, float]
    sources_pa: Mapping[str, float]
    ways: Sequence[Way]

    def open_ways(self, powered: bool) -> list[Way]:
        """The ways that are open in one position of the solenoid."""
        closed = "rest" if powered else "powered"
        return [way for way in self.ways if way.state != closed and way.conductance > 0.0]


Pressures = dict[str, float]


class _Edge(NamedTuple):
    """A way in numbers: its ends in the list of all nodes, volumes first, and what it passes."""

    a: int
    b: int
    speed: float
    ratio: float
    opens_pa: float


class BalanceError(ArithmeticError):
    """No pressures were found that balance a network; a bug or absurd numbers."""


def way_flow_kg_s(way: Way, pressures: Mapping[str, float]) -> float:
    """The flow from ``a`` to ``b``; negative when it goes the other way."""
    if not _pushed_open(way, pressures):
        return 0.0
    a_pa = pressures[way.a] - (way.opens_pa or 0.0)
    return _flow(choked_kg_s_pa(way.conductance), way.ratio, a_pa, pressures[way.b])[0]


def _flow(speed: float, ratio: float, a_pa: float, b_pa: float) -> tuple[float, float, float]:
    """The flow from a to b, and its slopes by the two pressures; an open valve passes both ways."""
    if a_pa >= b_pa:
        return restricted(speed, ratio, a_pa, b_pa)
    kg_s, by_upstream, by_downstream = restricted(speed, ratio, b_pa, a_pa)
    return -kg_s, -by_downstream, -by_upstream


def _pushed_open(way: Way, pressures: Mapping[str, float]) -> bool:
    return way.opens_pa is None or pressures[way.a] - way.opens_pa > pressures[way.b]


def _belied(way: Way, is_open: bool, pressures: Mapping[str, float]) -> bool:
    if way.opens_pa is None:
        return False
    before_pa, behind_pa = pressures[way.a] - way.opens_pa, pressures[way.b]
    return before_pa < behind_pa * _SHUT if is_open else before_pa > behind_pa / _SHUT


def stepped(network: Network, before: Pressures, powered: bool, seconds: float) -> Pressures:
    """The pressures some time later, in one implicit step. Raises BalanceError."""
    return Stepping(network, powered, seconds).after(before)


class Stepping:
    """Steps of one length in one position of the solenoid, made ready once.

    Each check valve is taken as open or shut, and those that the pressures found belie are changed
    until none is: first all of them at once, then one at a time, as Murty's least-index method for
    complementarity problems does.
    """

    def __init__(self, network: Network, powered: bool, seconds: float) -> None:
        self._names = list(network.volumes_m3)
        self._sources_pa = network.sources_pa
        self._ways = network.open_ways(powered)
        index = {name: k for k, name in enumerate((*self._names, *network.sources_pa))}
        self._edges = [
            _Edge(
                index[way.a],
                index[way.b],
                choked_kg_s_pa(way.conductance),
                way.ratio,
                way.opens_pa or 0.0,
            )
            for way in self._ways
        ]
        self._holds = [
            volume / (GAS_CONSTANT * REFERENCE_K * seconds)
            for volume in network.volumes_m3.values()
        ]

    def after(self, before: Pressures) -> Pressures:
        """The pressures a step later. Raises BalanceError when no balance is found."""
        old = [before[name] for name in self._names]
        now = {**self._sources_pa, **dict(zip(self._names, old, strict=True))}
        is_open = [_pushed_open(way, now) for way in self._ways]
        for changes in range(_MOST_CHANGES):
            passing = [one for one, through in zip(self._edges, is_open, strict=True) if through]
            system = _System(passing, self._holds, old, list(self._sources_pa.values()))
            found = {**self._sources_pa, **dict(zip(self._names, system.solve(), strict=True))}
            ways = enumerate(self._ways)
            wrong = [k for k, way in ways if _belied(way, is_open[k], found)]
            if not wrong:
                return found
            for k in wrong if changes < len(self._ways) else wrong[:1]:
                is_open[k] = not is_open[k]
        raise BalanceError("the check valves of this network find no rest")


class _System:
    """The equations of one step with its valves as they are: what flows in is what is held."""

    def __init__(
        self,
        edges: Sequence[_Edge],
        holds: list[float],
        old: list[float],
        sources_pa: list[float],
    ) -> None:
        self.edges, self.holds, self.old, self.sources_pa = edges, holds, old, sources_pa

    def solve(self) -> list[float]:
        """Newton's method, and a step with chords for slopes wherever that brings no gain.

        Newton's method alone swings for ever about equal pressures, where flow goes with the root
        of their difference; chords creep towards such a point, and halve the error each time.
        Raises BalanceError.
        """
        pressures = list(self.old)
        left, slopes, allowed = self.balance(pressures)
        for _ in range(_MOST_ROUNDS):
            if all(abs(x) <= most for x, most in zip(left, allowed, strict=True)):
                return pressures
            total = sum(map(abs, left))
            move = _solved(slopes, left)
            for share in _SHARES:
                trial = [max(p - share * m, p / 4.0) for p, m in zip(pressures, move, strict=True)]
                left, slopes, allowed = self.balance(trial)
                if sum(map(abs, left)) < (1.0 - 0.3 * share) * total:
                    break
            else:
                chords = self.chords(pressures)
                trial = [
                    max((p + q) / 2.0, p / 4.0) for p, q in zip(pressures, chords, strict=True)
                ]
                left, slopes, allowed = self.balance(trial)
            pressures = trial
        raise BalanceError("the pressures of this network find no balance")

    def held(self) -> list[list[float]]:
        """The slopes of what the volumes hold."""
        size = len(self.holds)
        slopes = [[0.0] * size for _ in range(size)]
        for k, hold in enumerate(self.holds):
            slopes[k][k] = hold
        return slopes

    def balance(self, pressures: list[float]) -> tuple[list[float], list[list[float]], list[float]]:
        """What is held less what flows in, its slopes, and how much of it may be left over."""
        size = len(pressures)
        left = [h * (p - o) for h, p, o in zip(self.holds, pressures, self.old, strict=True)]
        slopes = self.held()
        through = [abs(x) for x in left]
        nodes_pa = pressures + self.sources_pa
        for i, j, speed, ratio, opens_pa in self.edges:
            kg_s, by_a, by_b = _flow(speed, ratio, nodes_pa[i] - opens_pa, nodes_pa[j])
            if i < size:
                through[i] += abs(kg_s)
                left[i] += kg_s
                slopes[i][i] += by_a
                if j < size:
                    slopes[i][j] += by_b
                    slopes[j][i] -= by_a
            if j < size:
                through[j] += abs(kg_s)
                left[j] -= kg_s
                slopes[j][j] -= by_b
        allowed = [
            _BALANCE * through[k] + _ROUNDING * slopes[k][k] * pressures[k] + _NO_FLOW_KG_S
            for k in range(size)
        ]
        return left, slopes, allowed

    def chords(self, pressures: list[float]) -> list[float]:
        """The balance of the linear network whose ways have the flow that there is now."""
        size = len(pressures)
        slopes = self.held()
        right = [h * o for h, o in zip(self.holds, self.old, strict=True)]
        nodes_pa = pressures + self.sources_pa
        for i, j, speed, ratio, opens_pa in self.edges:
            a_pa, b_pa = nodes_pa[i], nodes_pa[j]
            kg_s, by_a, _ = _flow(speed, ratio, a_pa - opens_pa, b_pa)
            over = a_pa - opens_pa - b_pa
            chord = kg_s / over if kg_s else by_a
            if i < size:
                slopes[i][i] += chord
                right[i] += chord * opens_pa
                if j >= size:
                    right[i] += chord * b_pa
            if j < size:
                slopes[j][j] += chord
                right[j] -= chord * opens_pa
                if i >= size:
                    right[j] += chord * a_pa
            if i < size and j < size:
                slopes[i][j] -= chord
                slopes[j][i] -= chord
        return _solved(slopes, right)


def _solved(slopes: list[list[float]], right: list[float]) -> list[float]:
    """The solution of a linear system; the smallest one where volumes joined to no source make it
    singular to the last digit."""
    try:
        found = np.linalg.solve(slopes, right)
    except np.linalg.LinAlgError:
        found = np.linalg.lstsq(slopes, right, rcond=None)[0]
    return [float(value) for value in found]


def steady(network: Network, before: Pressures, powered: bool = False) -> Pressures:
    """The pressures after a long time in one position; what is shut in keeps its pressure."""
    return {
        **network.sources_pa,
        **{
            name: pressure_pa
            for one in pieces(network)
            for name, pressure_pa in _steady_piece(one, before, powered).items()
        },
    }


def _steady_piece(network: Network, before: Pressures, powered: bool) -> Pressures:
    now = before
    for seconds in _LONG_S:
        now = stepped(network, now, powered, seconds)
    return now


@dataclass(frozen=True, slots=True)
class Pulsing:
    """How a solenoid is pulsed, and how finely it is followed."""

    duty: float
    hertz: float = 30.0
    steps: int = 6
    most_periods: int = 60
    # Periods are followed until no mean moves by more than this from one to the next.
    settled_pa: float = 20.0


def pulsed_mean(network: Network, before: Pressures, pulsing: Pulsing) -> Pressures:
    """The mean pressures of the periodic steady state that follows from a beginning.

    At a duty of 0 or 1 it is the steady state of that position. In between it is first sought with
    every way open for its share of the time at once, which is exact for very quick pulses, and
    followed from there, pulse by pulse.
    """
    if pulsing.duty <= 0.0 or pulsing.duty >= 1.0:
        return steady(network, before, powered=pulsing.duty >= 1.0)
    mean = dict(network.sources_pa)
    for one in pieces(network):
        switched = any(way.state != "always" for way in one.ways)
        mean.update(_pulsed_mean(one, before, pulsing) if switched else steady(one, before))
    return mean


def _pulsed_mean(network: Network, before: Pressures, pulsing: Pulsing) -> Pressures:
    period = 1.0 / pulsing.hertz
    phases = [
        (Stepping(network, powered, seconds / pulsing.steps), seconds)
        for powered, seconds in (
            (True, pulsing.duty * period),
            (False, (1.0 - pulsing.duty) * period),
        )
    ]
    now = steady(blended(network, pulsing.duty), before)
    mean = now
    for _ in range(pulsing.most_periods):
        now, new = _period(now, network.volumes_m3, phases, pulsing.steps)
        moved = max(abs(new[name] - mean[name]) for name in network.volumes_m3)
        mean = new
        if moved <= pulsing.settled_pa:
            break
    return {**network.sources_pa, **mean}


def pieces(network: Network) -> list[Network]:
    """The parts of a network that are joined only through sources, which nothing can disturb."""
    piece_of = {name: {name} for name in network.volumes_m3}
    for way in network.ways:
        if way.a in piece_of and way.b in piece_of and piece_of[way.a] is not piece_of[way.b]:
            joined = piece_of[way.a] | piece_of[way.b]
            piece_of.update(dict.fromkeys(joined, joined))
    found = []
    for names in {id(piece): piece for piece in piece_of.values()}.values():
        volumes = {name: size for name, size in network.volumes_m3.items() if name in names}
        ways = [way for way in network.ways if way.a in names or way.b in names]
        found.append(replace(network, volumes_m3=volumes, ways=ways))
    return found


def blended(network: Network, duty: float) -> Network:
    """The network with every way open all the time, narrowed to its share of it."""
    shares = {"always": 1.0, "powered": duty, "rest": 1.0 - duty}
    ways = [
        replace(way, conductance=way.conductance * shares[way.state], state="always")
        for way in network.ways
    ]
    return replace(network, ways=ways)


def _period(
    now: Pressures, mean_of: Iterable[str], phases: list[tuple[Stepping, float]], steps: int
) -> tuple[Pressures, Pressures]:
    """One period of so many steps in each phase: the pressures at its end, and their means."""
    total = dict.fromkeys(mean_of, 0.0)
    for stepping, seconds in phases:
        for _ in range(steps):
            now = stepping.after(now)
            for name in total:
                total[name] += now[name] * seconds / steps
    whole = sum(seconds for _, seconds in phases)
    return now, {name: value / whole for name, value in total.items()}
