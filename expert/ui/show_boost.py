"""What boost to expect, as blocks."""

from __future__ import annotations

from expert.bench.expect import SPRING_SLACK_PA, USEFUL_DUTY, Range
from expert.bench.rig import MOST_BOOST_PA
from expert.evidence.hookup.expectation import Expectation
from expert.ui.protocol import Block, Cautions, Fact, Heading, Paragraph, Warned
from expert.units import KPA_PER_PSI, shown_kpa

_ZERO_C = 273.15


def expected_blocks(expected: Expectation, title: str) -> list[Block]:
    """The numbers, each as a range, and what is unwise about them."""
    place = expected.place
    blocks: list[Block] = [Heading(title)]
    blocks.append(Fact("Spring", shown_kpa(expected.spring_pa / 1000.0)))
    air = f"{place.ambient_pa / 1000.0:.1f} kPa absolute, {place.ambient_k - _ZERO_C:.0f} °C"
    blocks.append(Fact("Air outside", f"{air}, {expected.air_kg_m3:.2f} kg/m³"))
    rest = "At 0 % duty" if expected.pulsed else "Wound right out" if expected.by_hand else "Boost"
    blocks.append(Fact(rest, _both(expected.at_rest, place.ambient_pa)))
    if expected.at_duty is not None and expected.duty is not None:
        share = f"At {100 * expected.duty:.0f} %"
        blocks.append(Fact(share, _both(expected.at_duty, place.ambient_pa)))
    if expected.target_pa is not None:
        blocks.append(Fact("Target", shown_kpa(expected.target_pa / 1000.0)))
        if expected.pulsed or expected.by_hand:
            blocks.append(Fact("Takes", _duties(expected)))
    if expected.ceiling is not None:
        label = f"Ceiling at {100 * USEFUL_DUTY[1]:.0f} %"
        blocks.append(Fact(label, _range(expected.ceiling)))
    if expected.warnings:
        blocks.append(Cautions(tuple(Warned("CAUTION", text) for text in expected.warnings)))
    blocks.append(
        Paragraph(
            "Pressures are gauge unless they say absolute. Hoses, bores and exhaust pressure move "
            "all of this, so begin at 0 % and go up in small steps with an agreed limit."
        )
    )
    return blocks


def _both(found: Range, ambient_pa: float) -> str:
    if _unlimited(found):
        return _range(found)
    absolute = _range(found, ambient_pa, absolute=True)
    return f"{_range(found)} ({absolute} absolute)"


def _unlimited(found: Range) -> bool:
    """Is even the least of it where the reckoning ends?"""
    return found.high is None and found.low >= MOST_BOOST_PA - SPRING_SLACK_PA


def _range(found: Range, offset_pa: float = 0.0, absolute: bool = False) -> str:
    if _unlimited(found):
        return "nothing limits it"
    low = (found.low + offset_pa) / 1000.0
    if found.high is None:
        return f"{low:.0f} kPa or more; nothing limits it" if not absolute else f"{low:.0f} kPa up"
    high = (found.high + offset_pa) / 1000.0
    psi = f" ({low / KPA_PER_PSI:.0f} to {high / KPA_PER_PSI:.0f} psi)" if not absolute else ""
    return f"{low:.0f} to {high:.0f} kPa{psi}"


def _duties(expected: Expectation) -> str:
    found = expected.for_target
    what = "duty" if expected.pulsed else "of the way wound in"
    if found is None:
        return "cannot be reached with this"
    low, high = 100.0 * found.low, 100.0 * (found.high or 0.0)
    if high < 1.0:
        return f"no {what} at all" if expected.pulsed else "nothing: leave it wound out"
    return f"about {low:.0f} to {high:.0f} % {what}; begin below"
