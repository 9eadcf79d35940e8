"""Readings of logs that show nothing or two things, and bounds that no number lies between."""

from __future__ import annotations

from expert.loading.linking.context import Context
from expert.loading.reading import unknown
from expert.model import Bounds, LogReading


def check_readings(context: Context) -> None:
    """Note readings that show nothing or two things, and bounds that no number lies between."""
    for name, reading in context.sound("reading", context.readings):
        _check_target(name, reading, context)
        if not reading.when:
            context.at_key("expected at least one measured value", "reading", name, "when")
        for key, field in (("when", reading.when), ("if-measured", reading.if_measured)):
            for feature, bounds in field.items():
                _check_bounds(bounds, ("reading", name, key, feature), context)
        for feature in reading.if_measured:
            if feature in reading.when:
                found = f"'{feature}' has bounds in 'when' already; write both there"
                context.at_key(found, "reading", name, "if-measured", feature)


def _check_target(name: str, reading: LogReading, context: Context) -> None:
    if reading.symptom is not None:
        for field in ("check", "answer"):
            if getattr(reading, field) is not None:
                found = f"a reading that shows a symptom has no '{field}'; delete it"
                context.at_key(found, "reading", name, field)
        return
    if reading.check is None:
        wanted = "expected 'check:' with 'answer:', or 'symptom:'"
        context.at_key(wanted, "reading", name)
        return
    if reading.answer is None:
        context.at_key("'answer' is missing here; add it", "reading", name)
        return
    check = context.checks.get(reading.check)
    if check is None or not context.is_sound("check", reading.check):
        return
    if check.kind == "history":
        found = "a history check is asked, not measured; expected another check"
        context.at_value(found, "reading", name, "check")
    elif reading.answer not in check.answers:
        what = context.answer_of(reading.check)
        found = unknown(what, reading.answer, check.answers)
        context.at_value(found, "reading", name, "answer")


def _check_bounds(bounds: Bounds, where: tuple[str, str, str, str], context: Context) -> None:
    if bounds.above is None and bounds.up_to is None:
        context.at_key("expected 'above:', 'up-to:' or both", *where)
    elif (
        isinstance(bounds.above, float)
        and isinstance(bounds.up_to, float)
        and bounds.up_to <= bounds.above
    ):
        found = f"nothing is above {bounds.above:g} and at most {bounds.up_to:g}"
        context.at_value(f"{found}; expected a higher 'up-to'", *where, "up-to")
