"""Causes whose fields do not fit each other, or the answers of the checks they name."""

from __future__ import annotations

from expert.loading.forms import AS_DESIGNED
from expert.loading.linking.context import Context
from expert.model import Cause

WORKED_ON = "worked-on"


def check_causes(context: Context) -> None:
    """Note stop causes without harm, as-designed causes without evidence, unknown areas."""
    worked_on = context.checks.get(WORKED_ON)
    areas = worked_on.answers if worked_on and context.is_sound("check", WORKED_ON) else None
    for name, cause in context.sound("cause", context.causes):
        _check_danger(name, cause, context)
        _check_shown_by(name, cause, context)
        if areas is not None:
            context.unknown_items("the area", cause.work, areas, ("cause", name, "work"))


def _check_danger(name: str, cause: Cause, context: Context) -> None:
    if cause.danger == "stop" and cause.harm is None:
        found = "a stop cause does harm; add 'harm:' overpressure or mechanical"
        context.at_value(found, "cause", name, "danger")
    elif cause.danger != "stop" and cause.harm is not None:
        found = f"harm belongs to a stop cause; the danger here is {cause.danger}"
        context.at_key(found, "cause", name, "harm")


def _check_shown_by(name: str, cause: Cause, context: Context) -> None:
    as_designed = name.startswith(AS_DESIGNED)
    if as_designed and not cause.shown_by:
        context.at_key(
            "an as-designed cause is only named on evidence; add 'shown-by:' with a check and"
            " its answers",
            "cause",
            name,
        )
    elif cause.shown_by and not as_designed:
        found = f"'shown-by' belongs to causes whose id begins with {AS_DESIGNED}"
        context.at_key(found, "cause", name, "shown-by")
    for check_name, answers in cause.shown_by.items():
        where = ("cause", name, "shown-by", check_name)
        if not answers:
            context.at_key("no answer is named here; name one or more", *where)
        if context.is_sound("check", check_name):
            what = context.answer_of(check_name)
            context.unknown_items(what, answers, context.checks[check_name].answers, where)
