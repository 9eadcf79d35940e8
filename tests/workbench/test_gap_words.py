"""Silent checks: ``expert/workbench/gap_words.py``."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sklearn.feature_extraction.text import CountVectorizer

from expert.workbench.gap_cars import cars
from expert.workbench.gap_words import LEAST_CAUSES, shared_words, silences
from tests.workbench.gap_knowledge import BAD, cause, check, knowledge

PROOF = "Shine the bright lantern through the copper funnel and watch the golden shimmer."
OTHER = check({"a": BAD}, ask="Does the spindle wobble sideways?")
BOTH = {"lazy": {"a": 0.4, "b": 0.4}}


def found(*args: object, **more: object) -> list[tuple[str, str, str | None]]:
    book = knowledge(*args, **more)  # type: ignore[arg-type]
    every = list(cars(book, ["outer"]))
    return [(one.cause, one.check, one.symptom) for one in silences(book, every)]


def test_a_check_in_the_words_of_the_proof_must_name_the_cause() -> None:
    causes = {"a": cause(PROOF), "b": cause()}
    silent = check({"b": BAD}, ask="Shining a lantern through the funnel, does it shimmer golden?")
    assert found(causes, {"look": silent, "other": OTHER}, BOTH) == [("a", "look", None)]
    speaks = check({"a": BAD}, ask=silent.ask)
    assert not found(causes, {"look": speaks, "other": OTHER}, BOTH)


def test_a_proof_in_other_words_points_at_nothing() -> None:
    causes = {"a": cause(), "b": cause(PROOF)}
    assert not found(causes, {"other": OTHER}, BOTH)


def test_what_no_car_has_together_is_not_silent() -> None:
    causes = {"a": cause(PROOF, needs=("internal-gate",)), "b": cause()}
    silent = check({"b": BAD}, ask=PROOF)
    assert not found(causes, {"look": silent}, BOTH)
    assert not found(
        {"a": cause(PROOF)}, {"look": check({}, ask=PROOF, needs=("internal-gate",))}, BOTH
    )


def test_a_history_and_a_car_as_designed_are_left_out() -> None:
    causes = {"as-designed:a": cause(PROOF), "b": cause()}
    assert not found(causes, {"look": check({"b": BAD}, ask=PROOF)}, BOTH)
    assert not found({"a": cause(PROOF)}, {"past": check({}, ask=PROOF, kind="history")}, BOTH)


@pytest.mark.parametrize(("named", "silent"), [(9, ["cause-9"]), (8, [])])
def test_a_check_that_names_nearly_all_causes_of_a_symptom(named: int, silent: list[str]) -> None:
    names = [f"cause-{k}" for k in range(10)]
    causes = {name: cause() for name in names}
    checks = {"run": check(dict.fromkeys(names[:named], BAD))}
    shares = {"lazy": dict.fromkeys(names, 0.5)}
    assert found(causes, checks, shares) == [(name, "run", "lazy") for name in silent]
    rarely = {"lazy": {**shares["lazy"], "cause-9": 0.4}}
    assert not found(causes, checks, rarely)


def test_a_few_causes_are_no_rule() -> None:
    names = [f"cause-{k}" for k in range(LEAST_CAUSES - 1)]
    checks = {"run": check(dict.fromkeys(names[1:], BAD))}
    shares = {"lazy": dict.fromkeys(names, 0.9)}
    assert not found({name: cause() for name in names}, checks, shares)


WORDS = st.lists(
    st.sampled_from(["gate", "hose", "spring", "leaks", "seated", "boost", "of"]), max_size=6
).map(" ".join)


@given(st.lists(WORDS, min_size=1, max_size=4), st.lists(WORDS, min_size=1, max_size=4))
def test_shares_are_those_of_rare_words(texts: list[str], others: list[str]) -> None:
    shared = shared_words(texts, others)
    assert shared.shape == (len(texts), len(others))
    assert ((shared >= 0.0) & (shared <= 1.0 + 1e-9)).all()
    # Reference: words counted by scikit-learn, weighted by the log of texts over texts with it.
    known = ["gat", "hos", "spr", "leak", "seat", "boost"]
    ours = {"gate": "gat", "hose": "hos", "spring": "spr", "leaks": "leak", "seated": "seat"}
    plain = [" ".join(ours.get(word, word) for word in text.split()) for text in texts + others]
    marked = CountVectorizer(vocabulary=known, binary=True).fit_transform(plain).toarray()
    rare = np.log(len(plain) / np.maximum(marked.sum(axis=0), 1))
    weight, against = marked[: len(texts)] * rare, marked[len(texts) :]
    whole = weight.sum(axis=1, keepdims=True)
    expected = np.where(whole > 0.0, weight @ against.T / np.where(whole > 0.0, whole, 1.0), 0.0)
    assert shared == pytest.approx(expected)


def test_endings_do_not_count() -> None:
    assert shared_words(["leaking hoses", "golden"], ["A hose that leaks"])[0, 0] == 1.0


def test_no_texts_at_all() -> None:
    assert shared_words([""], ["", ""]).tolist() == [[0.0, 0.0]]
