"""How things are meant: ``expert/evidence/mail/stance.py``."""

from __future__ import annotations

import pytest

from expert.evidence.mail.phrases import Phrases
from expert.evidence.mail.sentences import sentences_of
from expert.evidence.mail.stance import Attitude
from expert.evidence.mail.words import tokens_of

PHRASES = Phrases([("creeps", "creep"), ("flutter", "flutter"), ("solenoid clicks", "click")])


def stances(text: str) -> list[str]:
    found = []
    for sentence in sentences_of(text, tokens_of(text), PHRASES.vocabulary):
        attitude = Attitude(sentence)
        found += [attitude.of(match.places) for match in PHRASES.found(sentence)]
    return found


@pytest.mark.parametrize(
    ("text", "stance"),
    [
        ("It creeps.", "said"),
        ("It does not creep.", "denied"),
        ("There is no flutter at all", "denied"),
        ("Not only does it creep", "said"),
        ("No idea why it creeps", "said"),
        ("no flutter before the new pipe", "said"),
        ("It used to creep", "past"),
        ("It creeps no longer, that is fixed now", "past"),
        ("Does it creep?", "asked"),
        ("Why does it creep?", "said"),
        ("My mate says it creeps", "hearsay"),
        ("I read that they creep", "hearsay"),
        ("My mates car creeps", "other-car"),
        ("If it creeps I will stop", "supposed"),
        ("I dont want it to creep before the race", "supposed"),
        ("Maybe it creeps", "guessed"),
        ("flutter: none", "denied"),
        ("solenoid clicks fine, no smoke", "said"),
        ("it creeps worse than before", "said"),
    ],
)
def test_how_it_is_meant(text: str, stance: str) -> None:
    assert stances(text)[:1] == [stance]


def test_words_of_the_same_meaning_deny_nothing() -> None:
    text = "no flutter"
    (sentence,) = sentences_of(text, tokens_of(text), PHRASES.vocabulary)
    assert Attitude(sentence).of((1,)) == "denied"
    assert Attitude(sentence).of((1,), own={0}) == "said"
