"""A case played through ends at its cause, or says that it was given up."""

from __future__ import annotations

from expert.case.consult import Consultant, Consultation
from expert.case.events import Described
from expert.case.state import fold
from expert.case.steps import ConcludeStep
from expert.workbench.cars import typical
from expert.workbench.drive import MOST_STEPS, play
from tests.small import knowledge

STATE = fold([Described("setup", "outer"), Described("symptom", "lazy")])


def test_a_typical_car_is_found() -> None:
    played = play(Consultant(knowledge()), STATE, "ring-missing", typical("ring-missing"))
    assert played.found == "ring-missing"
    assert ("lamp", ("ring",)) in played.asked
    book = knowledge()
    own = sum(book.checks[check].minutes for check, _ in played.asked)
    # The gate is taken off once.
    assert played.minutes == own + 45.0
    assert isinstance(played.steps[-1], ConcludeStep)


def test_a_wrong_conclusion_costs_its_repair_and_the_case_goes_on() -> None:
    def misleading(consultation: Consultation, check: str) -> tuple[str, ...]:
        if check == "lamp":
            return ("ring",)
        return typical("charge-leak")(consultation, check)

    played = play(Consultant(knowledge()), STATE, "charge-leak", misleading)
    assert played.wrong[0] == "ring-missing"
    assert played.found == "charge-leak"


def test_a_car_that_fits_nothing_is_given_up() -> None:
    played = play(Consultant(knowledge()), STATE, "no-such-cause", typical("hose-off"))
    assert played.found is None
    assert len(played.steps) < MOST_STEPS
