"""What is wrong with the hoses and caps that were found, and the fewest moves that mend it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

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


@dataclass(frozen=True, slots=True)
class Untee:
    """A tee that joins two ports comes out."""

    one: Port
    other: Port


Step = Untee | Swap | Move | Remove | Fit | Cap | Uncap


def wrong_ports(layout: Layout, found: Found) -> list[Wrong]:
    """Every port that has on it what does not belong there, in the order of the ports."""
    now, then = _ends(found.hoses, found.capped), _ends(layout.pairs, layout.capped)
    now |= dict(_teed(found, now))
    return [
        Wrong(port, now.get(port, AIR), then.get(port, AIR))
        for port in layout.ports
        if now.get(port, AIR) != then.get(port, AIR) and not _idle(port, now, then)
    ]


def _teed(found: Found, ends: Mapping[Port, str]) -> Iterator[tuple[Port, str]]:
    """What a tee joins, told of the port that has no hose of its own, or of both."""
    for pair in sorted(found.tees, key=sorted):
        for port, other in _both_ways(pair):
            if port not in ends or other in ends:
                yield port, other


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

    They are to be done in order. Wrong and missing hoses hang together in paths and rings by the
    ports that they share. Each step puts one missing hose where it belongs, and the last swap of a
    ring two, so that a ring of n hoses takes n - 1 swaps; no step can do more than that.
    """
    tees = [Untee(*sorted(pair)) for pair in sorted(found.tees, key=sorted)]
    before = [Uncap(port) for port in sorted(found.capped & _breathing(layout))]
    bare = layout.capped - found.capped
    return [*tees, *before, *_hose_steps(layout, found), *(Cap(port) for port in sorted(bare))]


def _breathing(layout: Layout) -> frozenset[Port]:
    """Ports that must not have a cap: those with a hose and those that are open."""
    idle = {port for port in layout.unused - layout.open if ".water-" in port}
    return frozenset(layout.ports) - layout.capped - idle


def _hose_steps(layout: Layout, found: Found) -> Iterator[Step]:
    end_of = {port: other for pair in found.hoses for port, other in _both_ways(pair)}
    missing = {port: other for pair in layout.pairs for port, other in _both_ways(pair)}
    while True:
        wanted = {port: other for port, other in missing.items() if end_of.get(port) != other}
        extra = {port for port, other in end_of.items() if missing.get(port) != other}
        step = _next_step(end_of, wanted, extra)
        if step is None:
            return
        _do(step, end_of)
        yield step


def _both_ways(pair: Pair) -> list[tuple[Port, Port]]:
    one, other = sorted(pair)
    return [(one, other), (other, one)]


def _next_step(
    end_of: Mapping[Port, Port], wanted: Mapping[Port, Port], extra: set[Port]
) -> Step | None:
    for port in sorted(wanted):
        if wanted[port] not in end_of and port in end_of:
            return Move(port, end_of[port], wanted[port])
    for port in sorted(wanted):
        if wanted[port] not in end_of and port not in end_of:
            return Fit(port, wanted[port])
    for port in sorted(extra):
        if port not in wanted:
            return Remove(*sorted((port, end_of[port])))
    swaps = sorted((min(a, b), max(a, b)) for a, b in ((end_of[p], wanted[p]) for p in wanted))
    if swaps:
        # Hoses are changed over most easily on one and the same part.
        return Swap(*min(swaps, key=lambda pair: (_part(pair[0]) != _part(pair[1]), pair)))
    return None


def _part(port: Port) -> str:
    return port.partition(".")[0]


def _do(step: Step, end_of: dict[Port, Port]) -> None:
    """Change the hoses, as port to port both ways, by one step."""
    match step:
        case Move(staying, from_, to):
            del end_of[from_]
            end_of[staying], end_of[to] = to, staying
        case Fit(one, other):
            end_of[one], end_of[other] = other, one
        case Remove(one, other):
            del end_of[one], end_of[other]
        case Swap(one, other):
            far, further = end_of[one], end_of[other]
            end_of[one], end_of[other] = further, far
            end_of[further], end_of[far] = one, other
