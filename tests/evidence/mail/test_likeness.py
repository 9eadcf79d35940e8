"""Naive Bayes over words, against scikit-learn on the same sentences."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from sklearn.feature_extraction.text import CountVectorizer, TfidfTransformer
from sklearn.naive_bayes import MultinomialNB
from sklearn.preprocessing import normalize

from expert.evidence.mail.likeness import OFTEN, PAIR, UNHEARD, Likeness, learned_from, terms_in

HEARD = {
    "lazy": ("it takes ages to build boost", "no pull until 4000 rpm", "slow to spool, slow to go"),
    "overboost": ("boost goes far past target", "shoots to 25 psi and stays past target"),
    "none": ("the car is red", "thanks for the parcel", "see you on Friday", "it is a 2 litre"),
}
ASKED = ("it takes ages to reach target", "25 psi and rising", "the parcel is red", "zebra", "")


def told_twice(text: str) -> list[str]:
    """The terms of a text, without pairs that no other sentence has."""
    sentences = [terms_in(one) for group in HEARD.values() for one in group]
    return [
        term
        for term in terms_in(text)
        if " " not in term or sum(term in one for one in sentences) > 1
    ]


def likeness() -> Likeness:
    heard = {label: [terms_in(one) for one in said] for label, said in HEARD.items()}
    return Likeness(learned_from(heard))


def test_the_shares_are_those_of_scikit_learn() -> None:
    # scikit-learn: CountVectorizer, TfidfTransformer (smooth idf) and MultinomialNB.
    sentences = [one for group in HEARD.values() for one in group]
    label = [number for number, group in enumerate(HEARD.values()) for _ in group]
    vectorizer = CountVectorizer(analyzer=told_twice)
    rarity = TfidfTransformer(norm=None, sublinear_tf=True)
    counted = rarity.fit_transform(vectorizer.fit_transform(sentences))
    names = vectorizer.get_feature_names_out()
    pairs = np.array([PAIR if " " in name else 1.0 for name in names])
    often = np.bincount(label) ** OFTEN
    model = MultinomialNB(alpha=UNHEARD, class_prior=list(often / often.sum()))
    model.fit(normalize(counted.multiply(pairs).tocsr()), label)
    asked = rarity.transform(vectorizer.transform(ASKED)).multiply(pairs).tocsr()
    expected = model.predict_proba(normalize(asked))
    found = likeness().shares([terms_in(one) for one in ASKED])
    np.testing.assert_allclose(found, expected, rtol=1e-5)


def test_endings_spellings_of_one_meaning_and_numbers_are_one_term() -> None:
    assert terms_in("Boosting 25 psi!") == ["boost", "N", "psi", "boost N", "N psi", "kPa:6"]
    assert terms_in("it climbs")[-1] == terms_in("it rises")[-1]


def test_a_sentence_that_was_heard_is_most_like_its_own_label() -> None:
    known = likeness()
    for label, sentences in HEARD.items():
        shares = known.shares([terms_in(one) for one in sentences])
        assert {known.labels[k] for k in shares.argmax(axis=1)} == {label}


@given(st.lists(st.text(max_size=60), max_size=5))
def test_shares_of_any_text_are_shares(texts: list[str]) -> None:
    shares = likeness().shares([terms_in(one) for one in texts])
    assert shares.shape == (len(texts), len(HEARD))
    assert np.all(shares > 0)
    np.testing.assert_allclose(shares.sum(axis=1), 1.0)


def test_a_pair_that_one_sentence_has_is_left_out() -> None:
    known = likeness().learned.terms
    assert "past target" in known
    assert "goes far" not in known
    assert "far" in known


def test_words_that_were_never_heard_say_nothing() -> None:
    alone, with_zebra = likeness().shares([terms_in("slow"), terms_in("slow zebra")])
    np.testing.assert_allclose(alone, with_zebra)
