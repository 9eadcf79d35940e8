"""Words that mean the same: ``expert/evidence/mail/synonyms.py``."""

from __future__ import annotations

import pytest

from expert.evidence.mail.phrases import Phrases
from expert.evidence.mail.sentences import sentences_of
from expert.evidence.mail.synonyms import likes_of
from expert.evidence.mail.words import stem, tokens_of


def found(phrase: str, text: str) -> bool:
    phrases = Phrases([(phrase, "it")])
    sentences = sentences_of(text, tokens_of(text), phrases.vocabulary)
    return any(phrases.found(sentence) for sentence in sentences)


@pytest.mark.parametrize(
    ("phrase", "text"),
    [
        ("boost climbs", "the boost goes up"),
        ("noise when i lift", "a sound when i let off"),
        ("smell of petrol", "it stinks of fuel"),
        ("gate hose split", "the gate hose is cracked"),
        ("boost + falls + redline", "towards the limiter the charging pressure sags"),
    ],
)
def test_a_phrase_is_found_by_its_synonyms(phrase: str, text: str) -> None:
    assert found(phrase, text)


def test_a_phrase_of_one_word_means_itself_only() -> None:
    assert found("hunting", "it is hunting")
    assert not found("hunting", "the duty cycle is high")


def test_a_word_without_synonyms_is_like_itself() -> None:
    assert likes_of("gasket") == (("gasket",),)
    assert (stem("petrol"),) in likes_of(stem("fuel"))
    assert ("go", "up") in likes_of("climb")
