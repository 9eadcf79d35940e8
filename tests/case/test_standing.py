"""What still stands after a repair: what was seen since, and what was sound before."""

from __future__ import annotations

from expert.case.events import Answered, Described, Event, Lacks, Mended, Persists
from expert.case.standing import current, standing_findings, standing_symptoms
from expert.case.state import State, fold
from tests.small import knowledge

BOOK = knowledge()
SEEN: list[Event] = [
    Described("symptom", "overboost"),
    Answered("what-changed", ("just-fitted",)),
    Answered("red-flags", ("none",)),
    Answered("hose-trace", ("hose-loose",)),
    Answered("lamp", ("dark",)),
    Answered("smoke", ("wisp",)),
    Answered("shaft", ()),
    Answered("run", ("on-spring",)),
]


def now(*events: Event) -> State:
    return current(BOOK, fold([*SEEN, *events]))


def names(state: State) -> list[str]:
    return [finding.check for finding in state.findings]


def test_without_a_repair_everything_is_current() -> None:
    assert now() == fold(SEEN)


def test_checks_that_take_a_missing_tool_are_set_aside() -> None:
    assert now(Lacks("lamp")).set_aside == {"lamp"}
    assert now(Lacks("lamp"), Mended("hose-off")).set_aside == {"lamp"}
    assert now().set_aside == frozenset()


def test_after_a_repair_only_what_was_sound_lasts() -> None:
    assert names(now(Mended("hose-off"))) == ["what-changed", "lamp"]


def test_what_is_seen_after_the_repair_is_current() -> None:
    again = now(
        Mended("hose-off"), Answered("hose-trace", ("matches",)), Answered("lamp", ("ring",))
    )
    assert again.answers("hose-trace") == ("matches",)
    assert again.answers("lamp") == ("ring",)
    assert names(again).count("lamp") == 1


def dangers(*events: Event) -> list[str]:
    state = fold([*SEEN, *events])
    return [f"{finding.check}={answer}" for finding, answer in standing_findings(BOOK, state)]


def test_an_answer_stands_until_it_is_seen_again_or_mended() -> None:
    assert "hose-trace=hose-loose" in dangers()
    assert "hose-trace=hose-loose" in dangers(Mended("charge-leak"))
    assert "hose-trace=hose-loose" not in dangers(Mended("hose-off"))
    assert "hose-trace=hose-loose" not in dangers(
        Mended("charge-leak"), Answered("hose-trace", ("matches",))
    )
    assert "smoke=wisp" in dangers(Mended("hose-off"))


def test_a_complaint_stands_unless_a_repair_under_test_explains_it() -> None:
    def symptoms(*events: Event) -> list[str]:
        return standing_symptoms(BOOK, fold([*SEEN, *events]))

    assert symptoms() == ["overboost"]
    assert symptoms(Mended("hose-off")) == []
    assert symptoms(Mended("charge-leak")) == ["overboost"]
    assert symptoms(Mended("hose-off"), Persists()) == ["overboost"]
