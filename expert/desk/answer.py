"""The letter that answers a triaged message: what the desk knows, handed to the draft."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from email.utils import parseaddr
from typing import Final

from expert.case.car import GATES
from expert.case.consult import Consultation
from expert.case.offer import Offer
from expert.case.safety import HOSES, RED_FLAGS
from expert.case.state import State
from expert.case.steps import FIRST
from expert.desk.triage import Query, Triage
from expert.evidence.mail.figures import Figure
from expert.evidence.mail.understood import Heard
from expert.export.reply import Letter, Likely, Shop, lowered
from expert.model import Check, Knowledge
from expert.text import clean
from expert.units import KPA_PER, shown_kpa

MOST_CAUSES: Final = 3
LEAST_CAUSES: Final = 2
MOST_REASONS: Final = 2
RUN: Final = "zero-duty-log"
_OF_THE_PAST: Final = frozenset({"worked-on", "when-worst"})
# Asked in words, and no check to set somebody to.
_FIRST: Final = FIRST | _OF_THE_PAST
# A cause below this share is not worth frightening anybody with.
_LEAST_SHARE: Final = 0.06
# A third cause is told where it is nearly as likely as the first.
_AS_LIKELY: Final = 0.75
# A customer's own words count as a reason from so many decibans on: odds of two to one.
_LEAST_DECIBANS: Final = 3.0
_LONGEST_QUOTE: Final = 80
_MOST_UNDERSTOOD: Final = 7
MOST_SENTENCES: Final = 2
_SHORT_WORD: Final = 3
_FEW_WORDS: Final = 3
_LONGEST_CLAUSE: Final = 400
_MOST_OF_LOG: Final = 4
_OFTEN: Final = 0.5
_CLAUSE_ENDS: Final = ".,;:!?()"
_UNITS: Final = ("psi", "bar", "kPa")
# An answer that begins so says nothing without its question.
_NEEDS_QUESTION: Final = ("Yes,", "No,")


SHORT_FLAGS: Final[Mapping[str, str]] = {
    "knock": "pinging or a hard rattle from the engine",
    "misfire": "jerking, popping or a flashing engine lamp",
    "oil-smoke": "blue smoke or fresh oil at the turbo",
    "fuel-smell": "a smell of petrol",
    "metal-noise": "metal noises from the turbo",
    "glowing": "glowing exhaust parts",
    "exhaust-in-cabin": "exhaust smell in the cabin, or headaches",
    "coolant-in-air-lines": "coolant in a boost or signal hose",
}


def letter_of(triage: Triage, knowledge: Knowledge, shop: Shop) -> Letter:
    """What the reply to a message has to say; no check is in it that was not offered."""
    state, assessed = triage.state, triage.assessed
    consultation = assessed.consultation
    top = assessed.causes[0] if assessed.causes else None
    concluded = None
    if top is not None and consultation is not None and state.setup is not None:
        concluded = knowledge.causes[top[0]] if consultation.may_conclude(top[0]) else None
    likely = _likely(consultation, triage, knowledge) if consultation else []
    check = None if concluded else _next_check(triage, likely)
    flags = knowledge.checks.get(RED_FLAGS)
    asked = {one.check for one in triage.queries}
    mail = triage.read.mail
    logged = any(one.usable for one in triage.logs)
    return Letter(
        drive=assessed.drive or "caution",
        name=parseaddr(mail.sender)[0] if mail else "",
        answered=bool(triage.news),
        because=tuple(reasons_for(triage, knowledge)),
        flags_ask=flags.ask if flags is not None else "",
        flags=_shortly(flags) if flags is not None and RED_FLAGS in asked else (),
        understood=tuple(understood(triage, knowledge)),
        likely=tuple(likely),
        check=check,
        questions=tuple(_questions(triage, check or concluded, knowledge)),
        pull=consultation.offer(RUN) if consultation and RUN in consultation.open_checks else None,
        photos=photos(state, knowledge) if consultation and not concluded else (),
        log_wanted=check is not None and not logged and assessed.drive != "stop",
        vague=not state.symptoms,
        shop=shop,
        concluded=concluded,
        hoses=hose_table(state, knowledge) if check is not None and check.id == HOSES else (),
        photos_will_do=check is not None and check.id == HOSES and state.setup is None,
        causes=_chances(consultation),
    )


def _shortly(flags: Check) -> tuple[str, ...]:
    """The red flags in few words; one that is not known here in its own."""
    return tuple(
        SHORT_FLAGS.get(name, lowered(text))
        for name, text in flags.answers.items()
        if name != flags.sound_answer()
    )


def _chances(consultation: Consultation | None) -> dict[str, float]:
    if consultation is None:
        return {}
    return dict(zip(consultation.network.causes, consultation.probability.tolist(), strict=True))


def reasons_for(triage: Triage, knowledge: Knowledge) -> list[str]:
    """Why the verdict is what it is, in whole sentences, with the customer's own words."""
    state, drive = triage.state, triage.assessed.drive
    found: list[str] = []
    logged: list[str] = []
    for finding in state.findings:
        check = knowledge.checks.get(finding.check)
        for answer in finding.answers if check else ():
            if check is None or check.danger.get(answer) != drive:
                continue
            text = lowered(check.answers[answer].rstrip("."))
            if finding.origin == "log":
                logged.append(f"Your log shows: {text}.")
                continue
            words = _said(triage, "answer", finding.check, answer, short=True)
            found.append(f"You write {words}." if words else f"You told us: {text}.")
            found += _first_aid(check, answer) if finding.check == RED_FLAGS else []
    shown = {name for log in triage.logs for name in log.symptoms}
    for name in state.symptoms:
        symptom = knowledge.symptoms[name]
        if symptom.danger == drive:
            by_log = name in shown and not _said(triage, "symptom", name)
            told = "What your log shows" if by_log else "The trouble as you describe it"
            danger = "dangerous by itself" if drive == "stop" else "reason enough for care"
            found.append(f"{told} ({lowered(symptom.title)}) is {danger}.")
    found += logged
    if not found and triage.feared:
        alarming = triage.read.understanding.alarming[:1]
        quotes = [f'You write "{clean(one.quote, _LONGEST_QUOTE)}". That' for one in alarming]
        words = next(iter(quotes), "What you write")
        found.append(f"{words} may be a sign of danger, which we would like to clear up first.")
    if not found and triage.assessed.causes:
        graver = [
            knowledge.causes[name].title
            for name, _ in triage.assessed.causes
            if knowledge.causes[name].danger == drive
        ]
        why = (
            "It can come from faults that ruin an engine when it is driven, such as"
            if drive == "stop"
            else "One possible cause calls for that"
        )
        found += [f"{why}: {lowered(title)}." for title in graver[:1]]
    return list(dict.fromkeys(found))[:MOST_SENTENCES]


