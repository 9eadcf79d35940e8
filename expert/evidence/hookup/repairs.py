"""What is to be mended of the hoses and the valve themselves, wherever they sit."""

from __future__ import annotations

from dataclasses import dataclass

from expert.evidence.hookup.found import Found
from expert.evidence.hookup.layout import Layout, Pair, Port


@dataclass(frozen=True, slots=True)
class Renew:
    """A hose that leaks is replaced."""

    one: Port
    other: Port


@dataclass(frozen=True, slots=True)
class Free:
    """A hose that is pinched gets room."""

    one: Port
    other: Port


@dataclass(frozen=True, slots=True)
class TakeOut:
    """A check valve comes out of a hose."""

    one: Port
    other: Port


@dataclass(frozen=True, slots=True)
class Restrict:
    """The restrictor is put right; ``fault`` says what is wrong with it, ``part`` where it is."""

    fault: str
    part: str


@dataclass(frozen=True, slots=True)
class PlugIn:
    """The boost solenoid is plugged in."""


Repair = Renew | Free | TakeOut | Restrict | PlugIn


def repairs(layout: Layout, found: Found) -> list[Repair]:
    """What to mend, named by the ports where it is now; done before any hose is moved."""
    made: list[Repair] = [Renew(*ends) for ends in _sorted(found.split)]
    made += [Free(*ends) for ends in _sorted(found.pinched - found.split)]
    made += [TakeOut(*ends) for ends in sorted(found.checks)]
    if found.restrictor != "right":
        part = "ball-controller" if "ball-controller" in layout.parts else "bleed-controller"
        made.append(Restrict(found.restrictor, part))
    if not found.plugged:
        made.append(PlugIn())
    return made


def _sorted(pairs: frozenset[Pair]) -> list[list[Port]]:
    return sorted(sorted(pair) for pair in pairs)
