"""What somebody found under the bonnet, read and checked against the ports that the car has."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from expert.errors import UsageError
from expert.evidence.hookup.layout import Layout, Pair, Port
from expert.loading.nearest import nearest
from expert.text import clean

AIR = "air"
CAP = "cap"


@dataclass(frozen=True, slots=True)
class Found:
    """Hoses as pairs of ports; ports with a cap; hoses that leak, are pinched or have a valve.

    ``checks`` are pairs in the direction in which their valve passes air; ``tees`` are pairs of
    ports that a tee joins besides their hoses. Every other port is open to the air.
    """

    hoses: frozenset[Pair]
    capped: frozenset[Port]
    split: frozenset[Pair] = frozenset()
    pinched: frozenset[Pair] = frozenset()
    checks: frozenset[tuple[Port, Port]] = frozenset()
    restrictor: str = "right"
    plugged: bool = True
    tees: frozenset[Pair] = frozenset()


def as_it_should_be(layout: Layout) -> Found:
    """The layout itself, found without a fault."""
    return Found(layout.pairs, layout.capped)


def found_from(
    layout: Layout,
    hoses: Iterable[str],
    *,
    split: Iterable[str] = (),
    pinched: Iterable[str] = (),
    checks: Iterable[str] = (),
    restrictor: str = "right",
    plugged: bool = True,
    tees: Iterable[str] = (),
) -> Found:
    """What texts of the form PORT=PORT, PORT=air and PORT=cap say.

    A port that no text names is as the layout has it, if the other end of its hose is not named
    either. The same hose may be told from both of its ends. Raises UsageError that names the port
    and what was expected.
    """
    _refuse_what_the_car_has_not(layout, restrictor, plugged)
    joined = joined_ends(layout, hoses)
    pairs = {frozenset((port, end)) for port, end in joined.items() if end not in (AIR, CAP)}
    kept = {pair for pair in layout.pairs if joined.keys().isdisjoint(pair)}
    capped = {port for port, end in joined.items() if end == CAP}
    everything = frozenset(pairs | kept)
    teed = frozenset(_tee(text, everything, capped, layout) for text in tees)
    named = joined.keys() | {port for pair in teed for port in pair}
    capped |= {port for port in layout.capped if port not in named}
    return Found(
        everything,
        frozenset(capped),
        frozenset(_hose(text, everything, layout) for text in split),
        frozenset(_hose(text, everything, layout) for text in pinched),
        frozenset(_directed(text, everything, layout) for text in checks),
        restrictor,
        plugged,
        teed,
    )


def joined_ends(layout: Layout, hoses: Iterable[str]) -> dict[Port, str]:
    """What the texts put on each port that they name: a port, ``air`` or ``cap``."""
    joined: dict[Port, str] = {}
    for text in hoses:
        one, other = _ends(text, layout)
        for port, end in ((one, other), (other, one)):
            if port in (AIR, CAP):
                continue
            if joined.get(port, end) != end:
                raise UsageError(
                    f"The port {port} is named twice: it cannot go to {joined[port]} and to {end}. "
                    "If a tee joins it to both, say so with --tee."
                )
            joined[port] = end
    return joined


def _refuse_what_the_car_has_not(layout: Layout, restrictor: str, plugged: bool) -> None:
    ball = restrictor == "blocked" and "ball-controller" in layout.parts
    if restrictor != "right" and "bleed-controller" not in layout.parts and not ball:
        raise UsageError(
            f"The restrictor is said to be {restrictor}, but this car has none that could be; "
            "leave it out. A bleed controller has one, and a ball controller has a bleed hole, "
            "which may be blocked."
        )
    if not plugged and layout.parts.isdisjoint(("three-port", "four-port")):
        raise UsageError("This car has no boost solenoid that could be unplugged; leave it out.")


def _tee(text: str, hoses: Collection[Pair], capped: Collection[Port], layout: Layout) -> Pair:
    one, other = _ends(text, layout)
    pair = frozenset((one, other))
    if other in (AIR, CAP):
        raise UsageError(f"A tee joins two ports, so {clean(text, 80)!r} is none: write PORT=PORT.")
    if pair in hoses:
        raise UsageError(
            f"A hose joins {one} and {other} already; a tee between them adds nothing."
        )
    for port in (one, other):
        if port in capped:
            raise UsageError(f"The port {port} cannot be capped and have a tee.")
    return pair


def _ends(text: str, layout: Layout) -> tuple[Port, Port]:
    one, equals, other = (part.strip() for part in text.partition("="))
    if not equals or not one or not other:
        raise UsageError(
            f"{clean(text, 80)!r} is no hose: write both ends, PORT=PORT, or PORT=air for an open "
            "port, or PORT=cap for a capped one."
        )
    if one in (AIR, CAP):
        one, other = other, one
    one = known_port(one, layout.ports)
    other = other if other in (AIR, CAP) else known_port(other, layout.ports)
    if one == other:
        raise UsageError(f"A hose cannot go from {one} to itself; write the port at its other end.")
    return one, other


def known_port(text: str, ports: Collection[Port]) -> Port:
    """A port of this car, written part.port. Raises UsageError with the nearest one."""
    if text in ports:
        return text
    close = nearest(text, ports)
    hint = f"did you mean '{close}'?" if close else f"expected one of {', '.join(sorted(ports))}"
    raise UsageError(f"The port {clean(text, 60)!r} is not on this car; {hint}")


def _hose(text: str, hoses: Collection[Pair], layout: Layout) -> Pair:
    """The hose that a text names by both ends, or by one of them."""
    if "=" in text:
        pair = frozenset(_ends(text, layout))
    else:
        port = known_port(text.strip(), layout.ports)
        pair = next((pair for pair in hoses if port in pair), frozenset((port,)))
    if pair not in hoses:
        ends = " and ".join(sorted(pair))
        raise UsageError(f"There is no hose on {ends}, so nothing about it can be said.")
    return pair


def _directed(text: str, hoses: Collection[Pair], layout: Layout) -> tuple[Port, Port]:
    one, other = _ends(text, layout)
    _hose(text, hoses, layout)
    return one, other
