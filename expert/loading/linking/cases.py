"""Known cases that do not fit the setups, checks and causes that they name."""

from __future__ import annotations

from expert.loading.linking.context import Context
from expert.loading.reading import quoted, unknown
from expert.model import GATES, UNKNOWN, KnownCase


def check_cases(context: Context) -> None:
    """Note cases whose gate, checks, answers, causes or counterparts do not fit."""
    for name, case in context.sound("case", context.cases):
        parts = _parts(name, case, context)
        if not case.symptoms:
            context.at_key("expected at least one symptom", "case", name, "symptoms")
        _check_answers(name, case, parts, context)
        _check_expected(name, case, parts, context)
        _check_unlike(name, case, context)


def _parts(name: str, case: KnownCase, context: Context) -> set[str] | None:
    """The parts of the car, or None where they cannot be told."""
    setup = context.setups.get(case.setup)
    if setup is None or not context.is_sound("setup", case.setup):
        return None
    parts = set(setup.parts)
    if case.gate is None and setup.gates:
        message = f"the setup {case.setup} leaves its gate open; add 'gate:' internal or external"
        context.at_key(message, "case", name, "setup")
        return None
    if case.gate is not None:
        gate = GATES[case.gate]
        if gate not in parts and gate not in setup.gates:
            message = f"the setup {case.setup} has no {case.gate} gate"
            context.at_value(message, "case", name, "gate")
            return None
        parts.add(gate)
    bypass = context.bypasses.get(case.bypass) if case.bypass else None
    return parts.union(bypass.parts if bypass else ())


def _check_answers(name: str, case: KnownCase, parts: set[str] | None, context: Context) -> None:
    for check_name, answers in case.answers.items():
        check = context.checks.get(check_name)
        if check is None or not context.is_sound("check", check_name):
            continue
        where = ("case", name, "answers", check_name)
        if parts is not None and not check.fits(parts):
            lacks = ", ".join(part for part in check.needs if part not in parts)
            context.at_key(f"this car cannot do the check: it lacks {lacks}", *where)
        what = context.answer_of(check_name)
        known = [*check.answers, UNKNOWN]
        for answer in answers:
            if answer not in known:
                context.at_value(unknown(what, answer, known), *where)
        sole = {UNKNOWN} if check.kind != "nominal" else {UNKNOWN, check.sound_answer()}
        if len(answers) > 1 and not (check.takes_several() and sole.isdisjoint(answers)):
            context.at_value("these answers cannot be given together", *where)


def _check_expected(name: str, case: KnownCase, parts: set[str] | None, context: Context) -> None:
    cause = context.causes.get(case.expect.cause)
    if cause is None or parts is None:
        return
    lacks = ", ".join(part for part in cause.needs if part not in parts)
    if lacks:
        message = f"this car cannot have that cause: it lacks {lacks}"
        context.at_value(message, "case", name, "expect", "cause")
    if case.expect.cause in case.expect.never:
        message = "the expected cause is among those that must never be named"
        context.at_value(message, "case", name, "expect", "never")


def _check_unlike(name: str, case: KnownCase, context: Context) -> None:
    other = context.cases.get(case.unlike) if case.unlike else None
    if other is not None and other.expect.cause == case.expect.cause:
        message = f"both cases end at {quoted(case.expect.cause)}; name one that ends elsewhere"
        context.at_value(message, "case", name, "unlike")
