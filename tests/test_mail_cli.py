"""gatepost mail from end to end."""

from __future__ import annotations

import csv
import io
import json
from email import message_from_bytes, policy
from pathlib import Path

import pytest

from expert.case.journal import read
from expert.case.state import fold
from expert.cli import main

DEMO = Path(__file__).parents[1] / "docs" / "mailbox.mbox"
STOP = "Subject: help\nFrom: Robin <robin@example.org>\nMessage-ID: <a@example.org>\n\n"
STOP += "it overboosts, 22 psi on a 10 psi spring. no codes\n"


@pytest.fixture
def box(tmp_path: Path) -> Path:
    path = tmp_path / "box"
    path.mkdir()
    (path / "1.eml").write_text(STOP)
    (path / "2.txt").write_text("where is my invoice")
    (path / "3.eml").write_bytes(b"\0\0")
    return path


def out(capsys: pytest.CaptureFixture[str]) -> str:
    return " ".join(capsys.readouterr().out.split())


def test_the_demo_mailbox_is_a_queue(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["mail", str(DEMO)]) == 0
    text = out(capsys)
    assert "50 messages" in text
    assert "1 broken" in text
    assert main(["mail", str(DEMO), "--csv"]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert len(rows) == 50
    urgencies = [int(row["urgency"]) for row in rows]
    assert urgencies == sorted(urgencies, reverse=True)
    assert {row["drive"] for row in rows if row["urgency"] == "3"} == {"stop"}


def test_json_is_one_object(box: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["mail", str(box), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["format"] == 1
    assert [one["kind"] for one in found["messages"]] == ["complaint", "unrelated", "broken"]
    # What cannot be read is not judged, and somebody has to read it.
    assert [one["drive"] for one in found["messages"]] == ["stop", "ok", None]
    assert [one["urgency"] for one in found["messages"]] == [3, 0, 2]
    assert main(["mail", str(box / "3.eml"), "--json"]) == 0


def test_no_message_at_all(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["mail", str(tmp_path), "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == {"format": 1, "messages": []}


def test_one_message_with_its_draft(box: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["mail", "show", "1", str(box), "--draft"]) == 0
    text = out(capsys)
    assert "[overboosts]" in text
    assert "STOP:" in text
    assert "please do not drive the car" in text


def test_drafts_are_files_that_answer(box: Path, tmp_path: Path) -> None:
    drafts = tmp_path / "drafts"
    (tmp_path / "shop.txt").write_text("Dear driver,\n---\nThe desk\n")
    command = [
        "mail",
        str(box),
        "--draft",
        "--out",
        str(drafts),
        "--shop",
        str(tmp_path / "shop.txt"),
    ]
    assert main(command) == 0
    (path,) = drafts.iterdir()
    message = message_from_bytes(path.read_bytes(), policy=policy.default)
    assert path.name == "reply-00001.eml"
    assert (message["To"], message["Subject"]) == ("Robin <robin@example.org>", "Re: help")
    assert message["In-Reply-To"] == "<a@example.org>"
    assert message.get_content().startswith("Dear driver,")
    assert main([*command, "--format", "text"]) == 0
    assert (drafts / "reply-00001.txt").read_text().rstrip().endswith("The desk")


def test_a_correction_is_kept_and_the_case_goes_on(
    box: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    kept = tmp_path / "kept"
    command = ["mail", "correct", "1", str(box), "--cases", str(kept)]
    said = [
        "--symptom",
        "creep",
        "--drop",
        "overboost",
        "--drop",
        "stored-codes",
        "--spring",
        "7psi",
    ]
    assert main([*command, *said, "--answer", "seat-ring=none"]) == 0
    (path,) = kept.iterdir()
    state = fold(read(path).events)
    assert state.symptoms == ("creep",)
    assert state.answers("stored-codes") == ()
    assert state.spring_kpa == pytest.approx(48.26, abs=0.01)
    before = path.read_bytes()
    capsys.readouterr()
    assert main(["mail", str(box), "--cases", str(kept), "--json"]) == 0
    assert path.read_bytes() == before
    found = json.loads(capsys.readouterr().out)["messages"][0]
    assert found["case"] == path.name
    assert found["drive"] != "stop"


def test_what_was_taken_for_unrelated_begins_its_case(
    box: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    kept = tmp_path / "kept"
    command = ["mail", "correct", "2", str(box), "--cases", str(kept), "--symptom", "lazy"]
    assert main(command) == 0
    capsys.readouterr()
    assert main(["mail", str(box), "--cases", str(kept), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)["messages"][1]
    assert (found["kind"], found["urgency"], found["new"]) == ("complaint", 1, 0)
    assert found["causes"]
    assert (kept / found["case"]).is_file()


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["show", "9", "BOX"], "There is no message 9"),
        (["show", "BOX"], "Name the number"),
        (["correct", "1", "BOX"], "Say what to correct"),
        (["correct", "1", "BOX", "--drop", "creep"], "name the folder with --cases"),
        (["correct", "2", "BOX", "--drop", "x", "--cases", "KEPT"], "is not in this case"),
        (["correct", "3", "BOX", "--drop", "x", "--cases", "KEPT"], "belongs to no case"),
        (["correct", "1", "BOX", "--drop", "creep", "--cases", "KEPT"], "is not in this case"),
        (["BOX", "--symptom", "creep"], "--symptom is for gatepost mail correct"),
        (["BOX", "--json", "--csv"], "--csv prints a queue"),
        (["BOX", "--out", "KEPT"], "belong to --draft"),
        (["BOX", "--draft", "--json"], "add --out DIR"),
        (["BOX", "--draft", "--format", "text"], "name their folder"),
    ],
)
def test_mistakes_are_one_clear_message(
    words: list[str],
    message: str,
    box: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    named = {"BOX": str(box), "KEPT": str(tmp_path / "kept")}
    assert main(["mail", *(named.get(word, word) for word in words)]) == 2
    shown = capsys.readouterr()
    assert message in " ".join(shown.err.split())
    assert "Traceback" not in shown.err


def test_a_path_that_is_not_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["mail", str(tmp_path / "none.eml")]) == 3
    assert "no such file" in capsys.readouterr().err
    assert main(["mail", str(DEMO), "--draft", "--shop", str(tmp_path / "none.txt")]) == 3
