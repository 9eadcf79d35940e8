"""Which case a message belongs to: ``expert/desk/threads.py``."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from expert.case.events import Answered, Noted
from expert.case.journal import Journal
from expert.case.journal import read as read_journal
from expert.case.state import fold
from expert.desk.threads import (
    FolderCases,
    MemoryCases,
    Threads,
    draft_id,
    identity,
    messages_in,
    news,
    set_right,
    settled,
)
from tests.desk.mails import desk, knowledge, lexicon, read, threads

FIRST = "external gate, 3 port solenoid, just fitted. the turbo makes no boost"
REPLY = "yes it clicks, and the lamp shows a full ring\n\n> does it click?"


def test_a_reply_advances_its_case() -> None:
    cases = MemoryCases()
    taking = threads(cases)
    _, first, _, none, _ = taking.take(read(FIRST, 1, id="a"))
    taken, second, events, fresh, _ = taking.take(read(REPLY, 2, id="b", answers="a"))
    assert first == second
    assert none == ()
    assert {(one.check, one.answers) for one in fresh if isinstance(one, Answered)} == {
        ("solenoid-click", ("crisp",)),
        ("light-behind-valve", ("full-ring",)),
    }
    state = fold(events)
    assert state.symptoms == ("lazy",)
    assert all(one.origin == "mail" for one in state.findings)
    found = desk().triage(taken, events, second, fresh)
    assert found.assessed.causes[0][0] == "seat-ring-missing"


def test_reading_again_changes_nothing(tmp_path: Path) -> None:
    messages = [read(FIRST, 1, id="a"), read(REPLY, 2, id="b", answers="a"), read("invoice", 3)]

    def run() -> tuple[list[str], bytes]:
        taking = Threads(FolderCases(tmp_path / "cases", "d"), knowledge(), lexicon())
        names = [taking.take(one)[1] for one in messages]
        (path,) = (tmp_path / "cases").iterdir()
        return names, path.read_bytes()

    first, second = run(), run()
    assert first == second
    assert first[0][2] == ""


def test_a_case_keeps_the_ids_of_its_messages() -> None:
    cases = MemoryCases()
    threads(cases).take(read(FIRST, 1, id="a"))
    assert messages_in(cases.events("<a@example.org>")) == ["<a@example.org>"]
    assert cases.find(["<b@example.org>", "<a@example.org>"]) == "<a@example.org>"


def test_a_message_without_an_id_is_known_by_its_words() -> None:
    one, same, other = (read(text).mail for text in ("no boost", "no boost", "boost"))
    assert one is not None
    assert same is not None
    assert other is not None
    assert identity(one) == identity(same) != identity(other)


def test_a_name_in_a_folder_comes_from_no_text_of_the_message(tmp_path: Path) -> None:
    name = FolderCases(tmp_path, "d").name("<../../x@y>")
    assert name.startswith("mail-")
    assert "/" not in name
    assert ".." not in name


def test_an_answer_from_the_car_is_not_changed_by_a_mail() -> None:
    before = [Answered("solenoid-click", ("silent",), "asked")]
    assert news(before, [Answered("solenoid-click", ("crisp",), "mail")]) == []
    claimed = [Answered("solenoid-click", ("silent",), "mail")]
    assert news(claimed, [Answered("solenoid-click", ("crisp",), "mail")])


def test_a_damaged_case_is_passed_and_said(tmp_path: Path) -> None:
    (tmp_path / "x.case.jsonl").write_text("nonsense\n")
    said: list[str] = []
    cases = FolderCases(tmp_path, "d", said.append)
    assert len(said) == 1
    assert "x.case.jsonl" in said[0]
    assert cases.find(["<a@example.org>"]) is None


def test_a_case_in_use_elsewhere_is_left_alone_and_the_run_goes_on(tmp_path: Path) -> None:
    said: list[str] = []
    cases = FolderCases(tmp_path, "d", said.append)
    taking = Threads(cases, knowledge(), lexicon())
    _, case, _, _, _ = taking.take(read(FIRST, 1, id="a"))
    before = (tmp_path / case).read_bytes()
    with Journal.open(tmp_path / case, "d"):
        held = (tmp_path / case).read_bytes()
        _, same, events, fresh, _ = taking.take(read(REPLY, 2, id="b", answers="a"))
        assert (tmp_path / case).read_bytes() == held
    assert held.startswith(before)
    assert same == case
    assert len(said) == 1
    assert fresh
    assert fold(events).answers("solenoid-click") == ("crisp",)


@pytest.mark.parametrize("in_folder", [False, True])
def test_a_reply_to_a_draft_of_ours_finds_its_case(in_folder: bool, tmp_path: Path) -> None:
    cases = FolderCases(tmp_path, "d") if in_folder else MemoryCases()
    taking = threads(cases)
    _, first, _, _, _ = taking.take(read(FIRST, 1, id="a"))
    # Some mail programs name nothing but the message that they answer.
    ours = draft_id("<a@example.org>")
    assert ours == draft_id("<a@example.org>") != draft_id("<b@example.org>")
    reply = {"In-Reply-To": ours}
    _, second, _, fresh, _ = taking.take(read(REPLY, 2, id="b", **reply))
    assert second == first
    assert fresh
    # And an answer to the draft that answers that reply.
    reply = {"References": f"<x@example.org> {draft_id('<b@example.org>')}"}
    assert taking.take(read("no codes", 3, id="c", **reply))[1] == first


def test_a_message_without_an_id_can_be_answered_too() -> None:
    taking = threads()
    one = read(FIRST, 1)
    assert one.mail is not None
    _, case, _, _, _ = taking.take(one)
    reply = {"In-Reply-To": draft_id(identity(one.mail))}
    assert taking.take(read(REPLY, 2, id="b", **reply))[1] == case


def test_messages_that_answer_the_same_newsletter_are_no_case_together() -> None:
    taking = threads()
    found = {taking.take(read(FIRST, 1, id=name, answers="news"))[1] for name in ("a", "b")}
    assert len(found) == 2


def test_a_run_that_was_broken_off_is_made_good_by_the_next(tmp_path: Path) -> None:
    whole, broken = tmp_path / "whole", tmp_path / "broken"
    for folder in (whole, broken):
        Threads(FolderCases(folder, "d"), knowledge(), lexicon()).take(read(FIRST, 1, id="a"))
    (path,) = broken.iterdir()
    lines = path.read_bytes().splitlines(keepends=True)
    for kept in range(2, len(lines)):
        path.write_bytes(b"".join(lines[:kept]))
        Threads(FolderCases(broken, "d"), knowledge(), lexicon()).take(read(FIRST, 1, id="a"))
        again, (first,) = read_journal(path).events, whole.iterdir()
        assert fold(again) == fold(read_journal(first).events)


def test_memory_forgets_the_oldest(monkeypatch: object) -> None:
    cases = MemoryCases()
    for number in range(10_002):
        cases.append(f"c{number}", [Noted(f"message <{number}>")])
    assert cases.find(["<0>"]) is None
    assert cases.find(["<10001>"]) == "c10001"


def test_a_folder_keeps_few_cases_in_memory_and_reads_the_others_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("expert.desk.threads._MOST_READ", 2)
    cases = FolderCases(tmp_path, "d")
    for number in range(5):
        cases.append(f"c{number}.case.jsonl", [Noted(f"message <{number}>")])
    assert [cases.find([f"<{number}>"]) for number in range(5)] == [
        f"c{number}.case.jsonl" for number in range(5)
    ]
    assert messages_in(cases.events("c0.case.jsonl")) == ["<0>"]


def test_what_somebody_has_set_right_is_not_feared_any_more() -> None:
    cases = MemoryCases()
    one = read(FIRST, 1, id="a")
    one = replace(one, understanding=replace(one.understanding, danger=0.6))
    assert one.mail is not None
    first = threads(cases).take(one)
    assert first.message.understanding.danger == 0.6
    assert settled(one, first.events) is one
    cases.append(first.case, [set_right(one.mail)])
    again = threads(cases).take(one)
    assert again.message.understanding.danger == 0.0
    assert again.message.understanding.alarming == ()
    # Another message of the case is read for itself.
    other = read(REPLY, 2, id="b", answers="a")
    other = replace(other, understanding=replace(other.understanding, danger=0.6))
    assert threads(cases).take(other).message.understanding.danger == 0.6
