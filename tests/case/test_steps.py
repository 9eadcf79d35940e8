"""Which step comes next, on the small knowledge of the tests."""

from __future__ import annotations

from dataclasses import replace

from expert.case.events import Answered, Described, SetAside
from expert.case.offer import Offer, Withheld
from expert.case.steps import AskStep, ConcludeStep, VerifyStep, WorkshopStep, next_step
from expert.model import Knowledge
from tests.case.consulted import FOUND, FRESH, consulted
from tests.small import knowledge, policy


def test_the_tree_leads() -> None:
    step = consulted().step
    assert isinstance(step, AskStep)
    assert (step.offer.id, step.by_tree) == ("red-flags", True)
    step = consulted(*FRESH).step
    assert isinstance(step, AskStep)
    assert (step.offer.id, step.by_tree) == ("lamp", True)


def test_value_leads_where_the_tree_is_left() -> None:
    left = consulted(*FRESH[:2], Answered("hose-trace", ("wrong-port",)))
    assert left.walk.pending is None
    assert left.walk.visits[-1].branch is None
    step = left.step
    assert isinstance(step, AskStep)
    assert not step.by_tree
    assert step.offer.value == max(left.values[item.id] for item in left.offers)


def test_where_nobody_may_work_on_the_car_it_goes_to_a_workshop_at_once() -> None:
    book = knowledge()
    flags = replace(book.checks["red-flags"], hands_off=("knock",))
    book = replace(book, checks={**book.checks, "red-flags": flags})
    events = (Answered("red-flags", ("knock",)), *FRESH[1:])
    found = consulted(*events, book=book)
    assert isinstance(found.step, WorkshopStep)
    assert found.step.because.startswith("nobody works on this car")
    assert [item.id for item in found.offers] == []
    assert not isinstance(consulted(*events).step, WorkshopStep)


def test_set_aside_checks_are_not_asked_again() -> None:
    aside = consulted(*FRESH, SetAside("lamp"))
    assert "lamp" not in aside.open_checks
    step = aside.step
    assert isinstance(step, AskStep)
    assert step.offer.id == "smoke"


def test_with_everything_sound_the_car_goes_to_a_workshop() -> None:
    sound = [
        Answered("lamp", ("dark",)),
        Answered("smoke", ("nowhere",)),
        Answered("shaft", ("free",)),
        Answered("duty-read", ("some",)),
        Answered("run", ("on-spring",)),
    ]
    step = consulted(*FRESH, *sound).step
    assert isinstance(step, WorkshopStep)
    assert "fit no cause" in step.because


def test_a_cheap_shot_at_an_unlikely_cause_is_not_proposed() -> None:
    # The base map costs a minute to set right, so it leads by probability over cost.
    found = consulted(*FRESH)
    assert found.repairs(1)[0].cause == "as-designed:base-map"
    step = found.step
    assert isinstance(step, AskStep)
    unsure = consulted(*FRESH, Answered("lamp", ()), Answered("smoke", ())).step
    assert isinstance(unsure, ConcludeStep)
    assert unsure.cause.probability >= 0.2


def test_after_a_repair_the_hoses_and_the_red_flags_come_first() -> None:
    step = consulted(*FOUND).step
    assert isinstance(step, AskStep)
    assert step.offer.id == "hose-trace"
    step = consulted(*FOUND, Answered("hose-trace", ("matches",))).step
    assert isinstance(step, AskStep)
    assert step.offer.id == "red-flags"


def test_a_repair_is_verified_by_a_gated_run() -> None:
    again = (Answered("hose-trace", ("matches",)), Answered("red-flags", ("none",)))
    found = consulted(*FOUND, *again, Described("spring_kpa", 50.0), book=with_run())
    assert found.gate.allowed
    step = found.step
    assert isinstance(step, VerifyStep)
    assert step.cause == "ring-missing"
    assert isinstance(step.run, Offer)
    assert step.run.abort_kpa == 70.0

    loose = (Answered("hose-trace", ("hose-loose",)), Answered("red-flags", ("none",)))
    step = consulted(*FOUND, *loose, book=with_run()).step
    assert isinstance(step, VerifyStep)
    assert isinstance(step.run, Withheld)


def with_run() -> Knowledge:
    """The small knowledge, its run under the name of the run that verifies a repair."""
    book = knowledge()
    checks = {("zero-duty-log" if name == "run" else name): c for name, c in book.checks.items()}
    return knowledge(checks=checks)


def test_hoses_that_do_not_pay_by_themselves_are_traced_for_a_run_that_would() -> None:
    # Nothing else can be told, and no cause is likely enough to be named.
    unknown = [Answered(check, ()) for check in ("lamp", "smoke", "shaft", "duty-read")]
    checks = knowledge().checks
    costly = replace(checks["hose-trace"], minutes=400.0)
    quick = replace(checks["run"], minutes=1.0)
    book = knowledge(
        checks={**checks, "hose-trace": costly, "run": quick}, policy=policy(notable=0.5)
    )
    found = consulted(*FRESH[:2], *unknown, book=book)
    assert not found.gate.allowed
    assert found.values["hose-trace"] < 0.0 < found.values["run"]
    step = next_step(found, tree_leads=False)
    assert isinstance(step, AskStep)
    assert (step.offer.id, step.by_tree, step.clears) == ("hose-trace", False, True)

    slow = replace(quick, minutes=400.0)
    book = knowledge(
        checks={**checks, "hose-trace": costly, "run": slow}, policy=policy(notable=0.5)
    )
    step = next_step(consulted(*FRESH[:2], *unknown, book=book), tree_leads=False)
    assert isinstance(step, WorkshopStep)


def test_a_tree_check_that_tells_nothing_is_passed_over_as_if_it_were_sound() -> None:
    step = consulted(*FRESH).step
    assert isinstance(step, AskStep)
    assert (step.offer.id, step.path) == ("lamp", ("subtrees", "outer"))
    # The same lamp, but it shines alike on a sound gate and on any other.
    mute = replace(knowledge().checks["lamp"], given={})
    step = consulted(*FRESH, book=knowledge(checks={**knowledge().checks, "lamp": mute})).step
    assert isinstance(step, AskStep)
    assert (step.offer.id, step.path) == ("smoke", ("subtrees", "air"))
    assert step.by_tree