def _first_aid(check: Check, answer: str) -> list[str]:
    """What the red flags say to do about this one: the step that begins with a word of its id."""
    words = [word for word in answer.split("-") if len(word) > _SHORT_WORD]
    return [
        _begun(step.partition(": ")[2])
        for step in check.how
        if any(word in step.partition(": ")[0].casefold() for word in words) and ": " in step
    ][:1]


def _begun(text: str) -> str:
    """A text that begins a sentence."""
    return text[:1].upper() + text[1:]


def _questions(triage: Triage, todo: object, knowledge: Knowledge) -> list[str]:
    """What to ask beside the one thing to do: of the car itself, and of its past.

    A check is only asked where there is nothing to do, so that a letter stays short.
    """
    found = []
    for one in triage.queries:
        item = knowledge.checks.get(one.check)
        if item is None:
            found.append(one.ask)
        elif item.kind == "history":
            found.append(item.ask)
        elif todo is None and one.check != RED_FLAGS:
            found.append(_with_answers(one, triage.assessed.consultation, knowledge))
    return found


def _with_answers(query: Query, consultation: Consultation | None, knowledge: Knowledge) -> str:
    """A question with the answers to choose from, so that a line will do for a reply."""
    check = knowledge.checks[query.check]
    causes = consultation.network.causes if consultation else list(knowledge.causes)
    texts = [lowered(text.rstrip(".")) for text in check.answers_for(causes).values()]
    return f"{query.ask} ({'; or '.join(texts)})"


def _next_check(triage: Triage, likely: Sequence[Likely]) -> Offer | None:
    """The one check: the most valuable that often shows a cause that the letter names.

    Where none does, the most valuable of all; red flags and history are asked in words. Where the
    setup is not known the hoses come first, since photographs of them tell the setup as well; but
    not where a red flag says where to look.
    """
    offers = [item for item in triage.assessed.offers if item.id not in _FIRST]
    hoses = next((item for item in offers if item.id == HOSES), None)
    if hoses is not None and triage.state.setup is None and not _flagged(triage):
        return hoses
    causes = triage.knowledge.causes
    named = [name for name in causes if any(causes[name] == one.cause for one in likely)]
    telling = (item for item in offers if any(_shows(item.check, name) for name in named))
    return next(telling, next(iter(offers), None))


def _flagged(triage: Triage) -> bool:
    """Has a red flag been named?"""
    flags = triage.knowledge.checks.get(RED_FLAGS)
    sound = flags.sound_answer() if flags else ""
    return any(answer != sound for answer in triage.state.answers(RED_FLAGS))


def _shows(check: Check, cause: str) -> bool:
    """Does a car with this cause mostly answer the check otherwise than a sound one?"""
    row = check.given.get(cause, {})
    return sum(share for answer, share in row.items() if answer != check.sound_answer()) >= _OFTEN


