"""Events survive the way to a line and back; anything else is refused with a reason."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.case.events import (
    FORMAT,
    NAMES,
    Answered,
    Confirmed,
    Described,
    Event,
    EventError,
    Lacks,
    Mended,
    NewerFormatError,
    Noted,
    Opened,
    Persists,
    Resumed,
    RuledOut,
    SetAside,
    Undone,
    decode,
    encode,
)

TIME = "2031-05-04T10:00:00+02:00"

texts = st.text(max_size=80)
events = st.one_of(
    st.builds(Opened, texts),
    st.builds(Resumed, texts),
    st.builds(Described, st.sampled_from(["setup", "gate", "bypass", "symptom"]), texts),
    st.builds(
        Described,
        st.sampled_from(["spring_kpa", "target_kpa"]),
        st.one_of(st.none(), st.floats(-1000, 1000)),
    ),
    st.builds(
        Answered,
        texts,
        st.lists(texts, max_size=5).map(tuple),
        st.sampled_from(["asked", "log", "mail", "hookup"]),
    ),
    st.builds(SetAside, texts),
    st.builds(RuledOut, texts),
    st.builds(Lacks, texts),
    st.builds(Mended, texts),
    st.just(Persists()),
    st.builds(Confirmed, texts),
    st.builds(Noted, texts),
    st.just(Undone()),
)


@given(events)
def test_an_event_comes_back_from_its_line_as_it_was(event: Event) -> None:
    line = json.loads(json.dumps(encode(event, TIME)))
    assert decode(line) == (event, TIME)


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner),
    max_leaves=10,
)


@given(
    st.one_of(
        json_values,
        st.fixed_dictionaries(
            {
                "format": st.just(FORMAT),
                "time": st.just(TIME),
                "event": st.sampled_from(sorted(NAMES)),
            },
            optional=dict.fromkeys(
                ("knowledge", "field", "value", "check", "answers", "origin", "cause"), json_values
            ),
        ),
    )
)
def test_any_other_json_is_an_event_or_refused_in_words(line: object) -> None:
    try:
        event, time = decode(line)
    except EventError as error:
        assert str(error)
    else:
        assert encode(event, time)["event"] in NAMES


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ([], "must be a JSON object"),
        ({}, "has no format number"),
        ({"format": True}, "has no format number"),
        ({"format": 1, "event": "opene", "time": TIME}, "'opene' is no event"),
        ({"format": 1, "event": "undone"}, "has no time"),
        ({"format": 1, "event": "confirmed", "time": TIME}, "confirmed lacks cause"),
        (
            {
                "format": 1,
                "event": "answered",
                "time": TIME,
                "check": 3,
                "answers": [],
                "origin": "log",
            },
            "3 is no text",
        ),
        (
            {
                "format": 1,
                "event": "answered",
                "time": TIME,
                "check": "lamp",
                "answers": "ring",
                "origin": "log",
            },
            "'ring' is no list of answers",
        ),
        (
            {"format": 1, "event": "described", "time": TIME, "field": "colour", "value": "red"},
            "'colour' is none of setup",
        ),
        (
            {
                "format": 1,
                "event": "described",
                "time": TIME,
                "field": "spring_kpa",
                "value": 1e300,
            },
            "is no pressure",
        ),
    ],
)
def test_a_refusal_says_what_is_wrong(line: Any, why: str) -> None:
    with pytest.raises(EventError, match=why):
        decode(line)


def test_a_newer_format_is_told_apart() -> None:
    with pytest.raises(NewerFormatError, match="update Gatepost"):
        decode({"format": FORMAT + 1, "event": "anything", "time": TIME})
