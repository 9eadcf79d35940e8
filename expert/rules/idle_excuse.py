"""Excuses that name no rule, or that nothing needs any more."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from expert.rules.ids import FORM, GAPS, IDLE_EXCUSE
from expert.rules.prose import KINDS
from expert.rules.rule import Hit, Rule, Subject
from expert.rules.words import Near


def rule(others: Iterable[str]) -> Rule:
    """The rule over the excuses from the rules with these ids."""
    known = frozenset({*others, *GAPS})
    near = Near(known)

    def find(subject: Subject) -> Iterator[Hit]:
        found = {(one.rule, one.entry) for one in subject.earlier}
        for kind, name, excuses in _excuses(subject):
            for excuse in excuses:
                message = None
                if excuse not in known:
                    close = near.of(excuse)
                    hint = f"did you mean '{close[0]}'?" if close else "see docs/rules.md"
                    message = f"no rule and no gap is called '{excuse}'; {hint}"
                elif excuse in subject.ran and (excuse, (kind, name)) not in found:
                    message = f"the rule '{excuse}' finds nothing here; delete the excuse"
                if message:
                    yield Hit(subject.places.of(kind, name, "excused", excuse), message)

    return Rule(
        id=IDLE_EXCUSE,
        severity="warning",
        summary="an excuse names no rule, or there is nothing left to excuse",
        why=(
            "An excuse that outlives its reason hides the next mistake of that kind. Excuses from"
            f" what `gatepost knowledge gaps` finds are not judged here, nor is `{FORM}` excusable."
        ),
        wrong={"causes/seal.yaml": f"{_CAUSE}  excused:\n    long-tekst: It is a quotation.\n"},
        right={"causes/seal.yaml": f"{_CAUSE}  excused:\n    unconfirmed: Take it apart.\n"},
        find=find,
        after_all=True,
    )


def _excuses(subject: Subject) -> Iterator[tuple[str, str, Mapping[str, str]]]:
    for kind, field in KINDS.items():
        for name, entry in getattr(subject.knowledge, field).items():
            excuses: Mapping[str, str] = getattr(entry, "excused", {})
            if excuses:
                yield kind, name, excuses


_CAUSE = """\
seal-leaks:
  title: Seal of the sensor leaks
  what: Air whistles past it.
  seen: {just-fitted: common, settled: rare}
  danger: none
  confirm: Wet it and look for bubbles.
  fix: Fit a new one.
  minutes: 10
  parts: low
  basis: common practice
"""
