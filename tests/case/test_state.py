"""The state is a fold over the events, and an undo takes the last step away."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from expert.case.events import (
    Answered,
    Confirmed,
    Described,
    Event,
    Noted,
    Opened,
    Resumed,
    RuledOut,
    SetAside,
    Undone,
)
from expert.case.state import Finding, State, effective, fold

steps = st.one_of(
    st.builds(Described, st.sampled_from(["setup", "symptom"]), st.sampled_from(["a", "b"])),
    st.builds(Answered, st.sampled_from(["x", "y"]), st.sampled_from([(), ("p",), ("q",)])),
    st.builds(SetAside, st.sampled_from(["x", "y"])),
    st.builds(RuledOut, st.sampled_from(["c", "d"])),
    st.builds(Confirmed, st.sampled_from(["c", "d"])),
)


@given(st.lists(steps, max_size=8), steps)
def test_undo_takes_back_the_last_step(before: list[Event], last: Event) -> None:
    opened: list[Event] = [Opened("k")]
    assert fold([*opened, *before, last, Undone()]) == fold([*opened, *before])


@given(st.lists(steps, max_size=6))
def test_undo_beyond_the_beginning_leaves_a_fresh_case(before: list[Event]) -> None:
    events = [Opened("k"), *before, *[Undone()] * (len(before) + 3)]
    assert fold(events) == State(knowledge="k")


def test_undo_passes_over_notes_and_resumptions() -> None:
    events = [Opened("k"), SetAside("x"), Noted("hello"), Resumed("k2"), Undone()]
    state = fold(events)
    assert state.set_aside == frozenset()
    assert state.notes == ("hello",)
    assert state.knowledge == "k2"
    assert effective(events) == [Opened("k"), Noted("hello"), Resumed("k2")]


def test_the_description_of_the_car() -> None:
    state = fold(
        [
            Opened("k"),
            Described("setup", "outer"),
            Described("bypass", None),
            Described("symptom", "lazy"),
            Described("symptom", "overboost"),
            Described("symptom", "lazy"),
            Described("spring_kpa", 48.0),
            Described("target_kpa", None),
        ]
    )
    assert state.setup == "outer"
    assert state.symptoms == ("lazy", "overboost")
    assert (state.spring_kpa, state.target_kpa) == (48.0, None)
    assert state.said == {"setup", "bypass", "symptom", "spring_kpa", "target_kpa"}


def test_the_latest_answer_counts() -> None:
    state = fold([Answered("lamp", ("dark",)), Answered("flap", ("free",)), Answered("lamp", ())])
    assert state.findings == (Finding("flap", ("free",), "asked"), Finding("lamp", (), "asked"))
    assert state.answers("lamp") == ()
    assert state.finding("smoke") is None


def test_a_claim_in_a_mail_does_not_replace_what_was_done_at_the_car() -> None:
    at_the_car, claimed = Answered("lamp", ("ring",)), Answered("lamp", ("dark",), "mail")
    assert fold([at_the_car, claimed]).answers("lamp") == ("ring",)
    assert fold([claimed, at_the_car]).answers("lamp") == ("ring",)
    assert fold([Answered("lamp", ()), claimed]).answers("lamp") == ("dark",)


def test_an_answer_takes_a_check_back_from_the_side() -> None:
    assert fold([SetAside("lamp"), Answered("lamp", ("dark",))]).set_aside == frozenset()
