"""A small invented knowledge for tests: two gates, six causes, a handful of checks."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from expert.model import (
    Ask,
    Cause,
    Caution,
    Check,
    Column,
    Danger,
    Fork,
    Go,
    Harm,
    Knowledge,
    Measure,
    Part,
    Plumbing,
    Policy,
    Preparation,
    Seen,
    Slip,
    Suspect,
    Symptom,
    Tool,
    Tree,
)

BASIS = "invented for the tests"


def policy(**changes: Any) -> Policy:
    base = Policy(
        frequency={"common": 9.0, "occasional": 3.0, "rare": 1.0},
        second_fault=Column(just_fitted=0.3, settled=0.1),
        unlisted=0.05,
        unlisted_shows=0.75,
        slip=Slip(asked=0.02, log=0.02, mail=0.15, hookup=0.02),
        symptom_leak=0.01,
        conclude=0.8,
        stop=0.5,
        gate=0.05,
        doubtful=0.15,
        notable=0.2,
        overboost_margin_kpa=20.0,
        shake=0.5,
        parts_minutes={"none": 0.0, "low": 10.0, "medium": 40.0, "high": 150.0, "very-high": 400.0},
        workshop_minutes=300.0,
        basis=BASIS,
    )
    return replace(base, **changes)


def cause(title: str, danger: Danger = "none", harm: Harm | None = None, **changes: Any) -> Cause:
    base = Cause(
        title=title,
        what=f"{title}, and what it does.",
        seen=Seen(just_fitted="common", settled="occasional"),
        danger=danger,
        harm=harm,
        confirm="Look closely.",
        fix="Mend it.",
        minutes=20.0,
        parts="low",
        basis=BASIS,
    )
    return replace(base, **changes)


def check(ask: str, answers: dict[str, str], given: dict[str, Any], **changes: Any) -> Check:
    base = Check(ask=ask, minutes=5.0, answers=answers, given=given, basis=BASIS)
    return replace(base, **changes)


CAUSES = {
    "ring-missing": cause("Ring left out", "caution", needs=("external-gate",), work=("gate",)),
    "charge-leak": cause("Charge pipe off", work=("pipes",)),
    "hose-off": cause("Signal hose off", "stop", "overpressure", work=("hoses",)),
    "wheel-broken": cause("Turbine wheel broken", "stop", "mechanical", work=("turbo",)),
    "flap-stuck": cause("Flap stuck open", needs=("internal-gate",), work=("gate",)),
    "as-designed:base-map": cause(
        "Base map holds the spring", shown_by={"duty-read": ("zero",)}, minutes=1.0, parts="none"
    ),
}

CHECKS = {
    "red-flags": check(
        "What have you noticed?",
        {"none": "Nothing", "knock": "A knock", "metal-noise": "A noise of metal"},
        {"wheel-broken": {"metal-noise": 0.75}},
        kind="nominal",
        danger={"knock": "stop", "metal-noise": "stop"},
        healthy={"knock": 0.01, "metal-noise": 0.01},
    ),
    "what-changed": check(
        "What changed?",
        {"nothing": "Nothing", "earlier": "Something, long ago", "just-fitted": "Just fitted"},
        {},
        kind="history",
    ),
    "worked-on": check(
        "What was worked on?",
        {"gate": "The gate", "pipes": "Pipes", "hoses": "Hoses", "turbo": "The turbo"},
        {},
        kind="history",
        several=True,
    ),
    "hose-trace": check(
        "Does every hose match?",
        {"matches": "All match", "hose-loose": "One hangs loose", "wrong-port": "A wrong port"},
        {"hose-off": {"hose-loose": 0.95}},
        kind="nominal",
        healthy={"hose-loose": 0.01, "wrong-port": 0.02},
        cautions=("hot",),
        how=("Follow each hose.", "Compare with the table."),
    ),
    "lamp": check(
        "What light passes?",
        {"dark": "No light", "ring": "A ring of light"},
        {"ring-missing": {"ring": 0.93}},
        needs=("external-gate",),
        prepare=("gate-off",),
        tools=("lamp",),
        healthy={"ring": 0.01},
    ),
    "smoke": check(
        "Where does smoke come out?",
        {"nowhere": "Nowhere", "wisp": "A wisp", "plume": "A plume"},
        {"charge-leak": {"wisp": 0.05, "plume": 0.93}},
        minutes=30.0,
        healthy={"wisp": 0.05},
    ),
    "flap": check(
        "Does the flap swing?",
        {"free": "Freely", "stuck": "It is stuck"},
        {"flap-stuck": {"stuck": 0.93}},
        needs=("internal-gate",),
        healthy={"stuck": 0.01},
    ),
    "shaft": check(
        "Does the shaft turn?",
        {"free": "Freely", "broken": "It does not"},
        {"wheel-broken": {"broken": 0.93}},
        healthy={"broken": 0.01},
    ),
    "duty-read": check(
        "What duty does the map ask for?",
        {"some": "Some", "zero": "None at all"},
        {"as-designed:base-map": {"zero": 0.99}},
        healthy={"zero": 0.02},
    ),
    "run": check(
        "What boost does a run at zero duty reach?",
        {"below": "Less", "on-spring": "The spring", "rising": "It rises", "above": "Far more"},
        {
            "ring-missing": {"below": 0.93},
            "charge-leak": {"below": 0.93},
            "flap-stuck": {"below": 0.93},
            "wheel-broken": {"below": 0.75},
            "hose-off": {"above": 0.93},
        },
        kind="two-sided",
        low=("below",),
        high=("rising", "above"),
        both={"below": 0.7, "above": 0.3},
        loads_engine=True,
        records_boost=True,
        danger={"above": "stop"},
        healthy={"below": 0.02, "rising": 0.02},
        cautions=("road",),
        measure=Measure(
            unit="kPa", against="spring", up_to={"below": -14.0, "on-spring": 20.0}, above="above"
        ),
    ),
}

LAZY_TREE: Tree = Ask(
    "red-flags",
    {
        "none": Ask("what-changed", {"just-fitted": Go("hoses"), "otherwise": Go("hoses")}),
        "otherwise": Suspect(("wheel-broken",)),
    },
)

LAZY = Symptom(
    title="Won't build boost",
    what="Less boost than before.",
    danger="none",
    causes={
        "ring-missing": 0.93,
        "charge-leak": 0.93,
        "wheel-broken": 0.75,
        "flap-stuck": 0.93,
        "as-designed:base-map": 0.5,
    },
    tree=LAZY_TREE,
    subtrees={
        "hoses": Ask(
            "hose-trace",
            {
                "matches": Fork({"external-gate": Go("outer"), "internal-gate": Go("inner")}),
                "hose-loose": Suspect(("hose-off", "charge-leak")),
            },
        ),
        "outer": Ask(
            "lamp", {"ring": Suspect(("ring-missing",)), "dark": Go("air"), "unknown": Go("air")}
        ),
        "inner": Ask("flap", {"stuck": Suspect(("flap-stuck",)), "otherwise": Go("air")}),
        "air": Ask(
            "smoke",
            {
                "plume": Suspect(("charge-leak",)),
                "otherwise": Ask("run", {"below": Suspect(("wheel-broken",))}),
            },
        ),
    },
    basis=BASIS,
)

OVERBOOST = Symptom(
    title="Overboosts",
    what="More boost than was asked for.",
    danger="stop",
    causes={"hose-off": 0.93},
    tree=Ask("red-flags", {"otherwise": Ask("hose-trace", {"otherwise": Suspect(("hose-off",))})}),
    basis=BASIS,
)


def _part(title: str, **ports: str) -> Part:
    return Part(title=title, what=f"{title}.", ports=ports, basis=BASIS)


def knowledge(**changes: Any) -> Knowledge:
    base = Knowledge(
        policy=policy(),
        tools={"lamp": Tool(title="a lamp")},
        cautions={
            "hot": Caution(signal="WARNING", text="Hot parts burn. Let them cool.", basis=BASIS),
            "road": Caution(signal="DANGER", text="Not on a public road.", basis=BASIS),
            "heavy": Caution(signal="CAUTION", text="It is heavy.", basis=BASIS),
        },
        preparations={
            "gate-off": Preparation(
                title="Take the gate off", minutes=45.0, cautions=("hot", "heavy"), basis=BASIS
            )
        },
        parts={
            "turbo": _part("turbo", nipple="on the housing"),
            "external-gate": _part("outer gate", lower="below", upper="above"),
            "internal-gate": _part("inner gate", nipple="on the can"),
            "soft-bypass": _part("bypass valve", signal="on top"),
        },
        setups={
            "outer": Plumbing(
                title="Outer gate", what="One hose.", parts=("turbo", "external-gate"), basis=BASIS
            ),
            "inner": Plumbing(
                title="Inner gate", what="One hose.", parts=("turbo", "internal-gate"), basis=BASIS
            ),
            "either": Plumbing(
                title="Either gate",
                what="One hose.",
                parts=("turbo",),
                gates=("internal-gate", "external-gate"),
                basis=BASIS,
            ),
        },
        bypasses={
            "soft": Plumbing(title="Soft", what="A valve.", parts=("soft-bypass",), basis=BASIS)
        },
        causes=CAUSES,
        checks=CHECKS,
        symptoms={"lazy": LAZY, "overboost": OVERBOOST},
        digest="0123456789abcdef",
    )
    return replace(base, **changes)