def understood(triage: Triage, knowledge: Knowledge) -> list[str]:
    """What was understood: the trouble, the car, the pressures with their unit, the answers."""
    told, state = triage.read.understanding, triage.state
    lines = []
    shown = {name for log in triage.logs for name in log.symptoms}
    for name in state.symptoms:
        words = _said(triage, "symptom", name)
        if name in shown and not words:
            continue
        title = lowered(knowledge.symptoms[name].title)
        lines.append(f"The trouble: {title}{f' ({words})' if words else ''}.")
    if state.setup is not None:
        lines.append(f"The car: {lowered(knowledge.setups[state.setup].title)}.")
    unit = _unit(told.figures)
    pressures = [
        f"{label} {shown_in(kpa, unit)}"
        for label, kpa in (
            ("spring", state.spring_kpa),
            ("boost you see", told.boost_kpa),
            ("boost you want", state.target_kpa),
        )
        if kpa is not None
    ]
    if pressures:
        lines.append(f"Pressures, above outside air: {'; '.join(pressures)}.")
    changed = state.answers("what-changed")
    for finding in state.findings:
        check = knowledge.checks.get(finding.check)
        if check is None or not finding.answers or (finding.check == "worked-on" and changed):
            continue
        said = "; ".join(
            check.answers.get(answer, answer).rstrip(".") for answer in finding.answers
        )
        words = _said(triage, "answer", finding.check)
        if finding.origin == "log":
            continue
        if finding.check == "what-changed":
            said = f"Before it began: {lowered(said)}"
        elif not words or finding.check in _OF_THE_PAST or said.startswith(_NEEDS_QUESTION):
            said = f"{check.ask} {said}"
        lines.append(f"{said} ({words})." if words else f"{said}.")
    return [*lines[:_MOST_UNDERSTOOD], *_of_logs(triage, knowledge)]


def _of_logs(triage: Triage, knowledge: Knowledge) -> list[str]:
    """What the logs that hang on this message show, or why they are of no use."""
    lines = []
    for log in triage.logs:
        name = f'your log "{clean(log.name, _LONGEST_QUOTE)}"'
        symptoms = [lowered(knowledge.symptoms[one].title) for one in log.symptoms]
        faults = [
            lowered(knowledge.checks[check].answers[answer].rstrip("."))
            for check, answer in log.findings
            if answer != knowledge.checks[check].sound_answer()
        ]
        if not log.usable:
            lines.append(f"We could not use {name}: {log.reason.rstrip('.')}.")
        elif symptoms or faults:
            lines.append(f"From {name}: {'; '.join([*symptoms, *faults][:_MOST_OF_LOG])}.")
        else:
            lines.append(f"From {name}: nothing out of order.")
    return lines


def _unit(figures: Sequence[Figure]) -> str:
    """The unit that the customer writes in."""
    units = [one.unit for one in figures if one.unit in _UNITS]
    return max(units, key=units.count, default="kPa") or "kPa"


def shown_in(kpa: float, unit: str) -> str:
    """A pressure in the customer's own unit first, and in kPa beside it."""
    if unit == "kPa":
        return shown_kpa(kpa)
    value = f"{kpa / KPA_PER[unit]:.{1 if unit == 'psi' else 2}f}".rstrip("0").rstrip(".")
    space = "\N{NO-BREAK SPACE}"
    return f"{value}{space}{unit} ({kpa:.0f}{space}kPa)"


def _said(triage: Triage, kind: str, name: str, answer: str = "", *, short: bool = False) -> str:
    """The words of this message that say it; nothing where none do.

    Each stands with its clause, so that it can be understood by itself; ``short`` leaves out the
    clause where there are words enough without it.
    """
    spans = [
        one
        for one in triage.read.understanding.heard
        if (one.meaning.kind, one.meaning.id) == (kind, name)
        and one.stance in {"said", "guessed"}
        and (not answer or one.meaning.answer == answer)
    ]
    # What stands in the text says more than a subject, and more words more than few.
    spans.sort(key=lambda one: (one.in_subject, one.start - one.end))
    text = triage.read.mail.text if triage.read.mail else ""
    quotes: list[str] = []
    taken: list[tuple[int, int]] = []
    for one in spans:
        if one.in_subject:
            quote = "" if quotes else clean(one.quote, _LONGEST_QUOTE)
        else:
            start, end = _clause(one, text)
            overlaps = any(start < later and earlier < end for earlier, later in taken)
            taken.append((start, end))
            whole = not short or len(one.quote.split()) < _FEW_WORDS
            quote = "" if overlaps else _quote(one, text, start, end, whole)
        if quote:
            quotes.append(f'"{quote}"')
    return " and ".join(quotes[:MOST_REASONS])


