"""The quick steps are the shell's own steps."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from expert.case.consult import Consultant
from expert.case.events import Answered, Described, Event, RuledOut
from expert.case.state import fold
from expert.case.steps import AskStep, ConcludeStep, Step, WorkshopStep
from expert.loading.folder import load_with_cases, shipped_folder
from expert.model import Knowledge
from expert.workbench.tryout import outcomes
from expert.workbench.tryout_quick import QuickConsultant
from tests.small import knowledge

BOOK = knowledge()
QUICK = QuickConsultant(BOOK)
WHOLE = Consultant(BOOK)


def gist(step: Step) -> tuple[object, ...]:
    """What decides how a case goes on; what a check is worth and why a cause is not in it."""
    if isinstance(step, AskStep):
        return "ask", step.offer.id, step.path, step.clears, step.offer.minutes
    if isinstance(step, ConcludeStep):
        return "conclude", step.cause.id, step.certain_enough, step.cause.probability
    assert isinstance(step, WorkshopStep)
    return "workshop", step.because


@st.composite
def events(draw: st.DrawFn) -> list[Event]:
    """A case on the small knowledge with any answers in any order."""
    said: list[Event] = [
        Described("setup", draw(st.sampled_from(["outer", "inner"]))),
        Described("symptom", draw(st.sampled_from(["lazy", "overboost"]))),
    ]
    for check in draw(st.lists(st.sampled_from(list(BOOK.checks)), unique=True)):
        answer = draw(st.sampled_from([(), *((one,) for one in BOOK.checks[check].answers)]))
        said.append(Answered(check, answer))
    said += [RuledOut(cause) for cause in draw(st.sets(st.sampled_from(list(BOOK.causes))))]
    return said


@settings(deadline=None, max_examples=150)
@given(events())
def test_any_case_has_the_same_next_step(said: list[Event]) -> None:
    # The quick consultant remembers the case before it, whichever that was.
    for length in range(2, len(said) + 1):
        state = fold(said[:length])
        quick, whole = QUICK.consult(state), WHOLE.consult(state)
        assert gist(quick.step) == gist(whole.step)
        assert quick.belief.unlisted == whole.belief.unlisted
        assert (quick.belief.pair == whole.belief.pair).all()


def test_every_sixth_shipped_case_goes_the_same_way() -> None:
    found, cases, _, _ = load_with_cases([shipped_folder()])
    some = {name: cases[name] for name in list(cases)[::6]}
    assert outcomes(QuickConsultant(found), some) == outcomes(Consultant(found), some)


def test_only_the_order_of_value_costs_all_values() -> None:
    """On the tree's way the values of all checks are not worked out."""
    book: Knowledge = BOOK
    state = fold(
        [
            Described("setup", "outer"),
            Described("symptom", "lazy"),
            Answered("red-flags", ("none",)),
            Answered("what-changed", ("nothing",)),
            Answered("hose-trace", ("matches",)),
        ]
    )
    quick = QuickConsultant(book).consult(state)
    assert gist(quick.step)[:2] == ("ask", "lamp")
    assert "plan" not in vars(quick)
