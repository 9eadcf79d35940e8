from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.mail.balance import certainty, kind_of, told, weighed

SHARES = st.floats(0.0, 1.0)


def sure(share: float, words: int = 12, **more: bool) -> float:
    told = {"phrased": False, "history": False, "code": False, **more}
    return certainty(share, words, **told)


@given(SHARES, SHARES, st.integers(0, 80), st.booleans())
def test_more_alike_is_more_certain(one: float, other: float, words: int, history: bool) -> None:
    low, high = sorted((one, other))
    assert sure(low, words, history=history) <= sure(high, words, history=history)


@given(SHARES, st.integers(0, 80))
def test_a_phrase_and_a_hint_make_it_more_certain(share: float, words: int) -> None:
    assert 0.0 < sure(share, words) < sure(share, words, phrased=True) < 1.0
    assert sure(share, words) < sure(share, words, hinted=True)
    assert sure(share, words, history=True) < sure(share, words)
    assert sure(share, words, phrased=True, code=True) > sure(share, words, phrased=True)


def test_likeness_alone_can_be_enough_and_a_phrase_alone_is_not() -> None:
    assert sure(0.95) > 0.5 > sure(0.3)
    assert sure(0.5, phrased=True) > 0.5 > sure(0.01, phrased=True)


def test_sentences_and_phrases_are_weighed_together() -> None:
    found = weighed({"lazy": 3.0, "creep": 99.0}, {"lazy": 1.0, "spike": 0.5})
    assert found == {"lazy": 8.0, "creep": 6.0, "spike": 2.5}


@pytest.mark.parametrize(
    ("weight", "sentences", "expected"),
    [
        ({"lazy": 0.5}, {}, set()),
        ({"lazy": 1.5}, {}, {"lazy"}),
        ({"lazy": 6.0, "creep": 3.0}, {}, {"lazy"}),
        ({"lazy": 6.0, "creep": 4.0}, {}, {"lazy", "creep"}),
        # A number past its target may be a spike.
        ({"spike": 6.0, "overboost": 4.4}, {"overboost": 0.1}, {"spike", "overboost"}),
        ({"overboost": 2.0}, {}, {"overboost"}),
    ],
)
def test_the_complaints_that_are_told(
    weight: dict[str, float], sentences: dict[str, float], expected: set[str]
) -> None:
    assert told(weight, sentences, ["overboost"]) == expected


def test_what_kind_of_message_it_is() -> None:
    def kind(complaints: float, flagged: bool = False, **topics: float) -> str:
        return kind_of("unrelated", complaints, 0.0, topics, flagged=flagged)

    assert kind(0.9, unrelated=0.1) == "complaint"
    assert kind(0.1, unrelated=0.9) == "unrelated"
    assert kind(0.1, vague=0.9) == "vague"
    assert kind(0.0, flagged=True) == "complaint"
    assert kind_of("complaint", 0.3, 0.0, {"none": 0.6}, flagged=False) == "complaint"
