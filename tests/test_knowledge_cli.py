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
