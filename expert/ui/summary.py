"""Everything that follows from a case, for one print without a dialogue."""

from __future__ import annotations

from expert.case.consult import Consultation
from expert.case.steps import AskStep, ConcludeStep, VerifyStep, WorkshopStep
from expert.ui.protocol import Block, Fact
from expert.ui.show import banner, doubts, ranking


def summary(consultation: Consultation) -> list[Block]:
    """The verdict, the ranking, doubts and the next step."""
    return [
        *banner(consultation.verdict),
        *ranking(consultation),
        *doubts(consultation, ()),
        next_words(consultation),
    ]


def next_words(consultation: Consultation) -> Block:
    """The next step in a line."""
    match consultation.step:
        case AskStep(offer):
            return Fact("Next check", f"{offer.id}. {offer.check.ask}")
        case ConcludeStep(ranked):
            return Fact("Next", f"make sure of this: {ranked.cause.title}. {ranked.cause.confirm}")
        case VerifyStep():
            return Fact("Next", "see whether the repair has ended the trouble.")
        case WorkshopStep(because):
            return Fact("Next", f"a workshop, since {because}.")
