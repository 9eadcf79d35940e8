"""Logs in the dialogue: what they show is not asked again, what is safe is asked all the same."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from expert.case.consult import Consultant
from expert.case.events import Answered, Described, Event
from expert.case.journal import Journal, read
from expert.case.state import State, fold
from expert.ui.log_talk import Logs, read_in
from expert.ui.talk import run
from tests.evidence.log.benchlogs import KNOWN, written_to
from tests.ui.script import Line, Script, shown

CAR: tuple[Event, ...] = (
    Described("setup", "external-single"),
    Described("bypass", "manifold"),
    Described("spring_kpa", 69.0),
    Described("target_kpa", None),
)


def talked(
    case: Path, lines: Iterable[Line], logs: Sequence[Path] = (), prefill: Sequence[Event] = ()
) -> Script:
    script = Script(lines, case)
    with Journal.open(case, KNOWN.digest) as journal:
        run(Consultant(KNOWN), journal, script, prefill, Logs(tuple(logs)))
    return script


def state_of(case: Path) -> State:
    return fold(read(case).events)


def test_what_a_log_adds_to_a_case(tmp_path: Path) -> None:
    path = written_to(tmp_path, "seat-ring-missing")
    events, blocks = read_in(KNOWN, fold(CAR), Logs(), [path, tmp_path / "missing.csv"])
    assert events[0] == Described("symptom", "lazy")
    assert Answered("zero-duty-log", ("below",), "log") in events
    text = " ".join(shown(blocks).split())
    assert "Won't build boost" in text
    assert "Not usable: there is no such file." in text


def test_a_case_begins_with_what_the_log_shows(tmp_path: Path) -> None:
    path, case = written_to(tmp_path, "seat-ring-missing"), tmp_path / "a.case.jsonl"
    script = talked(case, ["none", "just-fitted", "gate"], [path], CAR)
    state = state_of(case)
    assert state.symptoms == ("lazy",)
    assert state.answers("zero-duty-log") == ("below",)
    assert state.answers("red-flags") == ("none",)
    # The complaint is not asked, the red flags and the hoses are.
    text = script.text()
    assert "What does it do wrong?" not in text
    assert text.index("Won't build boost") < text.index("Which of these has anyone noticed")
    assert "hose-trace" in text
    assert text.count("At the lowest boost that can be set") == 0


def test_without_a_car_the_car_is_asked_first(tmp_path: Path) -> None:
    path, case = written_to(tmp_path, "signal-off"), tmp_path / "a.case.jsonl"
    script = talked(case, ["external-single", "manifold", "10 psi", "unknown", "none"], [path])
    state = state_of(case)
    assert state.symptoms[0] == "overboost"
    text = script.text()
    assert "What does it do wrong?" not in text
    assert text.index("At what boost does the gate's spring") < text.index("Full-throttle pulls")
    assert "Do not drive this car" in text


def test_a_sound_log_leaves_the_complaint_to_the_owner(tmp_path: Path) -> None:
    path, case = written_to(tmp_path), tmp_path / "a.case.jsonl"
    script = talked(case, ["hunting", "no", "none"], [path], CAR)
    state = state_of(case)
    assert state.symptoms == ("hunting",)
    assert state.answers("zero-duty-log") == ("about-spring",)
    assert "What does it do wrong?" in script.text()


def test_a_log_that_is_missing_does_not_end_the_dialogue(tmp_path: Path) -> None:
    case = tmp_path / "a.case.jsonl"
    script = talked(case, ["lazy", "no", "none"], [tmp_path / "missing.csv"], CAR)
    assert "there is no such file" in script.text()
    assert state_of(case).symptoms == ("lazy",)


def test_a_log_before_the_car_is_known_waits_and_says_so(tmp_path: Path) -> None:
    path, case = written_to(tmp_path, "seat-ring-missing"), tmp_path / "a.case.jsonl"
    lines = [f"log {tmp_path / 'missing.csv'}", f"log {path}", "unknown", "none"]
    script = talked(case, lines, prefill=CAR[:-1])
    text = " ".join(script.text().split())
    assert f"{tmp_path / 'missing.csv'}: there is no such file." in text
    assert f"{path} is read as soon as it is known what it is judged by." in text
    assert state_of(case).answers("zero-duty-log") == ("below",)


def test_a_log_at_any_question(tmp_path: Path) -> None:
    path, case = written_to(tmp_path, "seat-ring-missing"), tmp_path / "a.case.jsonl"
    lazy = (*CAR, Described("symptom", "lazy"))
    script = talked(case, ["log", f"log {path}", "none"], prefill=lazy)
    assert "Type log and the name of the file" in script.text()
    assert state_of(case).answers("zero-duty-log") == ("below",)
    assert state_of(case).answers("red-flags") == ("none",)


def test_a_log_later_adds_to_a_case_that_is_taken_up_again(tmp_path: Path) -> None:
    path, case = written_to(tmp_path, "signal-off"), tmp_path / "a.case.jsonl"
    talked(case, ["none"], prefill=(*CAR, Described("symptom", "lazy")))
    script = talked(case, [], [path])
    assert state_of(case).symptoms == ("lazy", "overboost", "power-cut")
    assert "Do not drive this car" in script.text()
