"""Naive Bayes over words, against scikit-learn on the same sentences."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from sklearn.feature_extraction.text import CountVectorizer, TfidfTransformer
from sklearn.naive_bayes import MultinomialNB
from sklearn.preprocessing import normalize

from expert.evidence.mail.likeness import OFTEN, PAIR, UNHEARD, Likeness, terms_of
from expert.evidence.mail.words import tokens_of

HEARD = {
    "lazy": ("it takes ages to build boost", "no pull until 4000 rpm", "slow to spool, slow to go"),
    "overboost": ("boost goes far past target", "shoots to 25 psi and stays there"),
    "none": ("the car is red", "thanks for the parcel", "see you on Friday", "it is a 2 litre"),
}
ASKED = ("it takes ages to reach target", "25 psi and rising", "the parcel is red", "zebra", "")


def terms(text: str) -> list[str]:
    return terms_of(tokens_of(text))


def test_the_shares_are_those_of_scikit_learn() -> None:
    # scikit-learn: CountVectorizer, TfidfTransformer (smooth idf) and MultinomialNB.
    sentences = [one for group in HEARD.values() for one in group]
    label = [number for number, group in enumerate(HEARD.values()) for _ in group]
    vectorizer = CountVectorizer(analyzer=terms)
    rarity = TfidfTransformer(norm=None, sublinear_tf=True)
    counted = rarity.fit_transform(vectorizer.fit_transform(sentences))
    names = vectorizer.get_feature_names_out()
    pairs = np.array([PAIR if " " in name else 1.0 for name in names])
    often = np.bincount(label) ** OFTEN
    model = MultinomialNB(alpha=UNHEARD, class_prior=list(often / often.sum()))
    model.fit(normalize(counted.multiply(pairs).tocsr()), label)
    asked = rarity.transform(vectorizer.transform(ASKED)).multiply(pairs).tocsr()
    expected = model.predict_proba(normalize(asked))
    found = Likeness(HEARD).shares([tokens_of(one) for one in ASKED])
    np.testing.assert_allclose(found, expected, rtol=1e-9)


def test_endings_spellings_of_one_meaning_and_numbers_are_one_term() -> None:
    assert terms("Boosting 25 psi!") == ["boost", "N", "psi", "boost N", "N psi"]
    assert terms("it climbs")[-1] == terms("it rises")[-1]


def test_a_sentence_that_was_heard_is_most_like_its_own_label() -> None:
    likeness = Likeness(HEARD)
    for label, sentences in HEARD.items():
        shares = likeness.shares([tokens_of(one) for one in sentences])
        assert {likeness.labels[k] for k in shares.argmax(axis=1)} == {label}


@given(st.lists(st.text(max_size=60), max_size=5))
def test_shares_of_any_text_are_shares(texts: list[str]) -> None:
    shares = Likeness(HEARD).shares([tokens_of(one) for one in texts])
    assert shares.shape == (len(texts), len(HEARD))
    assert np.all(shares > 0)
    np.testing.assert_allclose(shares.sum(axis=1), 1.0)


def test_words_that_were_never_heard_say_nothing() -> None:
    alone, with_zebra = Likeness(HEARD).shares([tokens_of("slow"), tokens_of("slow zebra")])
    np.testing.assert_allclose(alone, with_zebra)
