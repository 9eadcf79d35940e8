"""The question that belongs to the next step of a consultation."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from expert.case.consult import Consultation
from expert.case.events import Answered, Confirmed, Event, Mended, Persists, RuledOut, SetAside
from expert.case.measured import measured_answer, reads_pressure
from expert.case.offer import Offer
from expert.case.safety import HOSES, RED_FLAGS
from expert.case.state import State
from expert.case.steps import AskStep, ConcludeStep, Step, VerifyStep, WorkshopStep
from expert.model import Check
from expert.ui import show_check, show_end
from expert.ui.protocol import Paragraph, Steps
from expert.ui.question import Question, TakeUp
from expert.ui.reading import Expected, Given, MisreadError, Reading, Typed
from expert.units import parse_kpa, parse_percent

MENDED = "mended"
NOT_IT = "not-it"
GONE = "gone"
STILL_THERE = "still-there"

_CLEARS = Paragraph(
    "A run under load would tell most now, but must not be made yet. This may clear the way for it."
)


def question_of(consultation: Consultation, step: Step) -> Question:
    """What to ask for this step."""
    match step:
        case AskStep(offer):
            question = check_question(consultation, offer)
            return replace(question, intro=(*question.intro, _CLEARS)) if step.clears else question
        case ConcludeStep():
            return _conclusion(consultation, step)
        case VerifyStep():
            return _verification(consultation, step)
        case WorkshopStep():
            return _workshop(consultation, step)


def check_question(consultation: Consultation, offer: Offer) -> Question:
    """A check to do now."""
    check = offer.check
    several = check.takes_several()
    alone = next(iter(check.answers)) if check.kind == "nominal" else None
    hints = []
    if several:
        hints.append("Several may be true: put commas between.")
    if check.measure is not None:
        hints.append("Your reading with its unit will do as well, such as 85 kPa or 12 psi.")
    hints.append("or: unknown, skip, back, how, why, help")
    return Question(
        prompt="Your answer",
        ask=check.ask,
        expected=Expected(
            show_check.answers(consultation, offer.id),
            several,
            alone,
            reading=check.measure is not None,
        ),
        hear=partial(_hear_check, check, offer.id, consultation.state.spring_kpa),
        unknown=lambda: Answered(offer.id, ()),
        skip=lambda: SetAside(offer.id),
        how=lambda: show_check.steps(check, several),
        why=lambda: show_check.reasons(consultation, offer.id),
        check=offer.id,
        intro=tuple(show_check.offered(consultation, offer, with_hoses=offer.id == HOSES)),
        hints=tuple(hints),
    )


def _hear_check(check: Check, check_id: str, spring_kpa: float | None, typed: Typed) -> Event:
    if isinstance(typed, Given):
        return Answered(check_id, typed.answers)
    if check.measure is None or not isinstance(typed, Reading):
        raise MisreadError("Type a number or a word from the list.")
    parse = parse_kpa if reads_pressure(check.measure) else parse_percent
    return Answered(check_id, (measured_answer(check.measure, parse(typed.text), spring_kpa),))


def _refuse(text: str) -> Callable[[], Event]:
    def refuse() -> Event:
        raise MisreadError(text)

    return refuse


def _conclusion(consultation: Consultation, step: ConcludeStep) -> Question:
    cause = step.cause.id
    later = _refuse("Take your time: type leave, and go on from here when you have looked.")

    def hear(typed: Typed) -> Event:
        return Mended(cause) if typed == Given((MENDED,)) else RuledOut(cause)

    answers = {
        MENDED: "It was that, and it is mended now",
        NOT_IT: "I looked closely, and it is sound",
    }
    return Question(
        prompt="Your answer",
        ask="Have you looked? Was it that?",
        expected=Expected(answers),
        hear=hear,
        unknown=later,
        skip=later,
        how=lambda: [Paragraph(step.cause.cause.confirm)],
        why=lambda: show_end.evidence(consultation, step),
        late=lambda: show_end.firm(consultation),
        intro=tuple(show_end.conclusion(consultation, step)),
        hints=(
            "Not looked or not mended yet? Type leave, and go on when it is done.",
            "or: back, how, why, ranking, help",
        ),
    )


def _verification(consultation: Consultation, step: VerifyStep) -> Question:
    """Whether the repair was all; the run that shows it may be taken up as a check."""
    answers = {GONE: "The trouble is gone", STILL_THERE: "It is still there, or part of it"}
    if isinstance(step.run, Offer):
        answers[step.run.id] = "Make the run and record it first"
    later = _refuse("Take your time: type leave, and go on from here when you know.")

    def hear(typed: Typed) -> Event | TakeUp:
        if typed == Given((GONE,)):
            return Confirmed(step.cause)
        if typed == Given((STILL_THERE,)):
            return Persists()
        if isinstance(typed, Given):
            return TakeUp(typed.answers[0])
        raise MisreadError("Type a number or a word from the list.")

    return Question(
        prompt="Your answer",
        ask="Is the trouble gone?",
        expected=Expected(answers),
        hear=hear,
        unknown=later,
        skip=later,
        how=lambda: [
            Paragraph("Do what showed the trouble before, with the same gear, speed and weather.")
        ],
        why=lambda: [
            Paragraph("A second fault can hide behind the first; a case ends when it runs right.")
        ],
        intro=tuple(show_end.verification(consultation, step)),
        hints=("or: leave, back, how, why, status, help",),
    )


_AFTER_ALL = "Or can you do one of these after all?"
_WHEN_MENDED = "When a workshop has mended that, answer the red flags again."


def _workshop(consultation: Consultation, step: WorkshopStep) -> Question:
    """The end of what can be asked, but for the checks that were skipped or not known."""
    state = consultation.state
    unknown = [item.check for item in state.findings if not state.answers(item.check)]
    hands_off = bool(consultation.gate.hands_off)
    left = [RED_FLAGS] if hands_off else [*sorted(state.set_aside), *unknown]
    checks = consultation.knowledge.checks
    parts = consultation.network.parts
    answers = {
        name: checks[name].ask for name in left if name in checks and checks[name].fits(parts)
    }
    nothing = _refuse("There is nothing more to answer here. Type leave, back or help.")

    def hear(typed: Typed) -> Event | TakeUp:
        if isinstance(typed, Given):
            return TakeUp(typed.answers[0])
        raise MisreadError("There is nothing more to answer here. Type leave, back or help.")

    return Question(
        prompt="Your answer" if answers else "What now",
        ask=_WHEN_MENDED if hands_off else _AFTER_ALL if answers else "Nothing is left to ask.",
        expected=Expected(answers),
        hear=hear,
        unknown=nothing,
        skip=nothing,
        how=lambda: [Paragraph("Show or read them the list above; status shows it again.")],
        why=lambda: [Paragraph(f"Because {step.because}.")],
        intro=tuple(show_end.workshop(consultation, step)),
        hints=("or: leave, back, ranking, status, help",),
    )


def taken_up(
    consult: Callable[[State], Consultation], now: Consultation, check_id: str
) -> Question:
    """A check that the owner chose, as if it had never been asked or set aside.

    It passes the same gate as any other; when it must not be done now, the question is that of
    the next step, with the reason in front.
    """
    state = now.state
    others = tuple(item for item in state.findings if item.check != check_id)
    fresh = replace(state, findings=others, set_aside=state.set_aside - {check_id})
    consultation = consult(fresh)
    offer = consultation.offer(check_id)
    if isinstance(offer, Offer):
        return check_question(consultation, offer)
    question = question_of(now, now.step)
    refusal = Steps(f"{check_id} must not be done yet", offer.because)
    return replace(question, intro=(refusal, *question.intro))
