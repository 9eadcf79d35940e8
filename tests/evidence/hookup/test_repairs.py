"""What is mended where it is: ``expert/evidence/hookup/repairs.py``."""

from __future__ import annotations

from expert.evidence.hookup.found import as_it_should_be, found_from
from expert.evidence.hookup.repairs import Free, PlugIn, Renew, Restrict, TakeOut, repairs
from tests.evidence.hookup.rigs import layout

NO, COM = "three-port.normally-open", "three-port.common"
NIPPLE, LOWER = "housing-nipple.nipple", "external-gate.lower"


def test_every_fault_of_a_hose_has_its_repair() -> None:
    one = layout("external-single")
    found = found_from(
        one, [], split=[COM], pinched=[NIPPLE, COM], checks=[f"{NIPPLE}={NO}"], plugged=False
    )
    # A hose that leaks is replaced, so that it was pinched besides needs no saying.
    assert repairs(one, found) == [
        Renew(LOWER, COM),
        Free(NIPPLE, NO),
        TakeOut(NIPPLE, NO),
        PlugIn(),
    ]
    assert repairs(one, as_it_should_be(one)) == []


def test_restrictors_by_the_controller_that_has_them() -> None:
    for setup, part in (("manual-ball", "ball-controller"), ("manual-bleed", "bleed-controller")):
        one = layout(setup, "external")
        found = found_from(one, [], restrictor="blocked")
        assert repairs(one, found) == [Restrict("blocked", part)]
