"""Work that is hot, pressurised, raised or running, without the caution for it."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import Final, NamedTuple

from expert.model import Check
from expert.rules.rule import Hit, Rule, Subject

# Ids of tools, preparations and cautions as the shipped files have them; a caution that the
# knowledge does not hold is not asked for.
BY_TOOL: Final[Mapping[str, str]] = {
    "air-regulator": "pressurised-air",
    "smoke-machine": "spark-hazard",
    "fused-lead": "electric-supply",
    "jack-and-stands": "under-car",
}
BY_PREPARATION: Final[Mapping[str, str]] = {"car-raised": "under-car"}
LOADED: Final = "road-run"


class Words(NamedTuple):
    """What a sentence says is done, and the cautions of which one must be there.

    The first is the one that is asked for, where the knowledge holds it. Where none of ``hints``
    is in a text, in small letters, the pattern is not looked for.
    """

    hints: tuple[str, ...]
    pattern: re.Pattern[str]
    cautions: tuple[str, ...]


def _words(hints: str, pattern: str, *cautions: str) -> Words:
    return Words(tuple(hints.split("|")), re.compile(pattern, re.IGNORECASE), cautions)


_RUNNING_HINTS: Final = "engine|idl"
_RUNNING: Final = (
    r"\b(?:start|run|rev) the (?:\w+ )?engine\b|\bengine (?:is )?running\b|\bidling\b"
    r"|\blet (?:it|the engine) idle\b|\bwarm idle\b"
    r"|\b(?:look|feel|listen|read|watch) \w.* at (?:a |warm |hot )?idle\b"
)
BY_WORDS: Final[tuple[Words, ...]] = (
    _words(_RUNNING_HINTS, _RUNNING, "running-engine", "road-run"),
    _words(_RUNNING_HINTS, _RUNNING, "exhaust-gas", "road-run"),
    _words("under the car|axle stands", r"\bunder the car\b|\baxle stands\b", "under-car"),
    _words(
        "cold|cool",
        r"\b(?:engine|turbo|gate|exhaust) (?:is )?(?:cold|cool)\b|^cold[,.:]"
        r"|\blet the (?:engine|turbo|gate|exhaust) cool\b",
        "hot-parts",
    ),
    _words(
        "compressed air|test pressure|feed |air gun",
        r"\bcompressed air\b|\btest pressure\b|\bfeed \d+ kPa\b|\bair gun\b",
        "pressurised-air",
    ),
)
_SENTENCE: Final = re.compile(r"[^.?!;]+")
# Said earlier in the sentence: when not to, or what to do before.
_NEGATED: Final = re.compile(r"\b(?:not|never|no|nobody|without|before|unless)\b", re.IGNORECASE)


def _find(subject: Subject) -> Iterator[Hit]:
    known = subject.knowledge.cautions.keys()
    for name, check in subject.knowledge.checks.items():
        work = (subject.knowledge.preparations[one] for one in check.prepare)
        shown = {*check.cautions, *(caution for one in work for caution in one.cautions)}
        yield from _hits(subject, ("check", name), shown, _for_check(check, known))
    for name, cause in subject.knowledge.causes.items():
        needed = by_words((cause.confirm, cause.fix), known)
        yield from _hits(subject, ("cause", name), set(cause.cautions), needed)


def _hits(
    subject: Subject,
    entry: tuple[str, str],
    shown: set[str],
    needed: Iterable[tuple[str, tuple[str, ...]]],
) -> Iterator[Hit]:
    said: set[str] = set()
    for why, cautions in needed:
        if shown.isdisjoint(cautions) and cautions[0] not in said:
            said.add(cautions[0])
            place = subject.places.of(*entry, "cautions")
            yield Hit(place, f"{why} calls for the caution '{cautions[0]}'; add it", entry)


def _for_check(check: Check, known: Collection[str]) -> Iterator[tuple[str, tuple[str, ...]]]:
    for tool in check.tools:
        if BY_TOOL.get(tool) in known:
            yield f"the tool '{tool}'", (BY_TOOL[tool],)
    for work in check.prepare:
        if BY_PREPARATION.get(work) in known:
            yield f"the preparation '{work}'", (BY_PREPARATION[work],)
    if check.loads_engine and LOADED in known:
        yield "a run under load", (LOADED,)
    yield from by_words((check.ask, *check.how), known)


def by_words(texts: Iterable[str], known: Collection[str]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """What the texts say is done, each with the cautions of which one must be there."""
    for text in texts:
        lower = text.lower()
        for hints, pattern, cautions in BY_WORDS:
            if cautions[0] in known and any(hint in lower for hint in hints):
                found = next(_done(text, pattern), None)
                if found:
                    yield f"'{found}'", cautions


def _done(text: str, pattern: re.Pattern[str]) -> Iterator[str]:
    for sentence in _SENTENCE.findall(text):
        said = sentence.strip()
        found = pattern.search(said)
        if found and not _NEGATED.search(said, 0, found.start()):
            yield found.group()


_CHECK = """\
gate-swing:
  ask: Does the lever of the gate swing freely?
  how: [Let the turbo cool until you can hold a hand close., Move the lever.]
  needs: [internal-gate]
  minutes: 3
%s  answers: {free: Freely, stuck: Not at all}
  healthy: {stuck: .003}
  given:
    hose-off: {stuck: .3}
  basis: common practice
"""

RULE = Rule(
    id="missing-caution",
    severity="error",
    summary="hot, pressurised, raised or running work has no caution for it",
    why=(
        "Cautions stand beside the work, and the program shows them first. Which are needed follows"
        " from tools, preparations and the words of the steps."
    ),
    wrong={"checks/swing.yaml": _CHECK % ""},
    right={"checks/swing.yaml": _CHECK % "  cautions: [hot-parts]\n"},
    find=_find,
)
