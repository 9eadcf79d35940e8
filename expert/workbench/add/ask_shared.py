"""Questions that several kinds of entry share."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import Final

from expert.model import PROBABILITY_WORDS, Check, Danger, Knowledge
from expert.text import shorten
from expert.workbench.add.alike import together
from expert.workbench.add.compose import tidy
from expert.workbench.add.draft import Script
from expert.workbench.add.naming import id_from
from expert.workbench.add.question import YES, Question
from expert.workbench.add.setting import EntryKind, Setting

ENOUGH: Final = "enough"
COMMON_PRACTICE: Final = "common practice"
_LONGEST_MEANING: Final = 90

DANGERS: Final[Mapping[str, str]] = {
    "none": "It may be driven",
    "caution": "Gently, and off boost",
    "stop": "Not at all",
}

Row = dict[str, str]


def number(probability: str) -> float:
    """The number of a probability as it was answered."""
    return PROBABILITY_WORDS.get(probability) or float(probability)


def one(question: Question) -> Script[str]:
    """Ask and take the one value, or nothing as an empty text."""
    value = yield question
    return value[0] if value else ""


def agreed(question: Question) -> Script[bool]:
    """Ask a question for yes or no."""
    value = yield question
    return value == (YES,)


def topic(setting: Setting, kind: EntryKind, name: str, likely: str | None) -> Script[str]:
    """Which file the entry goes into."""
    files = setting.files[kind]
    choices = {
        stem: f"Holds {shorten(', '.join(ids), _LONGEST_MEANING)}"
        for stem, ids in files.items()
        if stem == tidy(stem)
    }
    default = likely if likely is not None and likely in files else name
    return (
        yield from one(
            Question(
                "file",
                f"Which file in {kind}s/ does it go into?",
                "One topic a file; a file that is there, or a new name without path and suffix.",
                "id",
                choices,
                (default,),
            )
        )
    )


def new_id(key: str, title: str, taken: Collection[str], what: str) -> Script[str]:
    """The id of a new entry."""
    return (
        yield from one(
            Question(
                key,
                f"Which id does the {what} get?",
                "Small letters, digits, hyphens; kept for good, since saved cases refer to it.",
                "id",
                default=(id_from(title, taken, what),),
                taken=taken,
            )
        )
    )


def picks(
    key: str, ask: str, why: str, choices: Mapping[str, str], least: int = 0
) -> Script[tuple[str, ...]]:
    """Any number of ids from a list."""
    if not choices:
        return ()
    default = None if least else ()
    return (yield Question(key, ask, why, "several", choices, default, least=least))


def needed_parts(knowledge: Knowledge, ask: str, why: str) -> Script[tuple[str, ...]]:
    """Parts that a car must have; asked again when there is no car with all of them."""
    choices = {part: one.title for part, one in knowledge.parts.items()}
    while True:
        needs = yield from picks("needs", ask, why, choices)
        if together(knowledge, needs):
            return needs
        why = f"No car has all of these: {', '.join(needs)}. Choose parts that go together."


def share(key: str, ask: str, why: str, most: float = 1.0) -> Script[str]:
    """A probability."""
    return (yield from one(Question(key, ask, why, "probability", most=most)))


def shares(check: Check, key: str, answers: Sequence[str], whose: str) -> Script[Row]:
    """How often each of some answers to a check is given; together no more than there can be."""
    row: Row = {}
    for answer in in_order(check, answers):
        row[answer] = yield from share(
            f"{key}/{answer}",
            f'How often does {whose} answer "{check.answers[answer]}"?',
            f"The share of such cars that show {answer}; what is left shows the healthy answer.",
            left(check, row, answer),
        )
    return row


def left(check: Check, row: Mapping[str, str], answer: str) -> float:
    """What the answers of a row leave for another one: each flag, and each side, is by itself."""
    if check.kind == "nominal":
        return 1.0
    side = next((side for side in (check.low, check.high) if answer in side), tuple(check.answers))
    return 1.0 - sum(number(value) for name, value in row.items() if name in side)


def in_order(check: Check, answers: Iterable[str]) -> list[str]:
    """Answers in the order of the check."""
    given = set(answers)
    return [answer for answer in check.answers if answer in given]


def unsound(check: Check) -> dict[str, str]:
    """The answers that a sound car does not give."""
    healthy = check.sound_answer()
    return {answer: text for answer, text in check.answers.items() if answer != healthy}


def danger(key: str, ask: str, why: str) -> Script[Danger]:
    """None, caution or stop."""
    found = yield from one(Question(key, ask, why, "one", DANGERS))
    return "stop" if found == "stop" else "caution" if found == "caution" else "none"


def basis(key: str, proposed: str = COMMON_PRACTICE) -> Script[str]:
    """Where the claims come from."""
    return (
        yield from one(
            Question(
                key,
                "Where does this come from?",
                "Cite the source, or say common practice, and what is from memory.",
                default=(proposed,),
            )
        )
    )


def caution_texts(knowledge: Knowledge) -> dict[str, str]:
    """The first sentence of every caution, for a list."""
    return {name: one.text.partition(". ")[0] for name, one in knowledge.cautions.items()}


def minutes(key: str, ask: str) -> Script[str]:
    """How long something takes."""
    return (yield from one(Question(key, ask, "Minutes of hands-on work.", "minutes")))
