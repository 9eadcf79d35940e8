"""What logs show, as events of a case, and what it means for driving."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from expert.case.car import parts_of
from expert.case.consult import Consultant, Consultation
from expert.case.events import Answered, Described, Event
from expert.case.safety import Verdict, standing_dangers
from expert.case.state import State, advanced, fold
from expert.errors import UsageError
from expert.evidence.log.findings import standing_answers
from expert.evidence.log.overrides import Override
from expert.evidence.log.read import Terms, Testimony
from expert.model import DANGERS, Knowledge

# The answer that says that a hand controller stands at its lowest setting.
_LOWEST: Final = ("manual-controller", "lowest")


def terms_of(
    knowledge: Knowledge,
    state: State,
    channels: Mapping[str, Override] | None = None,
    lowest: bool = False,
) -> Terms:
    """How logs of the car of a state are to be read. Raises UsageError without a setup."""
    if state.setup is None:
        raise UsageError("A log is judged by the car it comes from; name its setup with --setup.")
    check, answer = _LOWEST
    return Terms(
        parts=parts_of(knowledge, state.setup, state.gate, state.bypass),
        spring_kpa=state.spring_kpa,
        target_kpa=state.target_kpa,
        channels=channels or {},
        lowest=lowest or answer in state.answers(check),
    )


def with_logs(told: Sequence[Event], shown: Sequence[Event]) -> list[Event]:
    """What was told of a car and what its logs show; an answer that was told goes last."""
    first = [event for event in told if not isinstance(event, Answered)]
    return [*first, *shown, *(event for event in told if isinstance(event, Answered))]


def log_events(knowledge: Knowledge, testimonies: Sequence[Testimony]) -> list[Event]:
    """The symptoms and answers of some logs of one car, the gravest log first.

    Where logs answer a check differently, its gravest answer counts, or all flags that were seen.
    """
    symptoms = [
        shown.symptom
        for one in sorted(testimonies, key=lambda one: -_gravity(knowledge, one))
        for shown in one.symptoms
    ]
    answers: dict[str, list[str]] = {}
    for one in testimonies:
        for finding in one.findings:
            answers.setdefault(finding.check, []).append(finding.answer)
    return [
        *(Described("symptom", symptom) for symptom in dict.fromkeys(symptoms)),
        *(
            Answered(check, standing_answers(knowledge.checks[check], given), "log")
            for check, given in answers.items()
        ),
    ]


def news(events: Sequence[Event], more: Sequence[Event]) -> list[Event]:
    """Of ``more``, what the events of a case do not say already."""
    state, kept = fold(events), []
    for event in more:
        if isinstance(event, Answered):
            known = state.finding(event.check)
            same = known is not None and known.answers == event.answers
            if same and known is not None and known.epoch == state.epoch:
                continue
        after = advanced(state, event)
        if after != state:
            kept.append(event)
            state = after
    return kept


def _gravity(knowledge: Knowledge, one: Testimony) -> int:
    main = [DANGERS.index(knowledge.symptoms[shown.symptom].danger) for shown in one.symptoms[:1]]
    return max(main, default=0)


def looked_at(consultant: Consultant, state: State) -> Consultation | None:
    """The consultation of a state, or None while there is no complaint."""
    return consultant.consult(state) if state.symptoms else None


def drive_of(consultant: Consultant, state: State) -> Verdict:
    """The drive verdict; without a complaint, what the answers alone say."""
    consultation = looked_at(consultant, state)
    if consultation is not None:
        return consultation.verdict
    dangers = standing_dangers(consultant.knowledge, state)
    for worst in ("stop", "caution"):
        because = tuple(sentence for danger, sentence in dangers if danger == worst)
        if because:
            return Verdict("stop" if worst == "stop" else "caution", because)
    return Verdict("ok", ())
