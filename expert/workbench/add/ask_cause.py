"""The questions for a new cause: what it is, who shows it, and where it is suspected."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, get_args

from expert.model import Cause, Check, Danger, Frequency, Harm, Knowledge, PartsCost, Seen
from expert.workbench.add.alike import (
    Leaf,
    Likeness,
    leaves_for,
    likeness,
    plausible_checks,
    questions,
    together,
)
from expert.workbench.add.ask_case import Subject, first_case
from expert.workbench.add.ask_shared import (
    ENOUGH,
    Row,
    basis,
    caution_texts,
    danger,
    minutes,
    needed_parts,
    new_id,
    one,
    picks,
    share,
    shares,
    topic,
    unsound,
)
from expert.workbench.add.compose import Plain
from expert.workbench.add.draft import Script
from expert.workbench.add.question import Question
from expert.workbench.add.setting import NewEntry, Setting

NOWHERE: Final = "nowhere"
_WORKED_ON: Final = "worked-on"

_OFTEN: Final[Mapping[str, str]] = {
    "common": "One of the first things to think of",
    "occasional": "Now and then",
    "rare": "Hardly ever",
}
_HARMS: Final[Mapping[str, str]] = {
    "overpressure": "Nothing limits boost",
    "mechanical": "Something breaks",
}
_COSTS: Final[Mapping[str, str]] = {
    "none": "No parts at all",
    "low": "A gasket, a hose, a clip",
    "medium": "A solenoid, a sensor",
    "high": "A gate, a cooler",
    "very-high": "A turbo, an engine",
}
assert set(_OFTEN) == set(get_args(Frequency))
assert set(_HARMS) == set(get_args(Harm))
assert set(_COSTS) == set(get_args(PartsCost))


@dataclass(frozen=True, slots=True)
class _About:
    """What a cause is by itself."""

    name: str
    cause: Cause
    entry: Mapping[str, Plain]


def cause_script(setting: Setting) -> Script[NewEntry]:
    """Everything about a new cause."""
    knowledge = setting.knowledge
    about = yield from _about(knowledge)
    symptoms = yield from _symptoms(knowledge)
    new = Likeness(about.cause.needs, about.cause.work, tuple(symptoms))
    given = yield from _given(knowledge, new)
    suspects = yield from _suspects(knowledge, new)
    file = yield from topic(setting, "cause", about.name, _likely_file(setting, new))
    subject = Subject(
        about.name, about.cause, symptoms=tuple(symptoms), given=given, checks=knowledge.checks
    )
    case = yield from first_case(setting, subject)
    return NewEntry("cause", about.name, file, about.entry, symptoms, given, suspects, case=case)


def _about(knowledge: Knowledge) -> Script[_About]:
    title = yield from one(
        Question(
            "title",
            "What is wrong, in a few words?",
            "As one would say it at the bench; one cause has one mechanism.",
        )
    )
    name = yield from new_id("id", title, knowledge.causes, "cause")
    what = yield from one(
        Question(
            "what",
            "What is wrong, and what does it do to boost?",
            "One to three sentences for someone who has never seen it.",
        )
    )
    entry: dict[str, Plain] = {"title": title, "what": what}
    needs = yield from needed_parts(
        knowledge,
        "Which parts must a car have for this to happen?",
        "On a car without one of them the cause is left out; none means every car.",
    )
    work = yield from _work(knowledge)
    entry |= {key: items for key, items in (("needs", needs), ("work", work)) if items}
    entry["seen"] = yield from _seen()
    worst, dangers = yield from _dangers()
    entry |= dangers
    entry |= yield from _repair(knowledge)
    entry["basis"] = yield from basis("basis")
    cause = Cause(
        title=title,
        what=what,
        needs=needs,
        work=work,
        # Of how a cause is met and mended nothing that follows makes use.
        seen=Seen(just_fitted="rare", settled="rare"),
        danger=worst,
        confirm=title,
        fix=title,
        minutes=1.0,
        parts="none",
        basis=title,
    )
    return _About(name, cause, entry)


def _work(knowledge: Knowledge) -> Script[tuple[str, ...]]:
    areas = knowledge.checks[_WORKED_ON].answers if _WORKED_ON in knowledge.checks else {}
    return (
        yield from picks(
            "work",
            "Which work on the car can bring it in?",
            "On a car whose parts were just fitted it is likelier where that work was done.",
            {area: text for area, text in areas.items() if area != "nothing"},
        )
    )


def _seen() -> Script[dict[str, Plain]]:
    seen: dict[str, Plain] = {}
    for key, car in (
        ("just-fitted", "whose parts were just fitted"),
        ("settled", "that ran well before"),
    ):
        seen[key] = yield from one(
            Question(
                f"seen/{key}",
                f"How often is it met on a car {car}?",
                "Before anything is checked; only its ratio to other causes counts.",
                "one",
                _OFTEN,
            )
        )
    return seen


def _dangers() -> Script[tuple[Danger, dict[str, Plain]]]:
    worst = yield from danger(
        "danger", "May the car be driven with it?", "Say stop when it is stop."
    )
    if worst != "stop":
        return worst, {"danger": worst}
    harm = yield from one(
        Question(
            "harm",
            "What does it do?",
            "Too high a chance of overpressure withholds checks under load.",
            "one",
            _HARMS,
        )
    )
    return worst, {"danger": worst, "harm": harm}


def _repair(knowledge: Knowledge) -> Script[dict[str, Plain]]:
    entry: dict[str, Plain] = {}
    entry["confirm"] = yield from one(
        Question(
            "confirm",
            "How can one be sure, before buying or changing anything?",
            "What to look at, and what one must see.",
        )
    )
    entry["fix"] = yield from one(
        Question("fix", "What is to be done about it?", "Step by step, and how to see it is done.")
    )
    cautions = yield from picks(
        "cautions",
        "Which cautions belong to that work?",
        "They are shown before it.",
        caution_texts(knowledge),
    )
    if cautions:
        entry["cautions"] = cautions
    entry["minutes"] = yield from minutes("minutes", "How long does the repair take?")
    entry["parts"] = yield from one(
        Question("parts", "What do the parts cost?", "A rough class is enough.", "one", _COSTS)
    )
    return entry


def _symptoms(knowledge: Knowledge) -> Script[Row]:
    chosen = yield from picks(
        "symptoms",
        "Which complaints does it show?",
        "A complaint that is left out speaks against the cause.",
        {name: symptom.title for name, symptom in knowledge.symptoms.items()},
        least=1,
    )
    row: Row = {}
    for symptom in chosen:
        row[symptom] = yield from share(
            f"symptom/{symptom}",
            f'How often does a car with it show "{knowledge.symptoms[symptom].title}"?',
            "The share of the cars with this fault that bring this complaint.",
        )
    return row


def _given(knowledge: Knowledge, new: Likeness) -> Script[dict[str, Row]]:
    """Walk through the checks that it may answer differently, then offer all others."""
    rows: dict[str, Row] = {}
    plausible = plausible_checks(knowledge, new)
    for place, name in enumerate(plausible):
        last = f"{place + 1} of {len(plausible)}"
        answers = yield from _differs(name, knowledge.checks[name], last)
        if ENOUGH in answers:
            break
        if answers:
            rows[name] = yield from _row(name, knowledge.checks[name], answers)
    others = {
        name: check
        for name, check in knowledge.checks.items()
        if name not in rows
        and check.kind != "history"
        and together(knowledge, check.needs, new.needs)
    }
    more = yield from picks(
        "more-checks",
        "Which other checks would such a car answer differently?",
        "Silence is a claim: a check that is left out counts as answered like a sound car.",
        questions(others),
    )
    for name in more:
        answers = yield from picks(
            f"shows-too/{name}",
            f"What would it answer? {others[name].ask}",
            f"A sound car: {others[name].answers[others[name].sound_answer()]}",
            unsound(others[name]),
            least=1,
        )
        rows[name] = yield from _row(name, others[name], answers)
    return rows


def _differs(name: str, check: Check, place: str) -> Script[tuple[str, ...]]:
    choices = {**unsound(check), ENOUGH: "All further checks as on a sound car"}
    healthy = check.answers[check.sound_answer()]
    return (
        yield Question(
            f"shows/{name}",
            check.ask,
            f"Check {place}: what would such a car answer? A sound one: {healthy}",
            "several",
            choices,
            (),
            alone=(ENOUGH,),
        )
    )


def _row(name: str, check: Check, answers: tuple[str, ...]) -> Script[Row]:
    return (yield from shares(check, f"share/{name}", answers, "a car with this fault"))


def _suspects(knowledge: Knowledge, new: Likeness) -> Script[dict[str, Leaf]]:
    chosen: dict[str, Leaf] = {}
    for symptom in new.symptoms:
        leaves = {leaf.name: leaf for leaf in leaves_for(knowledge, symptom, new)}
        choices = {name: f"Suspects {', '.join(leaf.causes)}" for name, leaf in leaves.items()}
        title = knowledge.symptoms[symptom].title
        found = yield from one(
            Question(
                f"suspect/{symptom}",
                f'Where in the tree of "{title}" should it be suspected?',
                "It is put last in that list. Nowhere is fine: then the worth of checks leads.",
                "one",
                {**choices, NOWHERE: "In no list of this tree"},
                (NOWHERE,),
            )
        )
        if found != NOWHERE:
            chosen[symptom] = leaves[found]
    return chosen


def _likely_file(setting: Setting, new: Likeness) -> str | None:
    """The file that holds the cause most like the new one."""
    files = setting.files["cause"]
    for name in likeness(setting.knowledge, new):
        for stem, ids in files.items():
            if name in ids:
                return stem
    return None
