"""What ``gatepost knowledge add`` says, as blocks. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from expert.loading.source import shown_path
from expert.model import PROBABILITY_WORDS
from expert.ui.add_pick import COMMANDS, MOST_SHOWN
from expert.ui.protocol import (
    Block,
    Choice,
    Choices,
    Heading,
    Paragraph,
    Steps,
    Verbatim,
)
from expert.ui.words import joined
from expert.workbench.add.plan import Plan
from expert.workbench.add.question import Question, Value
from expert.workbench.add.setting import NewEntry
from expert.workbench.add.trial import Trial

_RESUME = "gatepost knowledge add --resume"


def greeting(folder: Path) -> list[Block]:
    """What is going to happen."""
    return [
        Heading("A new entry"),
        Paragraph(
            "One question at a time; help shows what can be typed, back takes an answer back. "
            "Nothing is written before you say so. It goes into"
        ),
        Verbatim(shown_path(folder)),
    ]


def asked(question: Question, shown: Sequence[str], again: bool = False) -> list[Block]:
    """A question, why it is asked, and what can be picked."""
    blocks: list[Block] = [Paragraph(question.ask, strong=True, apart=True)]
    if not again:
        blocks.append(Paragraph(question.why))
    if shown:
        items = (Choice(name, question.choices[name]) for name in shown)
        blocks.append(Choices(tuple(items)))
    more = len(question.choices) - len(shown)
    if more > 0:
        blocks.append(
            Paragraph(
                f"These are {len(shown)} of {len(question.choices)}. Type a part of a name to "
                "narrow the list, or list to see all."
            )
        )
    if question.form == "several":
        blocks.append(Paragraph("Several stand between commas."))
    if question.form == "probability" and not again:
        words = [f"{word} {value:g}" for word, value in PROBABILITY_WORDS.items()]
        blocks.append(Paragraph(f"A number from 0 to 1, or {joined(words, 'or')}."))
    blocks += _default(question)
    return blocks


def _default(question: Question) -> list[Block]:
    if question.default is None or (not question.default and question.form != "several"):
        return []
    if len(question.default) > MOST_SHOWN:
        return []
    return [Paragraph(f"Nothing typed: {', '.join(question.default) or 'none'}.")]


def noted(question: Question, value: Value) -> list[Block]:
    """What was understood, where that is not what was typed."""
    if question.form == "text" or not value:
        return []
    return [Paragraph(f"Noted: {', '.join(value)}.")]


def help_with(question: Question) -> list[Block]:
    """What can be typed at a question."""
    ways = ["Type your answer on one line."]
    if question.form in ("one", "several"):
        ways = ["Type a number that is shown, an id, its beginning, or a part of a name."]
    if question.form == "several":
        ways.append("Several stand between commas: 1, 3 or lamp, torch. For none type none.")
    words = tuple(f"{name}: {meaning}" for name, meaning in COMMANDS.items())
    return [
        *(Paragraph(way) for way in ways),
        Steps("Words that work at every question", words),
        Paragraph(
            "A colon in front makes a word a command where it could be an answer: :back. Ctrl-C "
            "drops the line, twice leaves; Ctrl-D leaves. The draft is kept either way."
        ),
    ]


def preview(plan: Plan) -> list[Block]:
    """The new text, file by file, and what there is to say about it."""
    blocks: list[Block] = [Heading("What would be written")]
    for piece in plan.pieces:
        blocks.append(Paragraph(piece.file, strong=True, apart=True))
        blocks += [Verbatim(line) for line in piece.lines]
    if plan.notes:
        blocks.append(Steps("To know", plan.notes))
    return blocks


def tried(new: NewEntry, trial: Trial) -> list[Block]:
    """How the knowledge would do with the entry in it."""
    blocks: list[Block] = [Heading("Tried in a copy")]
    if trial.mistakes:
        return [
            *blocks,
            Paragraph(
                "It cannot be written as it is. Go back to the answer in question.", strong=True
            ),
            Steps("Mistakes", trial.mistakes),
        ]
    blocks.append(Paragraph("Check: no mistakes."))
    if trial.findings:
        blocks.append(Steps("Check: new weak spots", trial.findings))
    blocks += _case(new, trial)
    return [*blocks, *_ways(trial)]


def _ways(trial: Trial) -> list[Block]:
    """Which cases go another way than before."""
    ways = trial.tried.ways if trial.tried is not None else ()
    if not ways:
        return [Paragraph("Diff: no other case is asked other checks than before.")]
    more = len(ways) - MOST_SHOWN
    items = (*ways[:MOST_SHOWN], *([f"and {more} more"] if more > 0 else []))
    return [Steps("Diff: cases that are asked other checks than before", items)]


def _case(new: NewEntry, trial: Trial) -> list[Block]:
    blocks: list[Block] = []
    found = trial.tried
    if found is None or new.case is None:
        blocks.append(Paragraph("Try: there is no first case, so nothing proves that it is found."))
    elif not found.lines:
        blocks.append(
            Paragraph(f"Try: the first case comes to {found.named} after {found.asked} checks.")
        )
    else:
        blocks.append(Paragraph("Try: not as the cases expect.", strong=True))
        blocks += [Verbatim(line) for line in found.lines]
    if found is not None and found.broken:
        blocks.append(
            Paragraph(f"Cases that came out right before: {', '.join(found.broken)}.", strong=True)
        )
    return blocks


def written(plan: Plan, folder: Path, overlay: bool) -> list[Block]:
    """Where everything is now, and what comes next; an overlay has to be named."""
    named = f" --knowledge {shown_path(folder)}" if overlay else ""
    return [
        Heading("Written"),
        *(Verbatim(shown_path(change.path)) for change in plan.changes),
        Paragraph("Look at it once more with"),
        Verbatim(f"gatepost knowledge check{named}"),
        Verbatim(f"gatepost knowledge try{named}"),
    ]


def kept(path: Path | None) -> list[Block]:
    """Where the draft is, and how to go on."""
    if path is None:
        return [Paragraph("Nothing was typed, so nothing is kept.", apart=True)]
    return [
        Heading("Kept as a draft"),
        Paragraph("Nothing was written into the knowledge. To go on:"),
        Verbatim(_RESUME),
    ]