def _clause(one: Heard, text: str) -> tuple[int, int]:
    """Where the clause of a quote begins and ends."""
    start, end = one.start, one.end
    earliest, latest = max(0, start - _LONGEST_CLAUSE), min(len(text), end + _LONGEST_CLAUSE)
    while start > earliest and not _ends_clause(text, start - 1):
        start -= 1
    while end < latest and not _ends_clause(text, end):
        end += 1
    return start, end


def _quote(one: Heard, text: str, start: int, end: int, whole: bool) -> str:
    """A quote with as much of its clause as there is room for."""
    if not whole:
        start, end = one.start, one.end
    before, quote, after = (
        " ".join(part.split()) for part in (text[start : one.start], one.quote, text[one.end : end])
    )
    # What one side does not need, the other may have.
    room = max(0, _LONGEST_QUOTE - len(quote))
    earlier = max(room // 2, room - len(after))
    later = max(room // 2, room - len(before))
    words = f"{_tail(before, earlier)} {quote} {_head(after, later)}"
    return clean(words.strip(), 2 * _LONGEST_QUOTE)


def _ends_clause(text: str, at: int) -> bool:
    """Does a clause end here? A line end alone is where a mail program broke the line."""
    if text[at] == "\n":
        return not text[at + 1 : at + 2].strip() or not text[max(0, at - 1) : at].strip()
    return text[at] in _CLAUSE_ENDS and not text[at + 1 : at + 2].isalnum()


def _tail(text: str, room: int) -> str:
    """The last whole words that there is room for."""
    return text if len(text) <= room else f"... {text[len(text) - room :].partition(' ')[2]}"


def _head(text: str, room: int) -> str:
    """The first whole words that there is room for."""
    return text if len(text) <= room else f"{text[:room].rpartition(' ')[0]} ..."


def _likely(consultation: Consultation, triage: Triage, knowledge: Knowledge) -> list[Likely]:
    found: list[Likely] = []
    for name, chance in triage.assessed.causes[:MOST_CAUSES]:
        few = len(found) < LEAST_CAUSES
        if not few and (chance < _LEAST_SHARE or chance < _AS_LIKELY * found[0].probability):
            break
        reasons = _reasons(consultation, name, triage)
        found.append(Likely(knowledge.causes[name], chance, tuple(reasons)))
    return found


def _reasons(consultation: Consultation, cause: str, triage: Triage) -> list[str]:
    """The customer's words that speak for a cause, the heaviest first."""
    if cause not in consultation.network.column:
        return []
    reasons: list[str] = []
    for item in consultation.ranked(cause).why:
        # The complaint itself speaks for all causes alike.
        if item.decibans >= _LEAST_DECIBANS:
            words = _said(triage, "answer", item.check, short=True)
            reasons += [words] if words else []
    return list(dict.fromkeys(reasons))[:MOST_REASONS]


def hose_table(state: State, knowledge: Knowledge) -> tuple[str, ...]:
    """Where every hose, cap and open port of the setup belongs; nothing where it is not known."""
    if state.setup is None:
        return ()
    layout = knowledge.setups[state.setup]

    def end(port: str) -> str:
        part, _, name = port.partition(".")
        title, spoken = knowledge.parts[part].title, name.replace("-", " ")
        return title if title.startswith(spoken) else f"{title}, {spoken}"

    gates = {part for name, part in GATES.items() if name != state.gate and layout.gates}

    def here(*ports: str) -> bool:
        return not any(port.partition(".")[0] in gates for port in ports)

    rows = [
        f"from {end(hose.from_)}, to {end(hose.to)}"
        for hose in layout.hoses.values()
        if state.gate is None or here(hose.from_, hose.to)
    ]
    for word, ports in (("open to the air", layout.open), ("capped", layout.capped)):
        rows += [f"{word}: {end(port)}" for port in ports if state.gate is None or here(port)]
    return tuple(rows)


def photos(state: State, knowledge: Knowledge) -> tuple[str, ...]:
    """What to photograph: the bay, and every port that matters in this setup."""
    wanted = ["the whole engine bay"]
    if state.answers(HOSES) == ("matches",):
        return ()
    if state.setup is None:
        return (*wanted, "each boost hose from end to end", "every port of the gate and solenoid")
    layout = knowledge.setups[state.setup]
    ends = [end for hose in layout.hoses.values() for end in (hose.from_, hose.to)]
    parts = dict.fromkeys(port.partition(".")[0] for port in [*ends, *layout.open, *layout.capped])
    for part in parts:
        ports = dict.fromkeys(
            port.partition(".")[2]
            for port in [*ends, *layout.open, *layout.capped]
            if port.startswith(f"{part}.")
        )
        named = ", ".join(one.replace("-", " ") for one in ports)
        title = knowledge.parts[part].title
        wanted.append(title if named in title else f"{title} ({named})")
    return tuple(wanted)
