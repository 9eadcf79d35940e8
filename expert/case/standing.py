"""What of a case still stands after its repairs.

A repair is new work. What was seen before it was seen with the fault in place: it still counts as
evidence, together with that fault, but it is no longer the state of the car where it was dangerous
or unsound and the mended cause explains it.
"""

from __future__ import annotations

from dataclasses import replace

from expert.case.state import Finding, State
from expert.model import Knowledge

# A share of cars from which a mended cause is taken to explain what was seen.
EXPLAINS = 0.3

# Asked again after every repair, whatever was said before.
RENEWED = frozenset({"hose-trace", "red-flags"})


def current(knowledge: Knowledge, state: State) -> State:
    """The state with only what still describes the car as it is now.

    Checks that take a tool which the owner lacks are set aside. After a repair what is left is
    what has been seen since, and what was sound before; the hoses, the red flags and every reading
    of boost are to be seen again.
    """
    if state.lacking:
        beyond = [
            name for name, check in knowledge.checks.items() if state.lacking & {*check.tools}
        ]
        state = replace(state, set_aside=state.set_aside.union(beyond))
    if state.epoch == 0:
        return state
    latest = {finding.check: finding for finding in sorted(state.findings, key=_epoch)}
    kept = [
        finding
        for finding in state.findings
        if latest[finding.check] is finding
        and (finding.epoch == state.epoch or _lasts(knowledge, finding))
    ]
    return replace(state, findings=tuple(kept))


def _epoch(finding: Finding) -> int:
    return finding.epoch


def _lasts(knowledge: Knowledge, finding: Finding) -> bool:
    check = knowledge.checks.get(finding.check)
    if check is None or finding.check in RENEWED or check.records_boost:
        return False
    return check.kind == "history" or finding.answers == (check.sound_answer(),)


def standing_findings(knowledge: Knowledge, state: State) -> list[tuple[Finding, str]]:
    """Every answer that stands, one by one: the latest of its check, not mended since."""
    latest = {finding.check: finding for finding in sorted(state.findings, key=_epoch)}
    return [
        (finding, answer)
        for finding in state.findings
        if latest[finding.check] is finding and finding.check in knowledge.checks
        for answer in finding.answers
        if not any(
            _explains(knowledge, cause, finding.check, answer)
            for cause in state.mended[finding.epoch :]
        )
    ]


def standing_symptoms(knowledge: Knowledge, state: State) -> list[str]:
    """The complaints that stand: all, but for those a repair under test would explain."""
    if not state.verifying:
        return list(state.symptoms)
    mended = state.mended[-1]
    return [
        symptom
        for symptom in state.symptoms
        if symptom in knowledge.symptoms
        and knowledge.symptoms[symptom].causes.get(mended, 0.0) < EXPLAINS
    ]


def _explains(knowledge: Knowledge, cause: str, check: str, answer: str) -> bool:
    given = knowledge.checks[check].given.get(cause, {})
    return given.get(answer, 0.0) >= EXPLAINS
