"""Findings for the diagnosis: ``expert/evidence/hookup/findings.py``."""

from __future__ import annotations

import pytest

from expert.evidence.hookup.findings import Finding, findings
from tests.evidence.hookup.rigs import judged, shipped

NO, COM, NC = (f"three-port.{p}" for p in ("normally-open", "common", "normally-closed"))
NIPPLE, TAP, LOWER = "housing-nipple.nipple", "inlet-pipe.tap", "external-gate.lower"
UPPER, SPARE, MANIFOLD = "external-gate.upper", "external-gate.spare-lower", "manifold.tap"


@pytest.mark.parametrize(
    ("hoses", "answers"),
    [
        ([], ("matches",)),
        ([f"{NC}=air", f"{TAP}=cap"], ("matches",)),
        ([f"{NIPPLE}={NC}", f"{TAP}={NO}"], ("source-vent-crossed",)),
        ([f"{NIPPLE}={COM}", f"{LOWER}={NO}"], ("gate-source-crossed",)),
        ([f"{LOWER}={NC}", f"{TAP}={COM}"], ("gate-vent-crossed",)),
        ([f"{TAP}={COM}", f"{LOWER}={NO}", f"{NIPPLE}={NC}"], ("ports-rotated",)),
        ([f"{NO}=air"], ("source-off",)),
        ([f"{LOWER}=air"], ("gate-hose-off",)),
        ([f"{COM}={UPPER}"], ("upper-fed",)),
        ([f"{UPPER}={MANIFOLD}"], ("upper-fed",)),
        ([f"{UPPER}=cap"], ("cap-wrong",)),
        ([f"{SPARE}=air"], ("cap-wrong",)),
        ([f"{COM}=external-gate.water-in"], ("wrong-port",)),
        ([f"{NO}={MANIFOLD}"], ("after-throttle",)),
    ],
)
def test_what_tracing_the_hoses_answers(hoses: list[str], answers: tuple[str, ...]) -> None:
    found = {
        one.check: one.answers for one in findings(shipped(), judged("external-single", *hoses))
    }
    assert found["hose-trace"] == answers


def test_a_bypass_hose_and_a_controller() -> None:
    one = judged("internal-nipple", "manifold-bypass.signal=air", bypass="manifold")
    assert Finding("hose-trace", ("bypass-hose-wrong",)) in findings(shipped(), one)
    ball = ("ball-controller.inlet", "ball-controller.outlet")
    turned = judged("manual-ball", f"{NIPPLE}={ball[1]}", f"{LOWER}={ball[0]}", gate="external")
    assert Finding("hose-trace", ("controller-reversed",)) in findings(shipped(), turned)


def test_what_the_same_look_answers_besides() -> None:
    def checks(*hoses: str, **more: object) -> dict[str, tuple[str, ...]]:
        return dict(findings(shipped(), judged("external-single", *hoses, **more)))  # type: ignore[arg-type]

    assert checks()["spare-lowers"] == ("capped",)
    assert checks(f"{SPARE}=air")["spare-lowers"] == ("open",)
    assert checks(f"{UPPER}=cap")["upper-breathes"] == ("none",)
    assert checks(f"{COM}=external-gate.water-in")["air-or-water"] == ("water",)
    assert checks(pinched=(COM,))["hose-blow"] == ("pinched",)
    assert checks(split=(COM,))["hose-condition"] == ("cracked-or-off",)
    assert checks(checks=(f"{COM}={LOWER}",))["pills-and-valves"] == ("valve-found",)


def test_only_checks_that_the_car_can_do() -> None:
    found = dict(findings(shipped(), judged("internal-nipple")))
    assert set(found) == {"hose-trace"}


def test_a_tee_between_the_chambers_feeds_the_upper_one() -> None:
    one = judged("external-single", tees=(f"{LOWER}={UPPER}",))
    assert dict(findings(shipped(), one))["hose-trace"] == ("upper-fed",)
    both = judged("dual-four-port", tees=(f"{LOWER}={UPPER}",))
    assert dict(findings(shipped(), both))["hose-trace"] == ("wrong-port",)


def test_a_bare_lower_port_a_reversed_bleed_and_a_blocked_restrictor() -> None:
    upper = dict(findings(shipped(), judged("external-single", f"{COM}={UPPER}")))
    assert upper["spare-lowers"] == ("open",)
    nipple = "internal-gate.nipple"
    turned = judged(
        "manual-bleed",
        f"{NIPPLE}=bleed-controller.gate",
        f"{nipple}=bleed-controller.feed",
        gate="internal",
    )
    assert dict(findings(shipped(), turned))["hose-trace"] == ("controller-reversed",)
    blocked = judged("manual-bleed", gate="internal", restrictor="blocked")
    assert dict(findings(shipped(), blocked))["restrictor-bore"] == ("blocked",)
    missing = judged("manual-bleed", gate="internal", restrictor="missing")
    assert dict(findings(shipped(), missing))["restrictor-bore"] == ("none-or-wide",)
