"""A check that is offered, how to do it, and what its answers would tell, as blocks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Final

from expert.case.safety import RED_FLAGS
from expert.model import Check, Knowledge
from expert.ui.protocol import Block, Cautions, Fact, Heading, Paragraph, Steps, Warned
from expert.ui.show_case import hoses
from expert.ui.words import minutes, percent, sentence
from expert.units import shown_kpa

if TYPE_CHECKING:
    from expert.case.consult import Consultation
    from expert.case.offer import Offer

# A cause is named in `why` only when an answer would move it by as much as this.
_WORTH_NAMING: Final = 0.02
_NAMED: Final = 3


def offered(consultation: Consultation, offer: Offer, with_hoses: bool) -> list[Block]:
    """What must be known before the check: dangers first, then the work, tools and minutes.

    ``with_hoses`` adds the table that the hoses are compared with.
    """
    knowledge, check = consultation.knowledge, offer.check
    blocks: list[Block] = [Heading(f"Next check: {offer.id}")]
    blocks += cautions(knowledge, offer.cautions)
    blocks += limit(knowledge, offer)
    blocks += _preparations(knowledge, offer.prepare)
    if check.tools:
        tools = [
            knowledge.tools[tool].title if tool in knowledge.tools else tool for tool in check.tools
        ]
        blocks.append(Fact("Tools", "; ".join(tools)))
    blocks.append(Fact("Takes", f"about {minutes(offer.minutes)}"))
    if with_hoses:
        network = consultation.network
        blocks += hoses(knowledge, consultation.state, network.parts, full=False)
    return blocks


def cautions(knowledge: Knowledge, ids: Sequence[str]) -> list[Block]:
    """Cautions by id, the gravest signal word first."""
    known = [knowledge.cautions[name] for name in ids if name in knowledge.cautions]
    grave = ("DANGER", "WARNING", "CAUTION", "NOTICE")
    known.sort(key=lambda caution: grave.index(caution.signal))
    if not known:
        return []
    return [Cautions(tuple(Warned(caution.signal, caution.text) for caution in known))]


def limit(knowledge: Knowledge, offer: Offer) -> list[Block]:
    """At what boost a run must be broken off, or how to find that out first."""
    if not offer.check.loads_engine:
        return []
    if offer.abort_kpa is None:
        text = (
            "Find the spring's pressure before any run and tell it with the word spring. Without "
            "it nobody knows at what boost to lift off."
        )
        return [Cautions((Warned("WARNING", text),))]
    margin = shown_kpa(knowledge.policy.overboost_margin_kpa)
    abort = shown_kpa(offer.abort_kpa)
    return [
        Paragraph(f"Lift off at once at {abort} of boost: the spring and {margin}.", strong=True)
    ]


def _preparations(knowledge: Knowledge, ids: Sequence[str]) -> list[Block]:
    works = [knowledge.preparations[name] for name in ids if name in knowledge.preparations]
    if not works:
        return []
    return [Fact("First", "; ".join(f"{work.title} ({minutes(work.minutes)})" for work in works))]


def steps(check: Check, several: bool) -> list[Block]:
    """How to do the check, and how to give its answer."""
    blocks: list[Block] = []
    if check.how:
        blocks.append(Steps("How to do it", check.how))
    else:
        blocks.append(Paragraph("There is no more to it than the question says."))
    if check.send:
        blocks.append(Steps("If somebody helps from afar, send", check.send))
    if check.measure is not None:
        blocks.append(Paragraph("You may type your reading with its unit; it is sorted for you."))
    if several:
        blocks.append(Paragraph("If several are true, type them all with commas between."))
    return blocks


def answers(consultation: Consultation, check_id: str) -> Mapping[str, str]:
    """The answers that fit the car; red flags are all asked, whatever the car."""
    check = consultation.knowledge.checks[check_id]
    return (
        check.answers if check_id == RED_FLAGS else check.answers_for(consultation.network.causes)
    )


def reasons(consultation: Consultation, check_id: str) -> list[Block]:
    """For every answer, how likely it is now and what it would make of the likeliest causes."""
    check = consultation.knowledge.checks[check_id]
    if check.kind == "history":
        return [
            Paragraph(
                "This is no evidence by itself. Parts that were just fitted fail in other ways "
                "than parts that have run for years, so it sets where to look first."
            )
        ]
    prediction = consultation.predictions.get(check_id)
    if prediction is None:
        return [Paragraph("This check has been answered already.")]
    blocks: list[Block] = [Paragraph("What each answer would tell:")]
    shown = answers(consultation, check_id)
    for row, answer in enumerate(check.answers):
        if answer not in shown:
            continue
        chance = float(prediction.answer[row])
        then = [float(share) / chance for share in prediction.joint[row]] if chance else []
        shifts = _shifts(consultation, then)
        told = sentence("; ".join(shifts)) if shifts else "Changes little."
        blocks.append(Fact(answer, f"{percent(chance)} likely. {told}"))
    return blocks


def _shifts(consultation: Consultation, then: Sequence[float]) -> list[str]:
    """The causes that an answer would move most, each with both its probabilities."""
    moves = [
        (chance - float(consultation.probability[column]), column)
        for column, chance in enumerate(then)
    ]
    moves = [move for move in moves if abs(move[0]) >= _WORTH_NAMING]
    moves.sort(key=lambda move: -abs(move[0]))
    words = []
    for shift, column in moves[:_NAMED]:
        cause = consultation.network.causes[column]
        title = consultation.knowledge.causes[cause].title
        way = "rises" if shift > 0.0 else "falls"
        now = percent(float(consultation.probability[column]))
        words.append(f"{title} {way} from {now} to {percent(then[column])}")
    return words
