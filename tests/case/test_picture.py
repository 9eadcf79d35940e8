"""Belief, reasons, verdict and doubts, on the small knowledge of the tests."""

from __future__ import annotations

from dataclasses import replace

import pytest

from expert.case.events import Answered, Described, Mended, Persists, RuledOut
from expert.case.picture import Doubt
from expert.case.steps import ConcludeStep
from tests.case.consulted import FOUND, FRESH, consulted
from tests.small import check, knowledge


def test_only_causes_that_the_car_can_have_are_ranked() -> None:
    assert "flap-stuck" not in consulted().order
    assert "ring-missing" not in consulted(setup="inner").order


def test_the_lamp_finds_the_ring_and_says_why() -> None:
    found = consulted(*FRESH, Answered("lamp", ("ring",)))
    top = found.ranked(found.order[0])
    assert top.id == "ring-missing"
    assert top.probability > 0.8
    assert (top.why[0].check, top.why[0].answers) == ("lamp", ("ring",))
    assert top.why[0].decibans > 10.0
    step = found.step
    assert isinstance(step, ConcludeStep)
    assert step.cause.id == "ring-missing"
    assert step.certain_enough


def test_answers_of_checks_that_do_not_fit_are_left_out() -> None:
    odd = consulted(
        *FRESH,
        Answered("flap", ("stuck",)),
        Answered("no-such-check", ("yes",)),
        Answered("lamp", ("no-such-answer",)),
    )
    assert odd.probability.tolist() == consulted(*FRESH).probability.tolist()


def test_a_second_complaint_counts_as_evidence() -> None:
    both = consulted(Described("symptom", "overboost"))
    assert both.chance("hose-off") > consulted().chance("hose-off")
    assert "hose-off" in both.pairs(1)[0][0]


def test_a_hose_seen_off_stays_a_second_fault_of_a_lazy_car() -> None:
    seen = consulted(
        *FRESH[:2], Answered("hose-trace", ("hose-loose",)), Answered("run", ("below",), "log")
    )
    assert seen.order.index("hose-off") < 2
    assert "hose-off" in seen.pairs(1)[0][0]
    assert seen.verdict.drive == "stop"


def test_as_designed_is_never_concluded_by_elimination() -> None:
    sound = [
        Answered("lamp", ("dark",)),
        Answered("smoke", ("nowhere",)),
        Answered("shaft", ("free",)),
    ]
    base_map = "as-designed:base-map"
    unshown = consulted(*FRESH, *sound)
    assert not unshown.may_conclude(base_map)
    assert not (isinstance(unshown.step, ConcludeStep) and unshown.step.cause.id == base_map)
    shown = consulted(*FRESH, *sound, Answered("duty-read", ("zero",)))
    assert shown.order[0] == base_map
    assert shown.shown(base_map)
    assert all(base_map not in ids for ids, _ in shown.pairs(100))


def test_a_cause_ruled_out_is_gone() -> None:
    found = consulted(*FRESH, Answered("lamp", ("ring",)), RuledOut("ring-missing"))
    assert found.chance("ring-missing") == 0.0
    assert sum(found.belief.single) + found.belief.pair.sum() / 2 == pytest.approx(
        1 - found.belief.unlisted
    )


def test_a_contradiction_is_doubtful_and_names_what_would_fit() -> None:
    book = knowledge()
    found = consulted(
        *FRESH[:2],
        Answered("hose-trace", ("hose-loose",)),
        Answered("run", ("above",)),
        Answered("shaft", ("broken",), "mail"),
        symptom="overboost",
        book=book,
    )
    # Two faults explain all of it, so there is nothing to doubt.
    assert found.doubtful == []
    sure = consulted(
        *FRESH,
        Answered("lamp", ("ring",)),
        Answered("run", ("on-spring",)),
        Described("symptom", "lazy"),
    )
    assert sure.doubtful == [Doubt("run", ("on-spring",), "below")]


def test_a_flag_that_is_rare_only_because_there_are_many_is_not_doubtful() -> None:
    book = knowledge()
    flags = dict.fromkeys(("cold", "hot", "late", "wet", "steep"), 0.3)
    when = check(
        "When is it worst?",
        {"steady": "At no special time", **{name: name for name in flags}},
        {"ring-missing": {**flags, "steep": 0.01}},
        kind="nominal",
        healthy=dict.fromkeys(flags, 0.01),
    )
    book = replace(book, checks={**book.checks, "when": when})
    lamp = Answered("lamp", ("ring",))
    # One flag in four: .3 * .7 ** 3 is .1, below the .15 of the policy, and still no surprise.
    assert consulted(*FRESH, lamp, Answered("when", ("hot",)), book=book).doubtful == []
    (doubt,) = consulted(*FRESH, lamp, Answered("when", ("steep",)), book=book).doubtful
    assert doubt == Doubt("when", ("steep",), "steady")


def test_under_test_the_belief_is_about_what_else_may_be_there() -> None:
    found = consulted(*FOUND)
    assert found.chance("ring-missing") == 0.0
    # Beside the ring, a second fault had .3 before any finding: nothing more is likeliest.
    assert found.belief.unlisted > 0.5
    dirty = consulted(
        *FRESH, Answered("lamp", ("ring",)), Answered("smoke", ("plume",)), Mended("ring-missing")
    )
    assert dirty.order[0] == "charge-leak"
    assert dirty.chance("charge-leak") > 0.8


def test_a_complaint_that_persists_must_be_explained_by_something_else() -> None:
    # The ring explained the boost that was too low, so that reading says little about the rest;
    # the complaint after the repair does.
    events = (*FRESH, Answered("lamp", ("ring",)), Answered("run", ("below",)))
    found = consulted(*events, Mended("ring-missing"), Persists())
    assert found.chance("ring-missing") == 0.0
    assert found.order[0] in {"charge-leak", "wheel-broken"}
    run = next(item for item in found.ranked("charge-leak").why if item.check == "run")
    fresh = consulted(*FRESH, Answered("run", ("below",))).ranked("charge-leak")
    plain = next(item for item in fresh.why if item.check == "run")
    assert abs(run.decibans) < 1.0 < plain.decibans
    complaints = [item for item in found.evidence if item.check == "symptom"]
    assert len(complaints) == 2


def test_a_danger_that_was_mended_no_longer_stands() -> None:
    off = (Answered("red-flags", ("none",)), Answered("hose-trace", ("hose-loose",)))
    ran = Answered("run", ("above",))
    assert consulted(*off, ran, symptom="overboost").verdict.drive == "stop"
    mended = consulted(*off, ran, Mended("hose-off"), symptom="overboost")
    assert mended.verdict.drive == "ok"
    persists = consulted(*off, ran, Mended("hose-off"), Persists(), symptom="overboost")
    assert persists.verdict.drive == "stop"
    other = consulted(*off, ran, Mended("ring-missing"), symptom="overboost")
    assert other.verdict.drive == "stop"
