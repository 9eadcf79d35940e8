"""The small knowledge with random changes, and cases to tell whether they matter."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields, replace
from typing import Any

from hypothesis import strategies as st

from expert.loading.folder import Loaded
from expert.loading.places import Places
from expert.model import (
    Ask,
    Expected,
    Fork,
    Knowledge,
    KnownCase,
    Rest,
    Suspect,
    Symptom,
)
from expert.workbench.sides import Side
from tests import small

SHARES = [0.0, 0.02, 0.3, 0.6, 0.93]


def known_case(
    cause: str, setup: str, symptom: str, rest: Rest = "sound", **changes: Any
) -> KnownCase:
    """A car with a cause that shows in its own check."""
    shows = {
        "ring-missing": {"lamp": ("ring",)},
        "charge-leak": {"smoke": ("plume",)},
        "hose-off": {"hose-trace": ("hose-loose",)},
        "wheel-broken": {"red-flags": ("metal-noise",), "shaft": ("broken",)},
        "flap-stuck": {"flap": ("stuck",)},
    }
    base = KnownCase(
        title=f"{cause} on {setup}",
        setup=setup,
        symptoms=(symptom,),
        answers={"what-changed": ("just-fitted",), **shows.get(cause, {})},
        rest=rest,
        expect=Expected(cause=cause),
        basis=small.BASIS,
    )
    return replace(base, **changes)


CASES = {
    "ring": known_case("ring-missing", "outer", "lazy"),
    "leak": known_case("charge-leak", "outer", "lazy", bypass="soft"),
    "flap": known_case("flap-stuck", "inner", "lazy", rest="unknown"),
    "wheel": known_case("wheel-broken", "inner", "lazy"),
    "hose": known_case("hose-off", "either", "overboost", gate="internal"),
    "both": known_case("hose-off", "outer", "overboost", symptoms=("overboost", "lazy")),
}


def as_side(knowledge: Knowledge, cases: Mapping[str, KnownCase] = CASES) -> Side:
    """A side without files."""
    return Side("here", Loaded(knowledge, cases, Places({}), ()), {})


@st.composite
def altered(draw: st.DrawFn) -> Knowledge:
    """The small knowledge after one to three random changes, of which some mean nothing."""
    knowledge = small.knowledge()
    for _ in range(draw(st.integers(1, 3))):
        knowledge = draw(st.sampled_from(_CHANGES))(draw, knowledge)
    return knowledge


def _entry(kind: str, change: Callable[[st.DrawFn, Any], Any]) -> Any:
    def changed(draw: st.DrawFn, knowledge: Knowledge) -> Knowledge:
        entries = dict(getattr(knowledge, kind))
        name = draw(st.sampled_from(sorted(entries)))
        entries[name] = change(draw, entries[name])
        return replace(knowledge, **{kind: entries})

    return changed


def _text(draw: st.DrawFn, entry: Any) -> Any:
    names = {field.name for field in fields(entry)} & {"title", "what", "ask", "fix", "basis"}
    return replace(entry, **{draw(st.sampled_from(sorted(names))): "Other words."})


def _row(draw: st.DrawFn, check: Any) -> Any:
    if check.kind == "history":
        return check
    cause = draw(st.sampled_from(sorted(small.CAUSES)))
    answer = draw(st.sampled_from(sorted({*check.answers} - {check.sound_answer()})))
    return replace(check, given={**check.given, cause: {answer: draw(st.sampled_from(SHARES))}})


def _healthy(draw: st.DrawFn, check: Any) -> Any:
    answer = draw(st.sampled_from(sorted({*check.answers} - {check.sound_answer()})))
    return replace(check, healthy={answer: draw(st.sampled_from([0.0, 0.02, 0.2]))})


def _minutes(draw: st.DrawFn, entry: Any) -> Any:
    return replace(entry, minutes=draw(st.sampled_from([1.0, 5.0, 200.0])))


def _check_needs(draw: st.DrawFn, check: Any) -> Any:
    if check.kind == "history" or "knock" in check.answers:
        return check
    return replace(check, needs=draw(st.sampled_from([(), ("external-gate",), ("soft-bypass",)])))


def _cause_needs(draw: st.DrawFn, cause: Any) -> Any:
    return replace(cause, needs=draw(st.sampled_from([(), ("internal-gate",), ("soft-bypass",)])))


def _danger(draw: st.DrawFn, cause: Any) -> Any:
    return replace(cause, danger=draw(st.sampled_from(["none", "caution", "stop"])))


def _seen(draw: st.DrawFn, cause: Any) -> Any:
    return replace(cause, seen=replace(cause.seen, just_fitted=draw(st.sampled_from([0.5, 60.0]))))


def _shows(draw: st.DrawFn, symptom: Symptom) -> Symptom:
    cause = draw(st.sampled_from(sorted(small.CAUSES)))
    return replace(symptom, causes={**symptom.causes, cause: draw(st.sampled_from(SHARES))})


def _subtree(draw: st.DrawFn, symptom: Symptom) -> Symptom:
    if not symptom.subtrees:
        return symptom
    name = draw(st.sampled_from(sorted(symptom.subtrees)))
    node = draw(
        st.sampled_from(
            [
                Suspect(("charge-leak",)),
                Ask("shaft", {"otherwise": symptom.subtrees[name]}),
                Fork({"soft-bypass": Suspect(("charge-leak",)), "otherwise": Suspect(())}),
            ]
        )
    )
    return replace(symptom, subtrees={**symptom.subtrees, name: node})


def _order(kind: str) -> Any:
    def changed(draw: st.DrawFn, knowledge: Knowledge) -> Knowledge:
        entries = getattr(knowledge, kind)
        return replace(knowledge, **{kind: dict(reversed(entries.items()))})

    return changed


def _policy(draw: st.DrawFn, knowledge: Knowledge) -> Knowledge:
    changes = [{"basis": "Other words."}, {"conclude": 0.95}, {"unlisted": 0.2}]
    return replace(knowledge, policy=small.policy(**draw(st.sampled_from(changes))))


def _parts(draw: st.DrawFn, setup: Any) -> Any:
    return replace(setup, parts=(*setup.parts, "soft-bypass"))


_CHANGES = [
    *(_entry("causes", change) for change in (_text, _minutes, _cause_needs, _danger, _seen)),
    *(_entry("checks", change) for change in (_row, _row, _healthy, _minutes, _check_needs)),
    *(_entry("symptoms", change) for change in (_text, _shows, _shows, _subtree, _subtree)),
    *(_entry("preparations", change) for change in (_text, _minutes)),
    *(_entry("setups", change) for change in (_text, _parts)),
    *(_order("causes"), _order("checks"), _policy),
]
