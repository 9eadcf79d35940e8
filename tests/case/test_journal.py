"""Nothing that was answered is ever lost, whatever happens to the file or the process."""

from __future__ import annotations

import errno
import json
import os
import signal
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.case.events import Answered, Described, Event, Noted, Opened, Resumed, Undone
from expert.case.journal import SIZE_LIMIT, Journal, parse, read
from expert.errors import GatepostError, MissingError

SCRIPT: list[Event] = [
    Described("setup", "outer"),
    Described("symptom", "lazy"),
    Described("spring_kpa", 48.263),
    Answered("red-flags", ("none",)),
    Answered("lamp", ()),
    Undone(),
    Noted("eine Notiz: größer als vorher \u2713"),
]


def written(path: Path) -> Path:
    with Journal.open(path, "digest-1") as journal:
        for event in SCRIPT:
            journal.append(event)
    return path


def test_a_journal_comes_back_as_it_was_written(tmp_path: Path) -> None:
    reading = read(written(tmp_path / "a.case.jsonl"))
    assert list(reading.events) == [Opened("digest-1"), *SCRIPT]
    assert reading.end == "whole"
    assert all(time[10] == "T" and time[-6] in "+-" for time in reading.times)


def test_every_event_is_on_the_disk_before_append_returns(tmp_path: Path) -> None:
    path = tmp_path / "a.case.jsonl"
    with Journal.open(path, "digest-1") as journal:
        for count, event in enumerate(SCRIPT, start=2):
            journal.append(event)
            assert len(read(path).events) == count


def test_opening_again_appends_a_resumption(tmp_path: Path) -> None:
    path = written(tmp_path / "a.case.jsonl")
    with Journal.open(path, "digest-2") as journal:
        assert journal.events == [Opened("digest-1"), *SCRIPT, Resumed("digest-2")]
        assert not journal.repaired


def test_a_journal_cut_at_any_byte_keeps_every_whole_line(tmp_path: Path) -> None:
    data = written(tmp_path / "a.case.jsonl").read_bytes()
    ends = [k for k, byte in enumerate(data) if byte == ord("\n")]
    everything = [Opened("digest-1"), *SCRIPT]
    path = tmp_path / "cut.case.jsonl"
    for cut in range(len(data) + 1):
        path.write_bytes(data[:cut])
        # A line counts once its closing brace is there, with or without its line end.
        whole = sum(end <= cut for end in ends)
        with Journal.open(path, "digest-1") as journal:
            assert journal.events[:whole] == everything[:whole]
            assert len(journal.events) == max(whole + 1, 1)
            torn = cut > 0 and cut not in ends and cut - 1 not in ends
            assert journal.repaired == torn
        again = read(path)
        assert again.end == "whole"
        assert list(again.events) == journal.events


def test_a_journal_that_an_editor_saved_anew_is_still_read_and_goes_on(tmp_path: Path) -> None:
    path = written(tmp_path / "a.case.jsonl")
    kept = b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n")
    path.write_bytes(kept)
    assert list(read(path).events) == [Opened("digest-1"), *SCRIPT]
    with Journal.open(path, "digest-1") as journal:
        assert journal.events == [Opened("digest-1"), *SCRIPT, Resumed("digest-1")]
        assert not journal.repaired
    assert path.read_bytes().startswith(kept)
    assert len(read(path).events) == len(SCRIPT) + 2


def test_a_byte_order_mark_counts_in_the_place_where_whole_lines_end() -> None:
    line = b'\xef\xbb\xbf{"format": 1, "time": "t", "event": "opened", "knowledge": "d"}\n'
    torn = parse(line + b'{"form', "x")
    assert (torn.events, torn.whole_bytes, torn.end) == ((Opened("d"),), len(line), "torn")
    only = parse(b"\xef\xbb\xbf", "x")
    assert (only.events, only.end) == ((), "whole")
    # It belongs to the head of a file and nowhere else.
    with pytest.raises(GatepostError, match=r"x:2:1: .*no JSON text"):
        parse(line + line, "x")


def test_damage_in_the_middle_is_refused_with_its_line_and_nothing_changes(tmp_path: Path) -> None:
    path = written(tmp_path / "a.case.jsonl")
    lines = path.read_bytes().split(b"\n")
    lines[2] = lines[2][:10]
    path.write_bytes(b"\n".join(lines))
    before = path.read_bytes()
    with pytest.raises(GatepostError, match=r"a\.case\.jsonl:3:1: .*cannot be read"):
        Journal.open(path, "digest-1")
    assert path.read_bytes() == before


