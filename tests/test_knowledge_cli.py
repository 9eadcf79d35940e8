"""The actions of gatepost knowledge from end to end."""

from __future__ import annotations

import json
import re
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


TRAILING = "extra-lamp: {title: lamp for the boot}  \n"


def test_check_shows_findings_and_mends_them(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tools = tmp_path / "tools.yaml"
    tools.write_text(TRAILING, encoding="utf-8")
    line = ["knowledge", "check", "--knowledge", str(tmp_path), "--rule", "trailing-blanks"]
    assert main(line) == 1
    shown = capsys.readouterr()
    where = f"{tools}:1:{len(TRAILING) - 2}"
    wanted = "warning: blanks at the end of the line; delete them [trailing-blanks]"
    assert shown.out == f"{where}: {wanted}\n"
    assert shown.err == "0 errors, 1 warning; 1 can be mended with --fix.\n"
    assert main([*line, "--fix"]) == 0
    shown = capsys.readouterr()
    assert shown.out.startswith("No mistakes in ")
    assert shown.err == "1 mended.\n"
    assert tools.read_text(encoding="utf-8") == TRAILING.replace("  \n", "\n")


def test_check_prints_objects(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "tools.yaml").write_text("lamp: {titel: a lamp}\n", encoding="utf-8")
    line = ["knowledge", "check", "--knowledge", str(tmp_path)]
    assert main([*line, "--json"]) == 1
    assert json.loads(capsys.readouterr().out)["findings"][0]["rule"] == "form"
    assert main([*line, "--sarif"]) == 1
    (run,) = json.loads(capsys.readouterr().out)["runs"]
    assert {one["ruleId"] for one in run["results"]} == {"form"}
    assert main([*line, "--sarif", "--json"]) == 2


def test_check_lists_rules_and_names_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["knowledge", "check", "--rules", "--rule", "no-car", "--rule", "no-case"]) == 0
    listed = capsys.readouterr().out.splitlines()
    assert [one.split()[0] for one in listed] == ["no-car", "no-case"]
    assert main(["knowledge", "check", "--rule", "no-cars"]) == 2
    assert "no-car" in capsys.readouterr().err


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


def test_show_prints_an_entry_or_an_object(capsys: pytest.CaptureFixture[str]) -> None:
    line = ["knowledge", "show", "seat-ring-missing"]
    assert main(line) == 0
    shown = capsys.readouterr().out
    assert "\nseat-ring-missing:\n  title: " in shown
    assert shown.endswith("\n")
    assert main([*line, "--json"]) == 0
    (entry,) = json.loads(capsys.readouterr().out)["entries"]
    assert entry["text"] in shown
    assert main([*line, "--kind", "cause"]) == 0
    assert capsys.readouterr().out == shown


def test_show_names_the_nearest_entry_and_kind(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["knowledge", "show", "seat-ring-mising"]) == 2
    assert "Did you mean seat-ring-missing?" in capsys.readouterr().err
    assert main(["knowledge", "show", "seat-ring-missing", "--kind", "chek"]) == 2
    assert "no kind 'chek'. Did you mean check?" in capsys.readouterr().err
    assert main(["knowledge", "show", "seat-ring-missing", "--kind", "check"]) == 2
    assert "no check 'seat-ring-missing'" in capsys.readouterr().err


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


GAPS = ["knowledge", "gaps", "--setup", "external-single", "--symptom", "flutter"]


