"""Where a case arrives: a likely cause, a found one, or the door of a workshop, as blocks."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from expert.case.firmness import firmness
from expert.case.offer import Withheld
from expert.ui.protocol import Block, Fact, Heading, Paragraph, Steps
from expert.ui.show import finding_words
from expert.ui.show_case import car_sentences, cause_title
from expert.ui.show_check import cautions, limit
from expert.ui.words import minutes, percent, strength, sureness

if TYPE_CHECKING:
    from expert.case.consult import Consultation
    from expert.case.steps import ConcludeStep, VerifyStep, WorkshopStep

_PARTS: Final = {
    "none": "no parts",
    "low": "cheap parts",
    "medium": "parts of a middling price",
    "high": "costly parts",
    "very-high": "very costly parts",
}
_OTHERS: Final = 3
_WORTH_NAMING: Final = 0.03


def conclusion(consultation: Consultation, step: ConcludeStep) -> list[Block]:
    """The likely cause: how sure, what it is, how to confirm and mend it, and what else."""
    ranked, knowledge = step.cause, consultation.knowledge
    cause = ranked.cause
    blocks: list[Block] = [Heading("Likely cause" if step.certain_enough else "Best suspect")]
    if not step.certain_enough:
        blocks.append(
            Paragraph("No check that is left is worth its minutes; better look at this next.")
        )
    blocks.append(Paragraph(f"{cause.title}.", strong=True))
    sure = f"{sureness(ranked.probability)}, {percent(ranked.probability)}"
    blocks.append(Fact("How sure", sure))
    blocks.append(Paragraph(cause.what))
    blocks += cautions(knowledge, cause.cautions)
    if not step.explains:
        blocks.append(
            Paragraph(
                "This cannot be why you complain, but it is there and wants mending all the same; "
                "then Gatepost goes on."
            )
        )
    blocks.append(Fact("Make sure first", cause.confirm))
    blocks.append(Fact("Then mend it", cause.fix))
    blocks.append(Fact("Takes", f"about {minutes(cause.minutes)}, {_PARTS[cause.parts]}"))
    blocks += _second_suspects(consultation, ranked.id)
    return blocks


def firm(consultation: Consultation) -> list[Block]:
    """How often the first place and the verdict stay when every number behind them is shaken."""
    found = firmness(consultation)
    kept = f"first in {found.top_stays:.0%} and the drive verdict the same in"
    text = (
        f"with all the numbers behind it shaken, it stays {kept} {found.verdict_stays:.0%} of "
        f"{found.draws} tries."
    )
    return [Fact("How firm", text)]


def _second_suspects(consultation: Consultation, first: str) -> list[Block]:
    titles = consultation.knowledge.causes
    others = [
        name
        for name in consultation.order
        if name != first and consultation.chance(name) >= _WORTH_NAMING
    ][:_OTHERS]
    if not others:
        text = "say not-it, and Gatepost goes on from there."
        return [Fact("If it was not that", text)]
    named = [f"{titles[name].title} ({percent(consultation.chance(name))})" for name in others]
    return [
        Fact("Other suspects", "; ".join(named)),
        Fact("If it was not that", "say not-it; the others are next. Two faults can be there too."),
    ]


def evidence(consultation: Consultation, step: ConcludeStep) -> list[Block]:
    """What speaks for the cause and what against it, the strongest first."""
    told = []
    for weighed in step.cause.why:
        word = strength(weighed.decibans)
        if word is not None:
            said = finding_words(consultation.knowledge, weighed.check, weighed.answers)
            told.append(f"{word}: {said}")
    if not told:
        return [Paragraph("Nothing speaks for it in particular; the others are less likely still.")]
    return [Steps("What speaks for it, and against", tuple(told))]


def workshop(consultation: Consultation, step: WorkshopStep) -> list[Block]:
    """Say plainly that it ends here, what to tell the workshop, and what not to do until then."""
    knowledge, state = consultation.knowledge, consultation.state
    report = car_sentences(knowledge, state)
    report += [
        f"Suspected: {knowledge.causes[name].title}, {percent(consultation.chance(name))}."
        for name in consultation.order[:_OTHERS]
        if consultation.chance(name) >= _WORTH_NAMING
    ]
    fits_nothing = consultation.belief.unlisted >= knowledge.policy.notable
    return [
        Heading("Time for a workshop"),
        Paragraph(
            f"Gatepost stops here: {step.because}. A good workshop can go on from what you have "
            "found.",
            strong=True,
        ),
        Steps("Tell them", tuple(report)),
        Steps("Until then", tuple(_not_until_then(consultation))),
        *([_new_failure()] if fits_nothing else []),
    ]


def _new_failure() -> Block:
    return Paragraph(
        "Your answers fit nothing that Gatepost knows. When the workshop has found the fault, "
        "please send the case file with it to your tuner: it may be a failure that nobody has "
        "written down yet."
    )


def _not_until_then(consultation: Consultation) -> list[str]:
    if consultation.verdict.drive == "stop":
        advice = ["Do not drive the car; have it moved on a trailer."]
    else:
        advice = ["Drive gently and off boost, and stop if anything new is heard, seen or smelt."]
        advice.append("No full-throttle runs, and no more duty or boost.")
    return [
        *advice,
        "Do not swap parts or hoses on a guess; what was found would no longer hold.",
        "Do not clear stored codes; the workshop needs them.",
    ]


def verification(consultation: Consultation, step: VerifyStep) -> list[Block]:
    """After the repair: how to see whether the complaint is gone, and within which limit."""
    knowledge = consultation.knowledge
    blocks: list[Block] = [
        Heading("Is it gone?"),
        Fact("Mended", cause_title(knowledge, step.cause)),
    ]
    if isinstance(step.run, Withheld):
        blocks.append(Steps("No full-throttle run yet", step.run.because))
        blocks.append(Paragraph("Judge it gently and off boost, or have a workshop look."))
    elif step.run is not None:
        blocks += cautions(knowledge, step.run.cautions)
        blocks += limit(knowledge, step.run)
    return blocks
