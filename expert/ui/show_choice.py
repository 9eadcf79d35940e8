"""Other checks to choose from, and what an answer would change, as blocks."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from expert.ui.protocol import Bar, Bars, Block, Paragraph, Steps, Table
from expert.ui.summary import next_words
from expert.ui.words import minutes, percent

if TYPE_CHECKING:
    from expert.case.consult import Consultation

_LISTED: Final = 8
_BARS: Final = 5


def other_checks(consultation: Consultation, now: str | None) -> list[Block]:
    """The checks that can be done now, the most worth their minutes first, apart from ``now``."""
    offers = [offer for offer in consultation.offers if offer.id != now][:_LISTED]
    if not offers:
        return [Paragraph("There is no other check that can be done now.")]
    rows = tuple((offer.id, minutes(offer.minutes), worth(offer.value)) for offer in offers)
    blocks: list[Block] = [
        Table("Other checks, the best first", ("check", "takes", "worth"), rows),
        Paragraph("Type take and the name of one to do it now; why tells what it would say."),
    ]
    if not consultation.gate.allowed:
        blocks.append(Steps("Full-throttle runs are held back", consultation.gate.because))
    return blocks


def worth(value: float) -> str:
    """What a check saves on average, beyond its own minutes, in words."""
    if value < 0.0:
        return "not its minutes"
    if value < 1.0:
        return "just its minutes"
    return f"saves {minutes(value)}"


def what_if(before: Consultation, after: Consultation, said: str) -> list[Block]:
    """What an answer would change; nothing of it is kept."""
    names = sorted(after.order, key=lambda name: -max(before.chance(name), after.chance(name)))
    bars = tuple(
        Bar(after.knowledge.causes[name].title, after.chance(name), before.chance(name))
        for name in sorted(names[:_BARS], key=lambda name: -after.chance(name))
    )
    blocks: list[Block] = [Paragraph(f"If it were so: {said}"), Bars("", bars)]
    if after.verdict.drive != before.verdict.drive:
        blocks.append(Paragraph(f"The drive verdict would be {after.verdict.drive}.", strong=True))
    unlisted = percent(after.belief.unlisted)
    if after.belief.unlisted >= after.knowledge.policy.notable:
        blocks.append(Paragraph(f"Something that Gatepost does not know: {unlisted}."))
    return [*blocks, next_words(after), Paragraph("Nothing of this was kept.")]
