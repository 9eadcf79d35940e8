"""Checks whose answers, kind and probabilities do not fit each other."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import pairwise
from typing import Final

from expert.loading.linking.context import Context
from expert.loading.reading import listed
from expert.model import Check

# Sums of decimal fractions are off by less than this.
_TOLERANCE: Final = 1e-9


def check_checks(context: Context) -> None:
    """Note unknown answers, kinds that do not fit, and probabilities that sum over 1."""
    for name, check in context.sound("check", context.checks):
        if len(check.answers) < 2:
            context.at_key("expected at least two answers", "check", name, "answers")
            continue
        if check.kind == "two-sided":
            sound = _check_channels(name, check, context)
        else:
            sound = next(iter(check.answers))
            _check_one_sided(name, check, context)
        context.unknown_keys("the answer", check.danger, check.answers, ("check", name, "danger"))
        context.unknown_items(
            "the answer", check.hands_off, check.answers, ("check", name, "hands-off")
        )
        context.unknown_keys("the answer", check.says, check.answers, ("check", name, "says"))
        _check_measure(name, check, context)
        if sound is not None:
            _check_shares(name, check, sound, context)


def _check_channels(name: str, check: Check, context: Context) -> str | None:
    """Check low, high and both; the answer of a sound car, or None when it is not clear."""
    for field in ("low", "high"):
        answers = getattr(check, field)
        where = ("check", name, field)
        if not answers:
            context.at_key(f"a two-sided check names its {field} answers; add '{field}:'", *where)
            return None
        context.unknown_items("the answer", answers, check.answers, where)
    for index, answer in enumerate(check.high):
        if answer in check.low:
            found = f"'{answer}' is a low answer already; expected it in one of the two"
            context.at_value(found, "check", name, "high", index)
            return None
    middle = [answer for answer in check.answers if answer not in {*check.low, *check.high}]
    if len(middle) != 1:
        found = listed(middle) if middle else "none"
        context.at_key(
            "a two-sided check has one healthy answer, which is neither low nor high;"
            f" found {found}",
            *("check", name, "answers"),
        )
        return None
    context.unknown_keys("the answer", check.both, check.answers, ("check", name, "both"))
    total = sum(check.both.values())
    if abs(total - 1) > _TOLERANCE:
        found = f"these sum to {total:.4g}" if check.both else "'both' is missing"
        wanted = "expected what is read when a low and a high fault are both there, summing to 1"
        context.at_key(f"{found}; {wanted}", "check", name, "both")
    return middle[0]


def _check_one_sided(name: str, check: Check, context: Context) -> None:
    for field in ("low", "high", "both"):
        if getattr(check, field):
            found = f"'{field}' belongs to a two-sided check; this one is {check.kind}"
            context.at_key(found, "check", name, field)
    if check.several and check.kind != "history":
        found = f"'several' belongs to a history check; this one is {check.kind}"
        context.at_key(found, "check", name, "several")
    if check.kind == "history":
        for field in ("healthy", "given"):
            if getattr(check, field):
                found = f"a history check is no evidence and has no '{field}'; delete it"
                context.at_key(found, "check", name, field)


def _check_shares(name: str, check: Check, sound: str, context: Context) -> None:
    """Check `healthy` and each row of `given`: their answers, and that they sum to 1 at most."""
    unsound = check.answers.keys() - {sound}
    channels: tuple[Iterable[str], ...] = (unsound,)
    if check.kind == "two-sided":
        channels = (check.low, check.high)
    elif check.kind == "nominal":
        channels = ()
    rows: list[tuple[tuple[str, ...], Mapping[str, float]]] = [(("healthy",), check.healthy)]
    rows.extend((("given", cause), row) for cause, row in check.given.items())
    for path, row in rows:
        if not row.keys() <= unsound:
            _report_answers(row, sound, check, ("check", name, *path), context)
        # Only a row with more than one share can sum over 1.
        if len(row) > 1:
            for channel in channels:
                total = sum(row.get(answer, 0.0) for answer in channel)
                if total > 1 + _TOLERANCE:
                    found = f"these sum to {total:.4g}; expected at most 1"
                    context.at_key(found, "check", name, *path)


def _report_answers(
    row: Mapping[str, float],
    sound: str,
    check: Check,
    where: tuple[str, str, *tuple[str, ...]],
    context: Context,
) -> None:
    context.unknown_keys("the answer", row, check.answers, where)
    if sound in row:
        found = f"'{sound}' is the healthy answer, which has what the others leave; delete it"
        context.at_key(found, *where, sound)


def _check_measure(name: str, check: Check, context: Context) -> None:
    measure = check.measure
    if measure is None:
        return
    where = ("check", name, "measure")
    context.unknown_keys("the answer", measure.up_to, check.answers, (*where, "up-to"))
    context.unknown_items("the answer", [measure.above], check.answers, (*where, "above"))
    if measure.above in measure.up_to:
        found = f"'{measure.above}' has an upper edge already; expected another answer"
        context.at_value(found, *where, "above")
    for (_, lower), (answer, upper) in pairwise(measure.up_to.items()):
        if upper <= lower:
            found = f"the edge {upper:g} is not over {lower:g}; expected rising edges"
            context.at_value(found, *where, "up-to", answer)
