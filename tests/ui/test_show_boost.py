"""What boost to expect, as blocks: ``expert/ui/show_boost.py``."""

from __future__ import annotations

from expert.bench.expect import Place
from expert.evidence.hookup.expectation import Expectation, expectation
from expert.ui.protocol import Cautions
from expert.ui.show_boost import expected_blocks
from tests.evidence.hookup.rigs import layout
from tests.ui.script import shown

PSI = 6894.757293168  # NIST Special Publication 811, appendix B.8


def lines(expected: Expectation) -> dict[str, str]:
    text = shown(expected_blocks(expected, "A title"))
    return dict(line.split(": ", maxsplit=1) for line in text.splitlines() if ": " in line)


def test_ranges_are_gauge_and_absolute() -> None:
    found = lines(expectation(layout("external-single"), 14 * PSI, Place(), target_pa=20 * PSI))
    assert found["Spring"].startswith("97 kPa (14 psi)")
    assert found["At 0 % duty"].startswith("90 to 103 kPa (13 to 15 psi)")
    assert "absolute" in found["At 0 % duty"]
    assert found["Takes"].startswith("about 30 to")
    assert found["Ceiling at 85 %"] == "nothing limits it"
    assert found["Air outside"].startswith("101.3 kPa absolute, 20 °C")


def test_a_target_that_takes_nothing_or_cannot_be_reached() -> None:
    single = layout("external-single")
    low = lines(expectation(single, 14 * PSI, Place(), target_pa=10 * PSI))
    assert low["Takes"] == "no duty at all"
    ball = layout("manual-ball", "internal")
    high = lines(expectation(ball, 7 * PSI, Place(), target_pa=45 * PSI))
    assert high["Takes"] == "cannot be reached with this"
    assert "Wound right out" in high


def test_warnings_are_cautions() -> None:
    blocks = expected_blocks(
        expectation(layout("direct", "internal"), 7 * PSI, Place(), target_pa=20 * PSI), "A title"
    )
    (cautions,) = [block for block in blocks if isinstance(block, Cautions)]
    assert len(cautions.items) == 2