@pytest.mark.parametrize("content", [b"dear diary", b"{", b'{"a": 1}\n', b"\n", b"\x00\xff" * 40])
def test_a_file_that_is_no_journal_is_left_alone(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "letter.txt"
    path.write_bytes(content)
    if content == b"{":
        # One brace may be all that a crash left of a first line.
        with Journal.open(path, "d") as journal:
            assert journal.events == [Opened("d")]
        return
    with pytest.raises(GatepostError, match="cannot be read"):
        Journal.open(path, "digest-1")
    assert path.read_bytes() == content


def test_a_newer_format_is_refused_and_kept(tmp_path: Path) -> None:
    path = tmp_path / "a.case.jsonl"
    path.write_text(json.dumps({"format": 99, "time": "x", "event": "new-thing"}) + "\n")
    before = path.read_bytes()
    with pytest.raises(GatepostError, match=r"format 99.*update Gatepost"):
        Journal.open(path, "digest-1")
    assert path.read_bytes() == before


def test_a_journal_of_over_16_mib_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "a.case.jsonl"
    with path.open("wb") as file:
        file.truncate(SIZE_LIMIT + 1)
    for use in (read, lambda where: Journal.open(where, "d")):
        with pytest.raises(GatepostError, match="over 16 MiB"):
            use(path)


def test_a_missing_or_unreadable_case_is_one_message(tmp_path: Path) -> None:
    with pytest.raises(MissingError, match="cannot be read: no such file"):
        read(tmp_path / "none.case.jsonl")
    with pytest.raises(MissingError, match="is a directory"):
        Journal.open(tmp_path, "digest-1")


def test_a_place_that_cannot_be_written_is_one_message(tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("not a folder")
    with pytest.raises(MissingError, match=r"cannot be kept there.*--case FILE"):
        Journal.open(blocked / "a.case.jsonl", "digest-1")


def test_a_full_disk_loses_only_the_last_answer_and_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.case.jsonl"
    with Journal.open(path, "digest-1") as journal:
        journal.append(SCRIPT[0])
        before = path.read_bytes()

        def full(_: int) -> None:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

        monkeypatch.setattr(os, "fsync", full)
        with pytest.raises(MissingError, match="could not be saved: no space left"):
            journal.append(SCRIPT[1])
        assert journal.events == [Opened("digest-1"), SCRIPT[0]]
    assert path.read_bytes() == before


LIMITED = textwrap.dedent(
    """
    import resource, signal, sys
    from pathlib import Path
    from expert.case.events import Noted
    from expert.case.journal import Journal
    from expert.errors import MissingError
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    journal = Journal.open(Path(sys.argv[1]), "digest")
    resource.setrlimit(resource.RLIMIT_FSIZE, (2000, 2000))
    try:
        for k in range(100):
            journal.append(Noted("x" * 300))
    except MissingError as error:
        print(len(journal.events), error)
    """
)


def test_a_file_that_really_cannot_grow_keeps_its_whole_lines(tmp_path: Path) -> None:
    path = tmp_path / "a.case.jsonl"
    done = subprocess.run(
        [sys.executable, "-c", LIMITED, str(path)], capture_output=True, text=True, check=True
    )
    count, _, message = done.stdout.partition(" ")
    assert "could not be saved: file too large" in message
    reading = read(path)
    assert reading.end == "whole"
    assert len(reading.events) == int(count)


@given(st.binary(max_size=300))
def test_any_bytes_are_a_journal_or_refused_in_words(data: bytes) -> None:
    try:
        reading = parse(data, "x.case.jsonl")
    except GatepostError as error:
        assert str(error).startswith("x.case.jsonl:")
    else:
        assert 0 <= reading.whole_bytes <= len(data)


@given(st.data())
def test_a_damaged_journal_is_read_or_refused_in_words(data: st.DataObject) -> None:
    lines = b'{"format": 1, "time": "t", "event": "opened", "knowledge": "d"}\n' + (
        b'{"format": 1, "time": "t", "event": "answered", "check": "lamp", '
        b'"answers": ["ring"], "origin": "asked"}\n' * 3
    )
    at = data.draw(st.integers(0, len(lines) - 1))
    damaged = lines[:at] + data.draw(st.binary(max_size=5)) + lines[at + 1 :]
    try:
        reading = parse(damaged, "x.case.jsonl")
    except GatepostError as error:
        assert "\n" not in str(error)
    else:
        assert isinstance(reading.events[0], Opened) if reading.events else True


CHILD = textwrap.dedent(
    """
    import sys, time
    from pathlib import Path
    from expert.case.events import Answered
    from expert.case.journal import Journal
    journal = Journal.open(Path(sys.argv[1]), "digest")
    for k in range(int(sys.argv[2])):
        journal.append(Answered(f"check-{k}", ("yes",)))
    print("ready", flush=True)
    time.sleep(60)
    """
)


def _child(path: Path, events: int) -> subprocess.Popen[str]:
    child = subprocess.Popen(
        [sys.executable, "-c", CHILD, str(path), str(events)], stdout=subprocess.PIPE, text=True
    )
    assert child.stdout is not None
    assert child.stdout.readline() == "ready\n"
    return child


@pytest.mark.parametrize("events", [0, 1, 5])
def test_killed_at_once_after_any_event_nothing_is_lost(tmp_path: Path, events: int) -> None:
    path = tmp_path / "a.case.jsonl"
    with _child(path, events) as child:
        child.send_signal(signal.SIGKILL)
    expected = [Opened("digest"), *(Answered(f"check-{k}", ("yes",)) for k in range(events))]
    assert list(read(path).events) == expected


def test_two_writers_on_one_case_are_refused_kindly(tmp_path: Path) -> None:
    path = tmp_path / "a.case.jsonl"
    with _child(path, 1) as child:
        before = path.read_bytes()
        with pytest.raises(GatepostError, match="another Gatepost has this case open"):
            Journal.open(path, "digest")
        assert path.read_bytes() == before
        child.kill()
    with Journal.open(path, "digest") as journal:
        assert len(journal.events) == 3
