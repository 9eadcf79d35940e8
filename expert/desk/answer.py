"""The letter that answers a triaged message: what the desk knows, handed to the draft."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from expert.case.car import GATES
from expert.case.consult import Consultation
from expert.case.offer import Offer
from expert.case.safety import HOSES
from expert.case.state import State
from expert.case.steps import FIRST
from expert.desk.triage import MOST_QUESTIONS, Query, Triage
from expert.evidence.mail.understood import Heard
from expert.export.reply import Letter, Likely, Shop
from expert.model import Knowledge
from expert.text import clean
from expert.units import shown_kpa

MOST_CAUSES: Final = 3
MOST_REASONS: Final = 2
RUN: Final = "zero-duty-log"
# A cause below this share is not worth frightening anybody with.
_FIRST: Final = FIRST | {"", "worked-on", "when-worst"}
_LEAST_SHARE: Final = 0.06
# A customer's own words count as a reason from so many decibans on: odds of about 1.6 to one.
_LEAST_DECIBANS: Final = 2.0
_LONGEST_QUOTE: Final = 70
_MOST_UNDERSTOOD: Final = 9


def letter_of(triage: Triage, knowledge: Knowledge, shop: Shop) -> Letter:
    """What the reply to a message has to say; no check is in it that was not offered."""
    state, assessed = triage.state, triage.assessed
    consultation = assessed.consultation
    top = assessed.causes[0] if assessed.causes else None
    concluded = None
    if top is not None and consultation is not None and state.setup is not None:
        concluded = knowledge.causes[top[0]] if consultation.may_conclude(top[0]) else None
    check = None if concluded else _next_check(triage)
    asked = [
        _with_answers(one, consultation, knowledge)
        for one in triage.queries
        if (check is None or one.check != check.id) and not (concluded and one.check not in _FIRST)
    ][: MOST_QUESTIONS - (check is not None)]
    mail = triage.read.mail
    logs = [one for one in (mail.attachments if mail else ()) if one.table]
    return Letter(
        drive=assessed.drive,
        because=assessed.because,
        understood=tuple(understood(triage, knowledge)),
        likely=tuple(_likely(consultation, triage, knowledge)) if consultation else (),
        check=check,
        questions=tuple(asked),
        pull=consultation.offer(RUN) if consultation and RUN in consultation.open_checks else None,
        photos=photos(state, knowledge) if consultation else (),
        log_wanted=consultation is not None and not logs and assessed.drive != "stop",
        vague=not state.symptoms,
        shop=shop,
        concluded=concluded,
        hoses=hose_table(state, knowledge) if check is not None and check.id == HOSES else (),
        causes=frozenset(consultation.network.causes) if consultation else frozenset(),
    )


def _with_answers(query: Query, consultation: Consultation | None, knowledge: Knowledge) -> str:
    """A question with the answers to choose from, so that a line will do for a reply."""
    check = knowledge.checks.get(query.check)
    if check is None:
        return query.ask
    causes = consultation.network.causes if consultation else list(knowledge.causes)
    answers = check.answers_for(causes)
    sound = check.sound_answer()
    texts = {name: text.rstrip(".") for name, text in answers.items()}
    if check.kind == "nominal" and sound in texts:
        ending = texts.pop(sound)
        flags = "; ".join(text[:1].lower() + text[1:] for text in texts.values())
        return f"{query.ask} Any of these: {flags}? Or: {ending[:1].lower()}{ending[1:]}?"
    return f"{query.ask} (To choose from: {'; '.join(texts.values())}.)"


def _next_check(triage: Triage) -> Offer | None:
    """The one check: the first to ask that takes work; red flags and history are asked in words."""
    return next((item for item in triage.assessed.offers if item.id not in _FIRST), None)


def understood(triage: Triage, knowledge: Knowledge) -> list[str]:
    """What was understood, in sentences with the customer's own words."""
    told, state = triage.read.understanding, triage.state
    lines = []
    for name in state.symptoms:
        words = _quotes(told.heard, "symptom", name)
        lines.append(f"{knowledge.symptoms[name].title}{words}.")
    if state.setup is not None:
        lines.append(f"Your setup: {knowledge.setups[state.setup].title}.")
    pressures = (
        ("The spring in the gate", state.spring_kpa),
        ("The boost you want", state.target_kpa),
        ("The boost you see", told.boost_kpa),
    )
    lines += [f"{label}: {shown_kpa(kpa)}, above outside air." for label, kpa in pressures if kpa]
    for finding in state.findings:
        check = knowledge.checks.get(finding.check)
        if check is None or not finding.answers:
            continue
        said = "; ".join(check.answers.get(answer, answer) for answer in finding.answers)
        words = _quotes(told.heard, "answer", finding.check).strip(" ()")
        lines.append(f"{words}: we take that as: {said}." if words else f"{check.ask} {said}.")
    return lines[:_MOST_UNDERSTOOD]


def _quotes(heard: Sequence[Heard], kind: str, name: str) -> str:
    """The words that say it, in brackets; nothing where no words of this message do."""
    spans = [
        one
        for one in heard
        if (one.meaning.kind, one.meaning.id) == (kind, name) and one.stance in {"said", "guessed"}
    ]
    found = [
        f'"{clean(one.quote, _LONGEST_QUOTE)}"'
        for one in spans
        if not any(
            other.quote != one.quote and other.start <= one.start and one.end <= other.end
            for other in spans
        )
    ]
    return f" ({', '.join(dict.fromkeys(found[:2]))})" if found else ""


def _likely(consultation: Consultation, triage: Triage, knowledge: Knowledge) -> list[Likely]:
    found: list[Likely] = []
    for name, chance in triage.assessed.causes[:MOST_CAUSES]:
        if chance < _LEAST_SHARE and found:
            break
        reasons = _reasons(consultation, name, triage, knowledge)
        found.append(Likely(knowledge.causes[name], chance, tuple(reasons)))
    return found


def _reasons(
    consultation: Consultation, cause: str, triage: Triage, knowledge: Knowledge
) -> list[str]:
    """The customer's words that speak for a cause, the heaviest first."""
    if cause not in consultation.network.column:
        return []
    reasons: list[str] = []
    for item in consultation.ranked(cause).why:
        if item.decibans < _LEAST_DECIBANS or len(reasons) == MOST_REASONS:
            continue
        # The complaint itself speaks for all causes alike.
        words = _quotes(triage.read.understanding.heard, "answer", item.check)
        if words:
            reasons.append(words.strip(" ()"))
    return list(dict.fromkeys(reasons))[:MOST_REASONS]


def hose_table(state: State, knowledge: Knowledge) -> tuple[str, ...]:
    """Where every hose, cap and open port of the setup belongs; what to do where it is unknown."""
    if state.setup is None:
        return ("We send it when we know your setup; photographs will do until then.",)
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
