"""What a message tells, by its phrases and by the sentences and letters that it is like."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from expert.evidence.mail.judgement import (
    CERTAIN,
    CERTAIN_BESIDE,
    MUST_STAND,
    WORTH_A_LOOK,
    any_of,
    judgement,
)
from expert.evidence.mail.lexicon import Lexicon, Meaning
from expert.evidence.mail.resemblance import Resemblance, Stretch
from expert.evidence.mail.signs import (
    KINDS,
    Message,
    answer_signs,
    complaint_signs,
    kind_signs,
)
from expert.evidence.mail.stance import TAKEN, Stance
from expert.evidence.mail.understood import Fact, Heard, MessageKind

Floats = NDArray[np.float64]

# In these a danger is not told, and may be there all the same.
_NOT_TAKEN: Final[frozenset[Stance]] = frozenset({"asked", "hearsay", "supposed", "outweighed"})


@dataclass(frozen=True, slots=True)
class Judged:
    """What a message tells; ``alarming`` are words of danger that were not taken so.

    ``danger`` is the probability that it tells of danger. ``facts`` are those of a car: where the
    message is unrelated, they are of no use.
    """

    kind: MessageKind
    symptoms: tuple[str, ...]
    facts: tuple[Fact, ...]
    danger: float
    alarming: tuple[Heard, ...]


@dataclass(frozen=True, slots=True)
class _Sure:
    """An answer that a message may tell, how sure that is, and the likest words."""

    check: str
    answer: str
    chance: float
    stretch: Stretch


@dataclass(frozen=True, slots=True)
class Agreement:
    """A message beside what was heard; ``text`` is that of the message, for quotes."""

    resemblance: Resemblance
    lexicon: Lexicon
    text: str

    def judged(
        self,
        by_phrases: MessageKind,
        by_words: Mapping[str, float],
        phrased: Sequence[Fact],
        heard: Iterable[Heard] = (),
    ) -> Judged:
        """What the message tells.

        ``by_words`` is how much phrases and figures say for each complaint, ``phrased`` what
        phrases say of checks, ``heard`` all that they say.
        """
        message = self.message(by_phrases, by_words, phrased)
        learned = judgement()
        kinds = learned.kinds(kind_signs(message))
        complaints = learned.complaints(complaint_signs(message))
        sure = self._sure(message, phrased, kinds.tolist(), complaints)
        kind = KINDS[int(kinds.argmax())]
        grave = {
            name: chance
            for name, chance in zip(message.symptoms, complaints.tolist(), strict=True)
            if name in self.lexicon.grave
        }
        dangers = [one for one in sure if (one.check, one.answer) in self.lexicon.dangerous]
        danger = any_of([*(one.chance for one in dangers), *grave.values()])
        if kind == "unrelated" and danger >= MUST_STAND:
            # Nobody is to pass over what may be a danger.
            kind = "vague"
        symptoms = _told(message.symptoms, complaints.tolist()) if kind == "complaint" else ()
        facts = self._facts(sure, phrased)
        told = {(one.check, one.answer) for one in facts}
        alarming = [
            *self._likely(sorted(dangers, key=lambda one: -one.chance), told),
            *self._grave(grave, symptoms),
            *self._named(heard, symptoms, told),
        ]
        return Judged(kind, symptoms, facts, danger, _once(alarming))

    def facts(self, phrased: Sequence[Fact]) -> tuple[Fact, ...]:
        """The answers that are told by a message that is known to be about a car in trouble."""
        message = self.message("complaint", {}, phrased)
        complaints = judgement().complaints(complaint_signs(message))
        return self._facts(self._sure(message, phrased, (1.0, 0.0, 0.0), complaints), phrased)

    def message(
        self, by_phrases: MessageKind, by_words: Mapping[str, float], phrased: Iterable[Fact]
    ) -> Message:
        """What the message is judged by."""
        flagged = any((one.check, one.answer) in self.lexicon.dangerous for one in phrased)
        symptoms = self.lexicon.symptoms
        return Message(self.resemblance, symptoms, by_phrases, by_words, flagged)

    def _sure(
        self,
        message: Message,
        phrased: Iterable[Fact],
        kinds: Sequence[float],
        complaints: Floats,
    ) -> list[_Sure]:
        """The answers that the message may tell, with how sure each is."""
        named = {f"{one.check}={one.answer}" for one in phrased}
        found = answer_signs(message, named, self.lexicon.dangers, kinds, complaints)
        chances = judgement().answers(found.signs).tolist()
        sure = []
        for place, row, chance in zip(found.answers, found.stretches, chances, strict=True):
            check, _, answer = self.resemblance.kin.answers[int(place)].partition("=")
            sure.append(_Sure(check, answer, chance, self.resemblance.stretches[int(row)]))
        return sure

    def _facts(self, sure: Iterable[_Sure], phrased: Iterable[Fact]) -> tuple[Fact, ...]:
        """The answers that are sure enough, one to a check unless it takes several."""
        by_phrase = {(one.check, one.answer): one for one in phrased}
        best: dict[tuple[str, str], _Sure] = {}
        for one in sure:
            key = (one.check, one.answer if one.check in self.lexicon.several else "")
            if one.chance >= CERTAIN and (key not in best or one.chance > best[key].chance):
                best[key] = one
        facts = (by_phrase.get((one.check, one.answer)) or self._fact(one) for one in best.values())
        return tuple(sorted(facts, key=lambda one: one.start))

    def _fact(self, one: _Sure) -> Fact:
        start, end = one.stretch.start, one.stretch.end
        return Fact(one.check, one.answer, self.text[start:end], start, end)

    def heard(
        self,
        by_phrases: Iterable[Heard],
        phrased: Sequence[Fact],
        symptoms: Sequence[str],
        facts: Sequence[Fact],
    ) -> tuple[Heard, ...]:
        """All that was heard: phrases, those that are outweighed marked, and likely sentences."""
        dropped = {(one.check, one.answer) for one in phrased if one not in facts}
        found = [
            replace(one, stance="outweighed") if _is_outweighed(one, symptoms, dropped) else one
            for one in by_phrases
        ]
        by_phrase = {one.meaning.id for one in found if one.stance in TAKEN}
        for symptom in symptoms:
            best = self.resemblance.best(symptom)
            if best is not None and (best[1] >= CERTAIN or symptom not in by_phrase):
                found.append(self._quoted(Meaning("symptom", symptom), best[0]))
        found += [
            Heard(Meaning("answer", one.check, one.answer), "said", one.quote, one.start, one.end)
            for one in facts
            if one not in phrased
        ]
        return tuple(found)

    def _named(
        self, heard: Iterable[Heard], symptoms: Container[str], told: Container[tuple[str, str]]
    ) -> Iterator[Heard]:
        """Phrases of danger that are asked, supposed or told by others."""
        for one in heard:
            pair = (one.meaning.id, one.meaning.answer)
            grave = one.meaning.kind == "symptom" and one.meaning.id in self.lexicon.grave
            open_danger = pair in self.lexicon.dangerous and pair not in told
            if one.stance in _NOT_TAKEN and (
                open_danger or (grave and one.meaning.id not in symptoms)
            ):
                yield one

    def _likely(
        self, dangers: Iterable[_Sure], told: Container[tuple[str, str]]
    ) -> Iterator[Heard]:
        """Stretches that may tell a dangerous answer."""
        for one in dangers:
            if one.chance >= WORTH_A_LOOK and (one.check, one.answer) not in told:
                yield self._quoted(Meaning("answer", one.check, one.answer), one.stretch)

    def _grave(self, grave: Mapping[str, float], symptoms: Container[str]) -> Iterator[Heard]:
        """Sentences that may tell a grave complaint."""
        for name, chance in grave.items():
            best = self.resemblance.best(name)
            if chance >= WORTH_A_LOOK and name not in symptoms and best is not None:
                yield self._quoted(Meaning("symptom", name), best[0])

    def _quoted(self, meaning: Meaning, stretch: Stretch) -> Heard:
        quote = self.text[stretch.start : stretch.end]
        return Heard(meaning, stretch.stance, quote, stretch.start, stretch.end)


def _once(alarms: Iterable[Heard]) -> tuple[Heard, ...]:
    """The first words of each meaning."""
    first: dict[Meaning, Heard] = {}
    for one in alarms:
        first.setdefault(one.meaning, one)
    return tuple(first.values())


def _told(symptoms: Sequence[str], chances: Sequence[float]) -> tuple[str, ...]:
    """The complaints that are told, the main one first: the surest, and those that are sure."""
    order = sorted(zip(chances, symptoms, strict=True), reverse=True)
    return tuple(
        name for rank, (chance, name) in enumerate(order) if not rank or chance >= CERTAIN_BESIDE
    )


def _is_outweighed(
    one: Heard, symptoms: Container[str], dropped: Container[tuple[str, str]]
) -> bool:
    """Does the rest of the message speak against what a phrase says?"""
    if one.stance not in TAKEN:
        return False
    if one.meaning.kind == "symptom":
        return one.meaning.id not in symptoms
    return one.meaning.kind == "answer" and (one.meaning.id, one.meaning.answer) in dropped
