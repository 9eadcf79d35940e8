"""The actions of gatepost knowledge from end to end."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from expert.cli import main
from expert.knowledge_options import ACTIONS
from expert.options import parse


def test_effort_prints_a_table_or_an_object(capsys: pytest.CaptureFixture[str]) -> None:
    line = "knowledge effort --symptom flutter --setup internal-nipple --cars 1"
    assert main(line.split()) == 0
    assert capsys.readouterr().out.splitlines()[3].startswith("flutter")
    assert main([*line.split(), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["rows"][0]["symptom"] == "flutter"


RING = """\
lamp-says-ring:
  title: New gate, no boost
  setup: external-single
  symptoms: [lazy]
  answers: {what-changed: just-fitted, worked-on: gate, light-behind-valve: full-ring}
  rest: sound
  expect:
    cause: seat-ring-missing
    within: 1
  basis: invented
"""


def test_try_is_1_when_a_case_misses_and_says_where(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "mine.cases.yaml").write_text(RING, encoding="utf-8")
    line = ["knowledge", "try", "--case", "lamp-says-ring", "--knowledge", str(tmp_path)]
    assert main(line) == 1
    text = capsys.readouterr().out
    assert "mine.cases.yaml:9:5: lamp-says-ring, checks asked: expected at most 1" in text
    assert text.endswith("1 case tried: 1 misses.\n")
    (tmp_path / "mine.cases.yaml").write_text(RING.replace("within: 1", "within: 20"), "utf-8")
    assert main(line) == 0
    assert capsys.readouterr().out == "1 case tried: none misses.\n"


def test_try_names_the_nearest_case(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["knowledge", "try", "--case", "ring-left-ou"]) == 2
    assert "ring-left-out" in capsys.readouterr().err


def test_an_unknown_id_is_named_with_its_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["knowledge", "effort", "--symptom", "flater", "--cars", "1"]) == 2
    assert "flutter" in capsys.readouterr().err


@pytest.mark.parametrize("action", ACTIONS)
def test_a_folder_that_is_not_there_is_one_message(
    action: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    needed = {"diff": ["HEAD"], "learn": ["x.case.jsonl"], "show": ["lazy"]}.get(action, [])
    assert parse(["knowledge", action, *needed]).action == action
    missing = str(tmp_path / "no-such-folder")
    assert main(["knowledge", action, *needed, "--knowledge", missing]) == 3
    shown = capsys.readouterr()
    assert shown.out == ""
    assert "no-such-folder" in shown.err
    assert "Traceback" not in shown.err


def _closed_cases(folder: Path, count: int) -> Path:
    """Journals of cars on which a full ring was seen and the missing ring was confirmed."""
    from expert.case.events import Answered
    from tests.workbench.journals import story, write

    told = story(
        "seat-ring-missing",
        Answered("light-behind-valve", ("full-ring",)),
        setup="external-single",
    )
    return write(folder, [told] * count)


def test_learn_writes_an_overlay_that_loads(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    cases, out = _closed_cases(tmp_path / "cases", 8), tmp_path / "learned"
    assert main(["knowledge", "learn", str(cases)]) == 0
    assert "8 cases learned from, 8 of them told with other knowledge." in capsys.readouterr().out
    assert not out.exists()
    line = ["knowledge", "learn", str(cases), "--out", str(out), "--strength", "5", "--json"]
    assert main(line) == 0
    made = json.loads(capsys.readouterr().out)
    assert made["cases"] == 8
    assert len(made["written"]) == 2
    assert main(["knowledge", "check", "--knowledge", str(out)]) in (0, 1)
    assert "mistake" not in capsys.readouterr().err
    # What is already loaded must not be learned into.
    assert main([*line, "--knowledge", str(out)]) == 2
    assert "would count twice" in capsys.readouterr().err


def test_nothing_of_a_journal_but_ids_and_counts_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from expert.case.events import Answered, Noted
    from tests.workbench.journals import story, text_of

    told = story(
        "seat-ring-missing",
        Answered("light-behind-valve", ("full-ring",)),
        Noted("the grey one of Mrs Invented"),
        setup="external-single",
    )
    cases = tmp_path / "cases"
    cases.mkdir()
    (cases / "invented-name.case.jsonl").write_text(text_of(told), encoding="utf-8")
    out = tmp_path / "learned"
    assert main(["knowledge", "learn", str(cases), "--out", str(out), "--json"]) == 0
    kept = capsys.readouterr().out
    kept += "".join(path.read_text(encoding="utf-8") for path in out.rglob("*.yaml"))
    assert "seat-ring-missing" in kept
    for secret in ("grey one", "Invented", "invented-name.case", "2031-05-04", "10:20:30"):
        assert secret not in kept


def test_learn_refuses_what_ranks_worse(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from expert.workbench.learn import Lesson

    monkeypatch.setattr(Lesson, "worse", property(lambda _: True))
    cases, out = _closed_cases(tmp_path / "cases", 8), tmp_path / "learned"
    line = ["knowledge", "learn", str(cases), "--out", str(out)]
    assert main(line) == 1
    shown = capsys.readouterr()
    assert "Nothing was written" in shown.err
    assert not out.exists()
    assert main([*line, "--force"]) == 0
    assert (out / "causes" / "learned-1.yaml").is_file()


def test_learn_without_a_closed_case_is_one_message(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["knowledge", "learn", str(tmp_path)]) == 1
    shown = capsys.readouterr()
    assert shown.out == ""
    assert "no closed case to learn from (no journals at all)" in shown.err


def test_calibrate_prints_a_table_or_an_object(capsys: pytest.CaptureFixture[str]) -> None:
    line = "knowledge calibrate --cars 200"
    assert main(line.split()) == 0
    assert capsys.readouterr().out.startswith("200 invented cars in each setting.\n")
    assert main([*line.split(), "--json"]) == 0
    assert len(json.loads(capsys.readouterr().out)["settings"]) == 5
