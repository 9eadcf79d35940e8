"""What a consultation says, as blocks: verdict, ranking, what an answer has changed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Final

from expert.model import Knowledge
from expert.ui.protocol import Banner, Bar, Bars, Block, Fact, Heading, Paragraph
from expert.ui.words import joined, percent, sentence

if TYPE_CHECKING:
    from expert.case.consult import Consultation
    from expert.case.safety import Verdict

SYMPTOM: Final = "symptom"
UNLISTED: Final = "Something that Gatepost does not know"
_RANKED: Final = 10
_CHANGED: Final = 5
# Smaller shifts than these, in probability, are not worth a word.
_SHIFT: Final = 0.01
_FALL: Final = 0.05

_DRIVE: Final = {
    "stop": "Do not drive this car. Have it moved on a trailer.",
    "caution": "Drive only if you must, gently and off boost.",
}


def banner(verdict: Verdict, brief: bool = False) -> list[Block]:
    """The drive verdict, unless it is ok; ``brief`` leaves out why."""
    if verdict.drive == "ok":
        return []
    because = () if brief else verdict.because
    return [Banner(verdict.drive, _DRIVE[verdict.drive], because)]


def complaint_banner(knowledge: Knowledge, symptom_id: str | float | None) -> list[Block]:
    """What a dangerous complaint means at once, before anything else is known."""
    symptom = knowledge.symptoms.get(str(symptom_id))
    if symptom is None or symptom.danger == "none":
        return []
    return [Banner(symptom.danger, _DRIVE[symptom.danger])]


def alike(verdict: Verdict, last: Verdict) -> bool:
    """Does the verdict say nothing that the last one did not, other than its percentages?"""
    said = {_without_numbers(text) for text in last.because}
    new = [text for text in verdict.because if _without_numbers(text) not in said]
    return verdict.drive == last.drive and not new


def _without_numbers(text: str) -> str:
    return "".join(letter for letter in text if not letter.isdigit())


def ranking(consultation: Consultation) -> list[Block]:
    """The likeliest causes as bars, and the likeliest two at once."""
    titles = consultation.knowledge.causes
    bars = [
        Bar(titles[cause].title, consultation.chance(cause))
        for cause in consultation.order[:_RANKED]
        if consultation.chance(cause) >= _SHIFT
    ]
    bars.append(Bar(UNLISTED, consultation.belief.unlisted))
    blocks: list[Block] = [Heading("Ranking"), Bars("How likely each cause is", tuple(bars))]
    for names, chance in consultation.pairs(2):
        if chance >= _SHIFT:
            both = " + ".join(titles[name].title for name in names)
            blocks.append(Fact(f"Both at once, {percent(chance)}", both))
    return blocks


def change(before: Consultation, after: Consultation) -> list[Block]:
    """What an answer has changed in the ranking, in words and in bars."""
    moved = {name: after.chance(name) - before.chance(name) for name in after.order}
    if not after.order:
        return []
    first = after.order[0]
    title = after.knowledge.causes[first].title
    if max(abs(shift) for shift in moved.values()) < _SHIFT:
        return [Paragraph(f"That changes little: {title} stays in front, {_now(after, first)}.")]
    word = "Still" if before.order and before.order[0] == first else "Now"
    sentences = [f"{word} in front: {title}, {_now(after, first)}{_from(before, moved, first)}."]
    fallen = min(moved, key=lambda name: moved[name])
    if moved[fallen] <= -_FALL and fallen != first:
        gone = after.knowledge.causes[fallen].title
        sentences.append(f"Much less likely: {gone}, {percent(after.chance(fallen))}.")
    notable = after.knowledge.policy.notable
    if after.belief.unlisted >= notable > before.belief.unlisted:
        sentences.append(
            f"The answers fit nothing well; {percent(after.belief.unlisted)} for a cause that "
            "Gatepost does not know."
        )
    return [Paragraph(" ".join(sentences)), _changed_bars(before, after)]


def _now(consultation: Consultation, cause: str) -> str:
    return percent(consultation.chance(cause))


def _from(before: Consultation, moved: Mapping[str, float], cause: str) -> str:
    """From where a cause has come, when it has come far."""
    if abs(moved[cause]) < _FALL:
        return ""
    return f", {'up' if moved[cause] > 0.0 else 'down'} from {_now(before, cause)}"


def _changed_bars(before: Consultation, after: Consultation) -> Bars:
    """The five causes that are or were the likeliest, likeliest now first."""
    tallest = {name: max(before.chance(name), after.chance(name)) for name in after.order}
    shown = sorted(tallest, key=lambda name: -tallest[name])[:_CHANGED]
    shown.sort(key=lambda name: -after.chance(name))
    return Bars(
        "",
        tuple(
            Bar(after.knowledge.causes[name].title, after.chance(name), before.chance(name))
            for name in shown
        ),
    )


def doubts(consultation: Consultation, known: Sequence[str]) -> list[Block]:
    """The findings that do not fit the rest, apart from those of the checks in ``known``."""
    knowledge = consultation.knowledge
    return [
        Fact(
            "Does not fit the rest",
            f"{finding_words(knowledge, doubt.check, doubt.answers)} "
            f"Expected rather: {sentence(knowledge.checks[doubt.check].answers[doubt.expected])} "
            f"Do it once more: take {doubt.check}.",
        )
        for doubt in consultation.doubtful
        if doubt.check not in known
    ]


def finding_words(knowledge: Knowledge, check_id: str, answers: Sequence[str]) -> str:
    """A finding or a complaint in a sentence, as far as the knowledge has words for it."""
    if check_id == SYMPTOM:
        titles = [
            knowledge.symptoms[name].title if name in knowledge.symptoms else name
            for name in answers
        ]
        return sentence(f"The complaint, {joined(titles)}")
    check = knowledge.checks.get(check_id)
    texts = [check.answers.get(answer, answer) if check else answer for answer in answers]
    return sentence(f"{check_id}: {'; '.join(texts) if texts else 'not known'}")
