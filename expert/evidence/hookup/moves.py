"""What is wrong with the hoses and caps that were found, and the fewest moves that mend it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import permutations

from expert.evidence.hookup.found import AIR, CAP, Found
from expert.evidence.hookup.layout import Layout, Pair, Port


@dataclass(frozen=True, slots=True)
class Wrong:
    """A port, what is on it, and what should be: a port, ``air`` or ``cap``."""

    port: Port
    found: str
    expected: str


@dataclass(frozen=True, slots=True)
class Swap:
    """Two hose ends on two ports change places."""

    one: Port
    other: Port


@dataclass(frozen=True, slots=True)
class Move:
    """One end of a hose leaves a port for another."""

    staying: Port
    from_: Port
    to: Port


@dataclass(frozen=True, slots=True)
class Remove:
    """A hose that belongs nowhere comes off."""

    one: Port
    other: Port


@dataclass(frozen=True, slots=True)
class Fit:
    """A hose that is missing is fitted."""

    one: Port
    other: Port


@dataclass(frozen=True, slots=True)
class Cap:
    """A port is capped."""

    port: Port


@dataclass(frozen=True, slots=True)
class Uncap:
    """A cap comes off."""

    port: Port


Step = Swap | Move | Remove | Fit | Cap | Uncap


def wrong_ports(layout: Layout, found: Found) -> list[Wrong]:
    """Every port that has on it what does not belong there, in the order of the ports."""
    now, then = _ends(found.hoses, found.capped), _ends(layout.pairs, layout.capped)
    return [
        Wrong(port, now.get(port, AIR), then.get(port, AIR))
        for port in layout.ports
        if now.get(port, AIR) != then.get(port, AIR) and not _idle(port, now, then)
    ]


def _idle(port: Port, now: Mapping[Port, str], then: Mapping[Port, str]) -> bool:
    """Is it a water port that carries nothing, capped or not? Both are right."""
    nothing = (AIR, CAP)
    return ".water-" in port and now.get(port, AIR) in nothing and then.get(port, AIR) in nothing


def _ends(hoses: frozenset[Pair], capped: frozenset[Port]) -> dict[Port, str]:
    ends = dict.fromkeys(capped, CAP)
    for pair in hoses:
        one, other = sorted(pair)
        ends[one], ends[other] = other, one
    return ends


def moves(layout: Layout, found: Found) -> list[Step]:
    """A list of steps, as short as can be, after which the plumbing is that of the layout.

    Each hose that is wrong is matched with one that is missing; a match that shares a port costs
    one move and any other two, and two moves that exchange the ports of two hoses are one swap.
    Few hoses hang together, so all matchings are tried.
    """
    steps: list[Step] = []
    for extra, missing in _knots(found.hoses - layout.pairs, layout.pairs - found.hoses):
        tried = list(_matchings(extra, missing))
        steps += tried[min(range(len(tried)), key=lambda k: len(tried[k]))]
    caps: list[Step] = [Uncap(port) for port in sorted(found.capped & _used(layout))]
    wanted_open = layout.open | (layout.unused - layout.capped)
    caps += [Uncap(port) for port in sorted(found.capped & wanted_open) if ".water-" not in port]
    bare = layout.capped - found.capped
    return [*caps, *steps, *(Cap(port) for port in sorted(bare))]


def _used(layout: Layout) -> frozenset[Port]:
    return frozenset(layout.ports) - layout.unused


def _knots(
    extra: frozenset[Pair], missing: frozenset[Pair]
) -> Iterator[tuple[list[Pair], list[Pair]]]:
    """Wrong and missing hoses that hang together by their ports, apart from all others.

    A hose made of one from another knot costs two moves, as much as taking it off and fitting a
    new one, so every knot can be mended by itself.
    """
    left = set(extra | missing)
    while left:
        knot = {min(left, key=sorted)}
        while True:
            ports = {port for pair in knot for port in pair}
            more = {pair for pair in left if not ports.isdisjoint(pair)}
            if more <= knot:
                break
            knot |= more
        left -= knot
        yield sorted(knot & extra, key=sorted), sorted(knot & missing, key=sorted)


def _matchings(extra: list[Pair], missing: list[Pair]) -> Iterator[list[Step]]:
    """The steps of every way to make the missing hoses of the extra ones."""
    padded: list[Pair | None] = [*extra, *[None] * max(len(missing) - len(extra), 0)]
    for order in permutations(padded, len(missing)):
        steps: list[Step] = []
        for old, new in zip(order, missing, strict=True):
            steps += _remade(old, new)
        steps += [Remove(*_ends_of(pair)) for pair in extra if pair not in order]
        yield _with_swaps(steps)


def _ends_of(pair: Pair) -> tuple[Port, Port]:
    one, other = sorted(pair)
    return one, other


def _remade(old: Pair | None, new: Pair) -> list[Step]:
    one, other = sorted(new)
    if old is None:
        return [Fit(one, other)]
    shared = old & new
    if len(shared) == 1:
        (staying,) = shared
        (from_,), (to,) = old - new, new - old
        return [Move(staying, from_, to)]
    first, second = sorted(old)
    return [Move(second, first, one), Move(one, second, other)]


def _with_swaps(steps: list[Step]) -> list[Step]:
    """Two moves that exchange two ports become a swap."""
    left = list(steps)
    done: list[Step] = []
    while left:
        step = left.pop(0)
        twin = next(
            (
                other
                for other in left
                if isinstance(step, Move)
                and isinstance(other, Move)
                and (step.from_, step.to) == (other.to, other.from_)
            ),
            None,
        )
        if twin is not None and isinstance(step, Move):
            left.remove(twin)
            done.append(Swap(min(step.from_, step.to), max(step.from_, step.to)))
        else:
            done.append(step)
    return done
