"""Answers to checks on the road that a complaint gives: what boost did at the lowest setting."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from expert.evidence.mail.figures import Figure, holds_run
from expert.evidence.mail.sentences import Sentence
from expert.evidence.mail.trend import OVER_KPA
from expert.evidence.mail.understood import Fact
from expert.evidence.mail.words import FILLERS, wordset

LOWEST: Final = "zero-duty-log"
DIRECT: Final = "gate-direct-run"
# What a complaint says of the boost in such a run.
_ANSWERS: Final[Mapping[str, Mapping[str, str]]] = {
    LOWEST: {
        "creep": "rising",
        "overboost": "well-above",
        "spring-ceiling": "about-spring",
        "lazy": "below",
    },
    DIRECT: {
        "creep": "rises",
        "overboost": "far-above",
        "spring-ceiling": "on-spring",
        "lazy": "below",
    },
}
_LOWEST: Final = tuple(
    tuple(run.split())
    for run in (
        "no duty",
        "zero duty",
        "0 duty",
        "0 % duty",
        "duty 0",
        "duty at 0",
        "duty zero",
        "duty at zero",
        "0 %",
        "0 percent",
        "zero percent",
        "table at zero",
        "table zero",
        "table 0",
        "duty off",
        "wound right out",
        "wound out",
        "wound way out",
        "wound fully out",
        "backed right out",
        "backed way out",
        "backed fully out",
        "screw way out",
        "screw right out",
        "screw fully out",
        "lowest setting",
        "minimum setting",
        "turned right down",
        "turned way down",
    )
)
_COMPARED: Final = wordset("difference or odds matter matters whatever")
# A run is told over so many sentences.
_SENTENCES_ON: Final = 4
_STRAIGHT: Final = wordset("straight direct directly")
_GATES: Final = wordset("gate wastegate actuator can wg")
_LEFT_OUT: Final = wordset(
    "out bypassed bypassing bypass without removed remove took taken instead cut leaving skipped"
)
# Above the spring by so much at once is far above it, below it by so much is under it.
_FAR_KPA: Final = 20.0


@dataclass(frozen=True, slots=True)
class Told:
    """A complaint that counts, and the words that make it."""

    symptom: str
    sentence: int
    quote: str
    start: int
    end: int


def run_facts(
    sentences: Sequence[Sentence],
    complaints: Sequence[Told],
    figures: Sequence[Figure],
    spring_kpa: float | None,
    quoted: Mapping[int, str],
) -> list[Fact]:
    """What the message says of boost at the lowest setting, and with the gate fed directly.

    ``quoted`` holds the words of each figure by where it begins.
    """
    found = []
    lowest = {number for number, one in enumerate(sentences) if _at_lowest(one)}
    if lowest:
        near = {number + more for number in lowest for more in range(_SENTENCES_ON)}
        fact = (
            _answered(LOWEST, lowest, complaints)
            or _by_figures(lowest, figures, spring_kpa, quoted)
            or _answered(LOWEST, near, complaints)
        )
        found += [fact] if fact else []
    direct = [number for number, one in enumerate(sentences) if _fed_directly(one)]
    if direct and any(_leaves_out(one) for one in sentences):
        after = set(range(direct[0], len(sentences)))
        fact = _answered(DIRECT, after, complaints)
        found += [fact] if fact else []
    return found


def _at_lowest(sentence: Sentence) -> bool:
    words = [word for word in sentence.words() if word not in FILLERS]
    # Duty 0 or 80 makes no difference: that tells of several duties.
    return holds_run(words, _LOWEST) and not _COMPARED.intersection(words)


def _fed_directly(sentence: Sentence) -> bool:
    words = set(sentence.words())
    return bool(words & _STRAIGHT and words & _GATES)


def _leaves_out(sentence: Sentence) -> bool:
    words = set(sentence.words())
    return bool("solenoid" in words and words & _LEFT_OUT)


def _answered(check: str, where: set[int], complaints: Iterable[Told]) -> Fact | None:
    answers = _ANSWERS[check]
    for one in complaints:
        if one.sentence in where and one.symptom in answers:
            return Fact(check, answers[one.symptom], one.quote, one.start, one.end)
    return None


def _by_figures(
    where: set[int],
    figures: Sequence[Figure],
    spring_kpa: float | None,
    quoted: Mapping[int, str],
) -> Fact | None:
    """The boost that is told in the same sentence, against the spring."""
    for one in figures:
        if one.role != "boost" or one.at[0] not in where or one.start not in quoted:
            continue
        if one.kpa is None or spring_kpa is None:
            continue
        answer = None
        if one.kpa >= spring_kpa + _FAR_KPA:
            answer = "well-above"
        elif abs(one.kpa - spring_kpa) <= OVER_KPA:
            answer = "about-spring"
        elif one.kpa < spring_kpa:
            answer = "below"
        if answer:
            return Fact(LOWEST, answer, quoted[one.start], one.start, one.end)
    return None
