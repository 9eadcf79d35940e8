"""Answers that nothing in the knowledge makes use of."""

from __future__ import annotations

from expert.loading.linking.context import Context
from expert.loading.reading import quoted


def check_answers(context: Context, branched: set[tuple[str, str]]) -> None:
    """Note answers that no tree branches on and no cause gives: they would change nothing.

    The answers of a history check choose priors, and a dangerous answer of a nominal check (a red
    flag) speaks for itself. ``branched`` holds the check and answer of every branch of a tree.
    """
    if not (context.complete("cause") and context.complete("symptom")):
        return
    used = set(branched)
    for cause in context.causes.values():
        for check_name, answers in cause.shown_by.items():
            used.update((check_name, answer) for answer in answers)
    for name, check in context.checks.items():
        if check.kind == "history" or not context.fits("check", name):
            continue
        given = set().union(*check.given.values())
        sound = check.sound_answer()
        for answer in check.answers:
            if answer in given or answer == sound or (name, answer) in used:
                continue
            if check.kind == "nominal" and check.danger.get(answer, "none") != "none":
                continue
            found = f"no cause gives the answer {quoted(answer)} and no tree branches on it"
            context.at_key(
                f"{found}; name it in 'given', or delete it", "check", name, "answers", answer
            )
