"""The questions for a new check: how it is done, what it answers, and which causes show it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from expert.loading.forms import LONGEST_ID
from expert.model import Check, Danger, Kind, Knowledge
from expert.workbench.add.alike import plausible_causes, stations, titles
from expert.workbench.add.ask_case import Subject, first_case
from expert.workbench.add.ask_shared import (
    ENOUGH,
    Row,
    agreed,
    basis,
    caution_texts,
    danger,
    in_order,
    left,
    minutes,
    needed_parts,
    new_id,
    number,
    one,
    picks,
    share,
    shares,
    topic,
    unsound,
)
from expert.workbench.add.compose import Plain
from expert.workbench.add.draft import Script
from expert.workbench.add.hear import short_number
from expert.workbench.add.naming import free_id, id_from
from expert.workbench.add.question import Question, yes_or_no
from expert.workbench.add.setting import NewEntry, Setting, Station

MOST_ANSWERS: Final = 30
MOST_STEPS: Final = 30
NOWHERE: Final = "nowhere"
# A cause that shows an answer in half of its cars is worth looking at when it is given.
_LIKELY: Final = 0.5
_KINDS: Final[Mapping[Kind, str]] = {
    "graded": "From healthy to worst; with two faults the worse answer wins",
    "nominal": "Flags of which several may be there at once",
    "two-sided": "A reading that can be wrong in two directions",
}


@dataclass(frozen=True, slots=True)
class _About:
    """A check as far as it is known, with its entry; ``given`` is still to come."""

    name: str
    check: Check
    entry: dict[str, Plain]


def check_script(setting: Setting) -> Script[NewEntry]:
    """Everything about a new check."""
    knowledge = setting.knowledge
    about = yield from _about(knowledge)
    check = yield from _healthy(about)
    given = yield from _given(knowledge, check)
    if given:
        about.entry["given"] = dict(given)
    about.entry["basis"] = yield from basis("basis")
    check = replace(check, given={cause: dict.fromkeys(row, 1.0) for cause, row in given.items()})
    places = yield from _stations(knowledge, about.name, check, given)
    file = yield from topic(setting, "check", about.name, _likely_file(setting, check))
    case = None
    if given:
        subject = yield from _subject(knowledge, about.name, check, given)
        case = yield from first_case(setting, subject)
    return NewEntry("check", about.name, file, about.entry, stations=places, case=case)


def _about(knowledge: Knowledge) -> Script[_About]:
    ask = yield from one(
        Question(
            "ask",
            "What is asked of the one who does it?",
            "One question that the answers fit; something to see, feel, measure or log.",
        )
    )
    name = yield from new_id("id", ask, knowledge.checks, "check")
    entry: dict[str, Plain] = {"ask": ask}
    steps = yield from _steps()
    if steps:
        entry["how"] = steps
    kind = yield from _kind()
    answers = yield from _answers(3 if kind == "two-sided" else 2)
    sides = yield from _sides(kind, answers)
    if kind != "graded":
        entry["kind"] = kind
    entry |= sides
    entry |= yield from _work(knowledge)
    entry["answers"] = answers
    check = Check(
        ask=ask,
        kind=kind,
        low=_texts(sides.get("low")),
        high=_texts(sides.get("high")),
        needs=_texts(entry.get("needs")),
        minutes=1.0,
        answers=answers,
        basis=ask,
    )
    return _About(name, check, entry)


def _texts(value: Plain | None) -> tuple[str, ...]:
    return tuple(str(item) for item in value) if isinstance(value, tuple) else ()


def _steps() -> Script[tuple[str, ...]]:
    steps: list[str] = []
    while len(steps) < MOST_STEPS:
        step = yield from one(
            Question(
                f"how/{len(steps) + 1}",
                f"How is it done? Step {len(steps) + 1}",
                "One step at a time, safest first. Nothing typed: that was the last.",
                default=(),
            )
        )
        if not step:
            break
        steps.append(step)
    return tuple(steps)


def _kind() -> Script[Kind]:
    found = yield from one(
        Question(
            "answer-kind",
            "What kind of answers does it have?",
            "It decides what two faults at once would show.",
            "one",
            {str(kind): text for kind, text in _KINDS.items()},
            ("graded",),
        )
    )
    return "two-sided" if found == "two-sided" else "nominal" if found == "nominal" else "graded"


def _answers(least: int) -> Script[dict[str, str]]:
    answers: dict[str, str] = {}
    while len(answers) < MOST_ANSWERS:
        number_of = len(answers) + 1
        text = yield from one(
            Question(
                f"answer/{number_of}",
                f"What does answer {number_of} look like?",
                "What one sees; healthy first and worst last, a two-sided one from low to high."
                + (" Nothing typed: that was the last." if number_of > least else ""),
                default=() if number_of > least else None,
            )
        )
        if not text:
            break
        name = yield from one(
            Question(
                f"answer/{number_of}/id",
                "Which id does the answer get?",
                "Short; trees and cases name it.",
                "id",
                default=(id_from(text, answers, "answer"),),
                taken=answers,
            )
        )
        answers[name] = text
    return answers


def _sides(kind: Kind, answers: Mapping[str, str]) -> Script[dict[str, Plain]]:
    """For a two-sided check: which answer is the healthy one, and what two faults show."""
    if kind != "two-sided":
        return {}
    names = list(answers)
    inner = dict(list(answers.items())[1:-1])
    healthy = yield from one(
        Question(
            "sound-answer",
            "Which answer is the healthy one?",
            "Those before it are low, those behind it are high.",
            "one",
            inner,
        )
    )
    place = names.index(healthy)
    # The mildest comes first on each side.
    low, high = tuple(reversed(names[:place])), tuple(names[place + 1 :])
    sides: dict[str, Plain] = {"low": low, "high": high}
    if low and high:
        wins = yield from share(
            "both",
            f'With a low and a high fault together, how often is "{answers[low[-1]]}" read?',
            f"In all other cases it is {high[-1]}.",
        )
        chance = number(wins)
        sides["both"] = {low[-1]: short_number(chance), high[-1]: short_number(1.0 - chance)}
    return sides


def _work(knowledge: Knowledge) -> Script[dict[str, Plain]]:
    entry: dict[str, Plain] = {}
    needs = yield from needed_parts(
        knowledge, "Which parts must the car have?", "Cars without one of them are not asked."
    )
    if needs:
        entry["needs"] = needs
    lists = (
        (
            "prepare",
            "Which work comes first, and is shared with other checks?",
            "A case pays for it once.",
            {name: work.title for name, work in knowledge.preparations.items()},
        ),
        (
            "tools",
            "Which tools does it take?",
            "Who lacks one is offered something else.",
            {name: tool.title for name, tool in knowledge.tools.items()},
        ),
    )
    for key, question, why, choices in lists:
        chosen = yield from picks(key, question, why, choices)
        if chosen:
            entry[key] = chosen
    entry["minutes"] = yield from minutes("minutes", "How long does the check take?")
    cautions = yield from picks(
        "cautions",
        "Which cautions belong to it?",
        "They are shown before the steps.",
        caution_texts(knowledge),
    )
    if cautions:
        entry["cautions"] = cautions
    entry |= yield from _load()
    return entry


def _load() -> Script[dict[str, Plain]]:
    loads = yield from agreed(
        yes_or_no(
            "loads-engine",
            "Does it need the engine under load?",
            "Such a check is withheld until hoses, flags and dangerous causes are cleared.",
            False,
        )
    )
    if not loads:
        return {}
    records = yield from agreed(
        yes_or_no("records-boost", "Is its answer a reading of boost?", "As from a log.", False)
    )
    return {"loads-engine": "true", **({"records-boost": "true"} if records else {})}


def _healthy(about: _About) -> Script[Check]:
    """Dangerous answers, and how often a sound car gives an unsound one."""
    check = about.check
    dangerous = yield from picks(
        "dangerous",
        "Which answers are dangerous by themselves?",
        "Whatever the cause may be: the car then gets a warning at once.",
        unsound(check),
    )
    dangers: dict[str, Danger] = {}
    for answer in in_order(check, dangerous):
        found = yield from danger(
            f"danger/{answer}",
            f'May a car that answers "{check.answers[answer]}" be driven?',
            "Say stop when it is stop.",
        )
        if found != "none":
            dangers[answer] = found
    if dangers:
        about.entry["danger"] = dict(dangers)
    healthy: Row = {}
    for answer in unsound(check):
        healthy[answer] = yield from share(
            f"healthy/{answer}",
            f'How often does a sound car answer "{check.answers[answer]}" all the same?',
            "Small where the answer is near proof, such as .01.",
            left(check, healthy, answer),
        )
    about.entry["healthy"] = dict(healthy)
    return replace(check, danger=dangers)


def _given(knowledge: Knowledge, check: Check) -> Script[dict[str, Row]]:
    """The causes that it finds, then the others that may show an answer, then answers left over."""
    possible = plausible_causes(knowledge, check.needs)
    finds = yield from picks(
        "finds",
        "Which causes does it find?",
        "They are asked about first; all others that may show an answer come after them.",
        {name: knowledge.causes[name].title for name in possible},
        least=1,
    )
    rows: dict[str, Row] = {}
    for name in finds:
        answers = yield from picks(
            f"found/{name}",
            f'What would a car answer with "{knowledge.causes[name].title}"?',
            "Silence is a claim: an answer that is left out is never given.",
            unsound(check),
            least=1,
        )
        rows[name] = yield from _row(check, name, answers)
    others = [name for name in possible if name not in finds]
    for place, name in enumerate(others):
        found = yield from _differs(knowledge, check, name, f"{place + 1} of {len(others)}")
        if ENOUGH in found:
            break
        if found:
            rows[name] = yield from _row(check, name, found)
    yield from _left_over(knowledge, check, possible, rows)
    return rows


def _differs(knowledge: Knowledge, check: Check, cause: str, place: str) -> Script[tuple[str, ...]]:
    healthy = check.answers[check.sound_answer()]
    return (
        yield Question(
            f"shows/{cause}",
            f'What would a car answer with "{knowledge.causes[cause].title}"?',
            f"Cause {place}. A sound car: {healthy}",
            "several",
            {**unsound(check), ENOUGH: "All further causes answer as a sound car"},
            (),
            alone=(ENOUGH,),
        )
    )


def _left_over(
    knowledge: Knowledge, check: Check, possible: Sequence[str], rows: dict[str, Row]
) -> Script[None]:
    """Every answer must be of use: ask for a cause where none was named."""
    for answer in unsound(check):
        flagged = check.kind == "nominal" and answer in check.danger
        if flagged or any(answer in row for row in rows.values()):
            continue
        # Causes whose row is full come last; there the answer can only be said never to come.
        free = sorted(possible, key=lambda name: -left(check, rows.get(name, {}), answer))
        shown = yield from picks(
            f"cause-of/{answer}",
            f'Which causes show "{check.answers[answer]}"?',
            "An answer that no cause shows would be of no use.",
            titles({name: knowledge.causes[name] for name in free}),
            least=1,
        )
        for name in shown:
            row = rows.setdefault(name, {})
            row[answer] = yield from share(
                f"left-over/{name}/{answer}",
                f'How often does a car with "{knowledge.causes[name].title}" answer so?',
                "The share of the cars with that cause.",
                left(check, row, answer),
            )
            rows[name] = {one: row[one] for one in in_order(check, row)}


def _row(check: Check, cause: str, answers: tuple[str, ...]) -> Script[Row]:
    return (yield from shares(check, f"share/{cause}", answers, "such a car"))


def _stations(
    knowledge: Knowledge, name: str, check: Check, given: Mapping[str, Row]
) -> Script[dict[str, Station]]:
    """Where trees ask it, for the complaints that its causes show."""
    chosen: dict[str, Station] = {}
    for symptom, entry in knowledge.symptoms.items():
        choices = stations(knowledge, symptom, check.needs, list(given))
        if not choices or not any(cause in entry.causes for cause in given):
            continue
        found = yield from one(
            Question(
                f"station/{symptom}",
                f'In front of what should the tree of "{entry.title}" ask it?',
                "Every car that comes there is asked. Nowhere is fine: then its worth decides.",
                "one",
                {**choices, NOWHERE: "The tree does not ask it"},
                (NOWHERE,),
            )
        )
        if found != NOWHERE:
            renamed = free_id(f"after-{name}"[:LONGEST_ID].strip("-"), entry.subtrees)
            chosen[symptom] = Station(found, renamed, _suspects(check, given))
    return chosen


def _suspects(check: Check, given: Mapping[str, Row]) -> dict[str, tuple[str, ...]]:
    """For each answer, the causes that show it more often than not, the likeliest first."""
    suspects = {}
    for answer in unsound(check):
        shown = {cause: number(row[answer]) for cause, row in given.items() if answer in row}
        likely = [cause for cause in shown if shown[cause] >= _LIKELY]
        if likely:
            suspects[answer] = tuple(sorted(likely, key=lambda cause: -shown[cause]))
    return suspects


def _subject(
    knowledge: Knowledge, name: str, check: Check, given: Mapping[str, Row]
) -> Script[Subject]:
    """The cause that the first case is about, with what all checks say of it."""
    choices = titles({cause: knowledge.causes[cause] for cause in given})
    cause = next(iter(choices))
    if len(choices) > 1:
        cause = yield from one(
            Question(
                "case/cause",
                "Which cause is the first case about?",
                "The case must come to it.",
                "one",
                choices,
                (cause,),
            )
        )
    rows = {
        other: {answer: str(value) for answer, value in one.given[cause].items()}
        for other, one in knowledge.checks.items()
        if cause in one.given
    }
    symptoms = [key for key, symptom in knowledge.symptoms.items() if cause in symptom.causes]
    symptoms.sort(key=lambda key: -knowledge.symptoms[key].causes[cause])
    return Subject(
        cause,
        knowledge.causes[cause],
        tuple(symptoms),
        {name: given[cause], **rows},
        {**knowledge.checks, name: check},
    )


def _likely_file(setting: Setting, check: Check) -> str | None:
    """The file whose checks ask for the same parts."""
    if not check.needs:
        return None
    for stem, ids in setting.files["check"].items():
        if any(setting.knowledge.checks[name].needs == check.needs for name in ids):
            return stem
    return None