def test_gaps_are_1_until_the_files_explain_them(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from tests.workbench.gap_knowledge import twins

    line = [*GAPS, "--json", "--knowledge"]
    ids = ["twin-one", "twin-two"]
    assert main([*line, str(twins(tmp_path / "bare"))]) == 1
    found = json.loads(capsys.readouterr().out)
    (pair,) = [gap for gap in found["gaps"] if gap["ids"] == ids]
    assert (pair["gap"], pair["value"], pair["reason"]) == ("no-telling-apart", 0.0, None)
    excused = "  excused: {no-telling-apart: Twins., never-found: Twins.}\n"
    main([*line, str(twins(tmp_path / "told", excused))])
    told = json.loads(capsys.readouterr().out)
    about = [
        (gap["gap"], gap["reason"]) for gap in told["gaps"] if gap["ids"] in (ids, ids[:1], ids[1:])
    ]
    assert ("no-telling-apart", "Twins.") in about
    assert about.count(("never-found", "Twins.")) == 2
    assert told["unexplained"] == found["unexplained"] - 3


def test_gaps_are_0_when_all_are_explained(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from expert.rules.ids import GAPS as KINDS
    from tests.loading.folders import SMALL, write

    # A folder of one's own in place of the shipped one, in which every entry is excused.
    monkeypatch.setattr("expert.loading.folder.shipped_folder", lambda: folder)
    folder = write(tmp_path / "open")
    assert main(["knowledge", "gaps"]) == 1
    count = int(capsys.readouterr().out.splitlines()[-1].split()[0])
    excused = f"excused: {{{', '.join(f'{kind}: Meant.' for kind in KINDS)}}}"
    files = {
        name: re.sub(r"(?m)^( *)basis:", rf"\1{excused}\n\1basis:", text)
        for name, text in SMALL.items()
        if name.startswith(("causes/", "checks/", "symptoms/"))
    }
    folder = write(tmp_path / "explained", files)
    assert main(["knowledge", "gaps"]) == 0
    shown = capsys.readouterr().out
    assert shown.count("explained: Meant.") == count > 0
    assert shown.endswith("none without an explanation in the files.\n")


def test_look_alikes_are_drawn(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from tests.workbench.gap_knowledge import twins

    file = tmp_path / "wall.gv"
    line = [*GAPS, "--below", "9", "--picture", str(file)]
    assert main([*line, "--knowledge", str(twins(tmp_path / "twins"))]) == 1
    shown = capsys.readouterr()
    assert str(file) in shown.err
    pairs = sum(" / " in row for row in shown.out.partition("\n\n")[0].splitlines())
    assert pairs >= 1
    assert file.read_text(encoding="utf-8").count(" -- ") == pairs
    assert main([*GAPS, "--picture", str(tmp_path / "wall.jpg")]) == 2
    assert "expected a name that ends in" in capsys.readouterr().err


def test_gaps_of_an_unknown_setup_or_symptom(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["knowledge", "gaps", "--setup", "external-singel"]) == 2
    assert "external-single" in capsys.readouterr().err
    assert main(["knowledge", "gaps", "--symptom", "flater"]) == 2
    assert "flutter" in capsys.readouterr().err


def test_diff_of_a_folder_and_of_a_revision(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from tests.workbench.repository import commit

    monkeypatch.chdir(tmp_path)
    (tmp_path / "shop").mkdir()
    mine = tmp_path / "shop" / "mine.cases.yaml"
    mine.write_text(RING, encoding="utf-8")
    commit(tmp_path)
    mine.write_text(RING.replace("within: 1", "within: 20"), encoding="utf-8")
    assert main(["knowledge", "diff", "HEAD", "--knowledge", "shop"]) == 0
    text = capsys.readouterr().out
    assert text.startswith("From HEAD to the folders as loaded: 1 entry differs.\n")
    assert "    9:5 expect within: 1 -> 20\n" in text
    assert "misses: within" in text
    assert main(["knowledge", "diff", "HEAD:shop", "shop", "--json"]) == 0
    (change,) = json.loads(capsys.readouterr().out)["changes"]
    assert change["place"] == "shop/mine.cases.yaml:1:1"


@pytest.mark.parametrize(
    ("names", "code", "expected"),
    [
        (["no-such"], 3, "git"),
        (["--", "-x"], 2, "hyphen"),
        (["shop", "shop", "--knowledge", "shop"], 2, "--knowledge is not used"),
        (["shop/mine.cases.yaml"], 2, "is a file"),
    ],
)
def test_diff_says_in_one_message_what_it_cannot_compare(
    names: list[str],
    code: int,
    expected: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))
    (tmp_path / "shop").mkdir()
    (tmp_path / "shop" / "mine.cases.yaml").write_text(RING, encoding="utf-8")
    assert main(["knowledge", "diff", *names]) == code
    shown = capsys.readouterr()
    assert shown.out == ""
    assert shown.err.startswith("gatepost: ")
    assert expected in shown.err
    assert shown.err.count("\n") == 1
