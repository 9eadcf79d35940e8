"""What the phrases of a message and the sentences that it is like tell together."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from expert.evidence.mail.balance import (
    CERTAIN,
    CERTAIN_OF_FLAG,
    CERTAIN_OF_NAMED_DANGER,
    CERTAIN_OF_NAMED_FLAG,
    LEAST_SHARE,
    WORTH_A_LOOK,
    certainty,
    kind_of,
    told,
    weighed,
)
from expert.evidence.mail.lexicon import Lexicon, Meaning
from expert.evidence.mail.resemblance import ALONE, Alike, Resemblance, Stretch
from expert.evidence.mail.stance import HISTORY, TAKEN, Stance
from expert.evidence.mail.understood import Fact, Heard, MessageKind

RED_FLAGS: Final = "red-flags"
CODES: Final = "stored-codes"
# In these a danger is not told, and may be there all the same.
_NOT_TAKEN: Final[frozenset[Stance]] = frozenset({"asked", "hearsay", "supposed", "outweighed"})
_ANY: Final[frozenset[Stance]] = TAKEN | _NOT_TAKEN
# These may be told so briefly that no sentence is much like them.
_HINTED: Final = frozenset(
    {"what-changed=just-fitted", "what-changed=earlier", "flutter-when=on-lift"}
)


@dataclass(frozen=True, slots=True)
class Agreement:
    """A message's sentences beside those that were heard, and its phrases beside both.

    ``text`` is that of the message, from which quotes are taken.
    """

    resemblance: Resemblance
    lexicon: Lexicon
    text: str

    def complaint(
        self, by_phrases: MessageKind, by_words: Mapping[str, float], *, flagged: bool
    ) -> tuple[MessageKind, tuple[str, ...]]:
        """The kind of the message, and its complaints, the main one first.

        ``by_words`` is how much phrases and figures say for each complaint; ``flagged`` says that a
        red flag is told.
        """
        alike = self.resemblance.complaints()
        kind = kind_of(
            by_phrases,
            sum(alike.values()),
            self.resemblance.findings(),
            self.resemblance.topics(),
            flagged=flagged,
        )
        if kind != "complaint":
            return kind, ()
        weight = weighed(by_words, alike)
        symptoms = sorted(
            told(weight, alike, self.lexicon.grave), key=lambda name: (-weight[name], name)
        )
        return ("complaint" if symptoms or flagged else "vague"), tuple(symptoms)

    def facts(self, by_phrases: Sequence[Fact]) -> tuple[Fact, ...]:
        """The answers that are told, one to a check unless it takes several.

        A phrase that no sentence bears out is dropped, and a sentence that is like an answer can
        tell it without a phrase.
        """
        phrased = {f"{one.check}={one.answer}": one for one in by_phrases}
        alike = list(self.resemblance.answers(TAKEN, HISTORY, LEAST_SHARE, {*phrased, *_HINTED}))
        hinted = self._hinted(alike, phrased)
        sure: dict[tuple[str, str], tuple[float, Fact]] = {}
        for one in alike:
            by_phrase = phrased.get(f"{one.check}={one.answer}")
            dangerous = (one.check, one.answer) in self.lexicon.dangerous
            if by_phrase is None and not dangerous and one.stretch.stance == "guessed":
                continue
            sureness = certainty(
                one.share,
                sum(token.is_word for token in one.stretch.tokens),
                phrased=by_phrase is not None,
                history=one.check in ALONE,
                code=one.check == CODES,
                hinted=(one.check, one.answer) in hinted,
            )
            enough = _enough(one.check, named=by_phrase is not None, dangerous=dangerous)
            key = (one.check, one.answer if one.check in self.lexicon.several else "")
            if sureness >= enough and (key not in sure or sureness > sure[key][0]):
                sure[key] = (sureness, by_phrase or self._fact(one))
        return tuple(sorted((fact for _, fact in sure.values()), key=lambda one: one.start))

    def _fact(self, one: Alike) -> Fact:
        start, end = one.stretch.start, one.stretch.end
        return Fact(one.check, one.answer, self.text[start:end], start, end)

    def _hinted(self, alike: Sequence[Alike], phrased: Container[str]) -> set[tuple[str, str]]:
        """Answers that something else in the message makes likelier.

        Work that is told was done at some time, a time of work is told with its part, and who hears
        a flutter mostly says when.
        """
        best: dict[str, Alike] = {}
        for one in alike:
            other = best.get(one.check)
            named = f"{one.check}={one.answer}" in phrased
            if one.answer != "nothing" and (named or other is None or one.share > other.share):
                best[one.check] = one
        hints: list[str] = []
        if _is_told(best.get("worked-on"), phrased):
            hints.append("what-changed")
        if _is_told(best.get("what-changed"), phrased):
            hints.append("worked-on")
        if self.resemblance.complaints().get("flutter", 0.0) >= CERTAIN:
            hints.append("flutter-when")
        return {(check, best[check].answer) for check in hints if check in best}

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
            if best is None or best[0].in_subject:
                continue
            if best[1] >= CERTAIN or symptom not in by_phrase:
                found.append(self._quoted(Meaning("symptom", symptom), best[0]))
        found += [
            Heard(Meaning("answer", one.check, one.answer), "said", one.quote, one.start, one.end)
            for one in facts
            if one not in phrased
        ]
        return tuple(found)

    def alarming(
        self, heard: Iterable[Heard], symptoms: Container[str], facts: Iterable[Fact]
    ) -> tuple[Heard, ...]:
        """Words that may tell of danger, and were not taken so: somebody had better read them."""
        answered = {(one.check, one.answer) for one in facts}

        def is_grave(meaning: Meaning) -> bool:
            if meaning.kind == "symptom":
                return meaning.id in self.lexicon.grave and meaning.id not in symptoms
            pair = (meaning.id, meaning.answer)
            return pair in self.lexicon.dangerous and pair not in answered

        found = {
            one.meaning: one for one in heard if one.stance in _NOT_TAKEN and is_grave(one.meaning)
        }
        alike = [
            (Meaning("answer", one.check, one.answer), one.stretch)
            for one in self.resemblance.answers(_ANY, _ANY, WORTH_A_LOOK, ())
            if one.check == RED_FLAGS
        ]
        for name in self.lexicon.grave:
            best = self.resemblance.best(name)
            if best is not None and best[1] >= WORTH_A_LOOK and not best[0].in_subject:
                alike.append((Meaning("symptom", name), best[0]))
        for meaning, stretch in alike:
            if meaning not in found and is_grave(meaning):
                found[meaning] = self._quoted(meaning, stretch)
        return tuple(found.values())

    def _quoted(self, meaning: Meaning, stretch: Stretch) -> Heard:
        quote = self.text[stretch.start : stretch.end]
        return Heard(meaning, stretch.stance, quote, stretch.start, stretch.end)


def _is_outweighed(
    one: Heard, symptoms: Container[str], dropped: Container[tuple[str, str]]
) -> bool:
    """Does the rest of the message speak against what a phrase says?"""
    if one.stance not in TAKEN:
        return False
    if one.meaning.kind == "symptom":
        return one.meaning.id not in symptoms
    return one.meaning.kind == "answer" and (one.meaning.id, one.meaning.answer) in dropped


def _enough(check: str, *, named: bool, dangerous: bool) -> float:
    """How certain an answer must be to count."""
    if check == RED_FLAGS:
        return CERTAIN_OF_NAMED_FLAG if named else CERTAIN_OF_FLAG
    return CERTAIN_OF_NAMED_DANGER if named and dangerous else CERTAIN


def _is_told(one: Alike | None, phrased: Container[str]) -> bool:
    """Is an answer told by a phrase, or by a stretch that is very like it?"""
    return one is not None and (one.share >= CERTAIN or f"{one.check}={one.answer}" in phrased)
