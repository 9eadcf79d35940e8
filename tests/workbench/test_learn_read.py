"""Which journals teach something, and why the others do not."""

from __future__ import annotations

import os
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.case.events import (
    Answered,
    Confirmed,
    Event,
    Mended,
    Noted,
    Persists,
    Resumed,
    RuledOut,
    Undone,
)
from expert.errors import MissingError
from expert.workbench.learn_read import (
    MOST_EVENTS,
    Closed,
    Skipped,
    closed,
    closed_cases,
    journals,
)
from tests.small import knowledge
from tests.workbench.journals import story, text_of, write

BOOK = knowledge()
RING = Answered("lamp", ("ring",))
CLOSED = story("ring-missing", RING)


def read(folder: Path) -> list[Closed | Skipped]:
    return list(closed_cases([folder], BOOK))


def why(folder: Path) -> Counter[str]:
    return Counter(one.why if isinstance(one, Skipped) else "closed" for one in read(folder))


def test_a_closed_case_tells_what_was_known_before_the_cause_was_mended(tmp_path: Path) -> None:
    run = Answered("run", ("on-spring",))
    told = [*CLOSED[:-1], run, CLOSED[-1]]
    (case,) = read(write(tmp_path, [told]))
    assert isinstance(case, Closed)
    assert case.cause == "ring-missing"
    assert [one.check for one in case.before.findings] == ["lamp"]
    assert [(one.check, one.epoch) for one in case.whole.findings] == [("lamp", 0), ("run", 1)]
    assert case.before.mended == ()
    assert not case.other


@pytest.mark.parametrize(
    ("events", "reason"),
    [
        (CLOSED[:-1], "unfinished"),
        ([*CLOSED, Undone()], "unfinished"),
        ([*CLOSED, Confirmed("charge-leak")], "contradictory"),
        ([*CLOSED, Persists()], "contradictory"),
        ([*CLOSED[:-1], Persists(), CLOSED[-1]], "contradictory"),
        ([*CLOSED[:3], RuledOut("ring-missing"), *CLOSED[3:]], "contradictory"),
        (story("no-such-cause", RING), "foreign"),
        (story("../../etc/passwd", RING), "foreign"),
        (story("flap-stuck", RING), "foreign"),
        (story("ring-missing", RING, setup="no-such-setup"), "foreign"),
        (story("ring-missing", RING, symptom="no-such-symptom"), "foreign"),
        (story("ring-missing", RING, setup="either"), "foreign"),
        ([*CLOSED[:3], *[RING] * MOST_EVENTS, *CLOSED[3:]], "broken"),
    ],
)
def test_reasons_to_skip(events: list[Event], reason: str) -> None:
    assert closed(events, b"", BOOK) == reason


@pytest.mark.parametrize(
    "events",
    [
        # Confirmed once more after the case was opened again, and with a slip of the finger.
        [*CLOSED, Resumed("0123456789abcdef"), Confirmed("ring-missing")],
        [*CLOSED[:-1], Confirmed("charge-leak"), Undone(), CLOSED[-1]],
        # Something else was mended first.
        [*CLOSED[:3], Mended("charge-leak"), Persists(), *CLOSED[3:]],
    ],
)
def test_what_is_no_contradiction(events: list[Event]) -> None:
    found = closed(events, b"", BOOK)
    assert isinstance(found, Closed)
    assert found.cause == "ring-missing"


def test_other_knowledge_counts_when_its_words_mean_something_here(tmp_path: Path) -> None:
    told = story("ring-missing", RING, Answered("gone-check", ("x",)), digest="fedcba9876543210")
    (case,) = read(write(tmp_path, [told]))
    assert isinstance(case, Closed)
    assert case.other
    assert [one.check for one in case.whole.findings] == ["lamp"]


def test_the_same_case_counts_once(tmp_path: Path) -> None:
    again = [*CLOSED, Resumed("0123456789abcdef"), Noted("called, all well")]
    for name, events in {"a": CLOSED, "b": CLOSED, "c": again}.items():
        (tmp_path / f"{name}.case.jsonl").write_text(text_of(events), encoding="utf-8")
    assert why(tmp_path) == {"closed": 1, "repeated": 2}
    # Another hour is another car.
    later = text_of(CLOSED, "2031-05-04T11:20:30+02:00")
    (tmp_path / "d.case.jsonl").write_text(later, encoding="utf-8")
    assert why(tmp_path) == {"closed": 2, "repeated": 2}


def test_broken_files_are_skipped_with_their_line(tmp_path: Path) -> None:
    write(tmp_path, [CLOSED])
    lines = text_of(CLOSED).splitlines()
    (tmp_path / "broken.case.jsonl").write_text("\n".join([lines[0], "{", *lines[1:]]), "utf-8")
    (tmp_path / "other.case.jsonl").write_bytes(b"\xff\xfe\x00")
    assert why(tmp_path) == {"closed": 1, "broken": 2}
    messages = [one.message for one in read(tmp_path) if isinstance(one, Skipped)]
    assert "broken.case.jsonl:2:1: this line of the case cannot be read" in messages[0]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes here")
def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.case.jsonl")
    assert why(tmp_path) == {"broken": 1}


def test_swap_files_and_other_files_are_left_alone(tmp_path: Path) -> None:
    below = tmp_path / "2031"
    write(below, [CLOSED])
    for name in (".000000.case.jsonl.swp", "000000.case.jsonl~", ".hidden.case.jsonl", "notes.txt"):
        (below / name).write_text("x", encoding="utf-8")
    assert list(journals([tmp_path])) == [below / "000000.case.jsonl"]
    # What is named by its name is read, whatever it is called.
    assert list(journals([below / "notes.txt"])) == [below / "notes.txt"]


def test_a_path_that_is_not_there_is_one_message(tmp_path: Path) -> None:
    with pytest.raises(MissingError, match="there is no such file or folder of cases"):
        list(journals([tmp_path / "gone"]))


@given(st.binary(max_size=300))
def test_any_bytes_are_a_case_or_a_reason(data: bytes) -> None:
    from tempfile import TemporaryDirectory

    with TemporaryDirectory() as folder:
        Path(folder, "x.case.jsonl").write_bytes(data)
        (one,) = read(Path(folder))
        assert isinstance(one, Skipped)
