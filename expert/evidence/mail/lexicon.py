"""The phrases of the knowledge, ready to be looked for in messages."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final, Literal

from expert.evidence.mail.kin import Kin
from expert.evidence.mail.phrases import Phrases
from expert.model import Knowledge

Kind = Literal["symptom", "answer", "part", "cause", "word"]


def _words(*texts: str) -> tuple[str, ...]:
    return tuple(word for text in texts for word in text.split())


# Words that show what a message is about, beside the phrases of the knowledge: the trade, the car,
# trouble, and business that has nothing to do with trouble.
_WORDS: Final[Mapping[str, tuple[str, ...]]] = {
    "trade": (
        *("charging/charge/turbo/manifold pressure", "dump/blow off valve", "bypass valve"),
        *_words(
            "boost turbo turbocharger wastegate psi kpa spool tune remap intercooler downpipe",
            "actuator overboost underboost needle duty wg solenoid diverter bov compressor",
        ),
    ),
    "car": _words(
        "car ecu engine exhaust petrol throttle rpm revs gear driving motor pedal acceleration",
        "vehicle hatch hatchback saloon coupe estate wagon roadster convertible accelerate drive",
        "redline limiter floored accelerator",
    ),
    # The car is ill, whatever it has: that needs no word of the trade.
    "unwell": (
        *("isn't right", "not right", "isn't the same", "not same", "not itself", "something off"),
        *("something wrong/amiss", "something is wrong/off/amiss", "what is wrong", "whats wrong"),
        *("isn't how it was", "not how it was", "not like before", "not what it was"),
        *("not what it used to be", "not as good/quick/fast as"),
        *("feels wrong/strange/odd/weird/different/off", "behaves strange/strangely/odd/oddly"),
        *("strange/odd/weird/funny things", "playing/plays/acting up", "misbehaving/misbehaves"),
        *("not happy with how", "not running/driving/going/pulling right/well/properly"),
        *("doesn't feel/run/drive/go right/well/same/properly", "not normal", "runs badly/rough"),
        *("no longer right/same", "has problem", "have problem", "got problem"),
    ),
    "trouble": (
        *_words("wrong problem issue fault faulty weird odd strange worried worry trouble"),
        *_words("broken failed sluggish flat slow slower weak gutless struggling bad"),
        *_words(
            "dead whistle whine rubbish misbehaving playing lost loss",
            "concerned worse unhappy noisy smell",
        ),
        *("please help", "pls help", "plz help", "help me", "need help", "you help", "some help"),
        *("is that normal", "is this normal", "not right", "not happy", "not working"),
        *("plays up", "where do i begin/start", "what is going/happening on", "ring/call/phone me"),
        *(
            "reading ok/right/normal/correct",
            "is it ok/safe/bad",
            "worries me",
            "scared",
            "stumped",
        ),
        *("isn't ok/good/well", "don't know whats/what", "any ideas", "what next/now"),
    ),
    "business": (
        *_words("price pricing invoice delivery shipping refund quotation payment paid tracking"),
        *_words("discount booking appointment parcel newsletter unsubscribe catalogue receipt"),
        *_words("postage courier webinar password voucher reseller sponsor vacancy subscription"),
        *("my order", "order number", "in stock", "opening hours", "do you sell", "for sale"),
        *("buy", "sell", "purchase", "ship", "deliver", "quote for", "dispatch"),
        *("how much for", "how much ... cost/charge", "what ... cost"),
    ),
}


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a phrase stands for: a symptom, an answer of a check, a part, a cause, or a topic."""

    kind: Kind
    id: str
    answer: str = ""


class Lexicon:
    """Every phrase of the knowledge, and what is needed of its checks to make facts.

    ``kin`` are the sentences and letters that were heard; without them, or without one of the
    topics, phrases count alone.
    """

    def __init__(
        self,
        knowledge: Knowledge,
        kin: Kin | None = None,
    ) -> None:
        self.several = frozenset(
            name for name, check in knowledge.checks.items() if check.takes_several()
        )
        self.history = frozenset(
            name for name, check in knowledge.checks.items() if check.kind == "history"
        )
        self.phrases = Phrases(
            list(_meanings(knowledge)),
            complaint=lambda meaning: meaning.kind == "symptom",
            crossing=lambda meaning: meaning.id not in self.history,
        )
        self.dangerous = frozenset(
            (name, answer)
            for name, check in knowledge.checks.items()
            for answer, danger in check.danger.items()
            if danger == "stop"
        )
        self.dangers = frozenset(f"{check}={answer}" for check, answer in self.dangerous)
        self.grave = frozenset(
            name for name, symptom in knowledge.symptoms.items() if symptom.danger == "stop"
        )
        self.symptoms = tuple(knowledge.symptoms)
        self.kin = kin if kin is not None and kin.knows_topics() else None
        self.setups = {
            name: frozenset({*setup.parts, *setup.gates})
            for name, setup in knowledge.setups.items()
        }
        self.fixed_parts = {
            name: frozenset(setup.parts) for name, setup in knowledge.setups.items()
        }
        self.bypasses = {
            name: frozenset(layout.parts) for name, layout in knowledge.bypasses.items()
        }


def _meanings(knowledge: Knowledge) -> Iterator[tuple[str, Meaning]]:
    for name, symptom in knowledge.symptoms.items():
        for phrase in symptom.says:
            yield phrase, Meaning("symptom", name)
    for name, check in knowledge.checks.items():
        for answer, phrases in check.says.items():
            for phrase in phrases:
                yield phrase, Meaning("answer", name, answer)
    for name, part in knowledge.parts.items():
        for phrase in part.says:
            yield phrase, Meaning("part", name)
    for name, cause in knowledge.causes.items():
        for phrase in cause.says:
            yield phrase, Meaning("cause", name)
    for topic, words in _WORDS.items():
        for word in words:
            yield word, Meaning("word", topic)
