"""Which case a message belongs to: ``expert/desk/threads.py``."""

from __future__ import annotations

from pathlib import Path

from expert.case.events import Answered, Noted
from expert.case.state import fold
from expert.desk.threads import FolderCases, MemoryCases, Threads, identity, messages_in, news
from tests.desk.mails import desk, knowledge, lexicon, read, threads

FIRST = "external gate, 3 port solenoid, just fitted. the turbo makes no boost"
REPLY = "yes it clicks, and the lamp shows a full ring\n\n> does it click?"


def test_a_reply_advances_its_case() -> None:
    cases = MemoryCases()
    taking = threads(cases)
    _, first, _, none = taking.take(read(FIRST, 1, id="a"))
    taken, second, events, fresh = taking.take(read(REPLY, 2, id="b", answers="a"))
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
    cases = FolderCases(tmp_path, "d")
    assert len(cases.damaged) == 1
    assert cases.find(["<a@example.org>"]) is None


def test_memory_forgets_the_oldest(monkeypatch: object) -> None:
    cases = MemoryCases()
    for number in range(10_002):
        cases.append(f"c{number}", [Noted(f"message <{number}>")])
    assert cases.find(["<0>"]) is None
    assert cases.find(["<10001>"]) == "c10001"
