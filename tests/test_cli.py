"""The command line: results on stdout, everything else on stderr, and the documented exit codes."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from expert import __version__
from expert.case.events import Answered, Described
from expert.case.journal import Journal
from expert.cli import DONE, main
from expert.errors import EXIT_DONE, EXIT_PROBLEMS

LAMP = [
    "rank", "--setup", "external-single", "--symptom", "lazy",
    "--answer", "what-changed=just-fitted", "--answer", "hose-trace=matches",
    "--answer", "light-behind-valve=full-ring",
]  # fmt: skip


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.chdir(tmp_path)
    return tmp_path


def ranked(capsys: pytest.CaptureFixture[str], *words: str) -> dict:
    assert main(["rank", *words, "--json"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    found = json.loads(out)
    assert found["format"] == 1
    return found


def names(found: dict) -> list[str]:
    return [cause["id"] for cause in found["causes"]]


def test_version(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--version"]) == DONE == EXIT_DONE == 0
    assert capsys.readouterr().out == f"gatepost {__version__}\n"


def test_the_lamp_puts_the_missing_ring_first(capsys: pytest.CaptureFixture[str]) -> None:
    found = ranked(capsys, *LAMP[1:])
    top = found["causes"][0]
    assert top["id"] == "seat-ring-missing"
    assert top["why"][0]["check"] == "light-behind-valve"
    assert top["why"][0]["decibans"] > 10
    assert found["drive"] == "caution"


def test_without_the_lamp_the_ring_is_among_the_first_five(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert "seat-ring-missing" in names(ranked(capsys, *LAMP[1:-2]))[:5]


def test_probabilities_are_whole(capsys: pytest.CaptureFixture[str]) -> None:
    found = ranked(capsys, *LAMP[1:])
    chances = [cause["probability"] for cause in found["causes"]]
    assert chances == sorted(chances, reverse=True)
    assert all(0 <= chance <= 1 for chance in [*chances, found["unlisted"]])
    assert len(set(names(found))) == len(names(found))


def test_a_signal_hose_seen_off_stays_as_a_likely_second_fault(
    capsys: pytest.CaptureFixture[str],
) -> None:
    found = ranked(
        capsys, "--setup", "external-single", "--symptom", "lazy",
        "--answer", "hose-condition=cracked-or-off", "--answer", "zero-duty-log=below",
    )  # fmt: skip
    assert "signal-off" in names(found)[:3]
    assert any("signal-off" in pair["ids"] for pair in found["pairs"][:3])
    assert found["drive"] == "stop"
    assert not found["load_allowed"]
    assert "hose-condition" not in [doubt["check"] for doubt in found["doubtful"]]


def test_overboost_is_stop_before_anything_is_asked(capsys: pytest.CaptureFixture[str]) -> None:
    found = ranked(capsys, "--setup", "internal-nipple", "--symptom", "overboost")
    assert (found["drive"], found["load_allowed"]) == ("stop", False)
    assert found["because"][0].startswith("The complaint itself is dangerous")
    assert found["next"][0]["check"] == "red-flags"


def test_rank_in_words(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(LAMP) == 0
    out, err = capsys.readouterr()
    assert "Seat ring left out" in out
    assert err == ""


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["rnak"], "invalid choice: 'rnak'"),
        (["rank", "--setup"], "expected one argument"),
        (["rank", "--colour"], "unrecognized arguments: --colour"),
        (["rank"], "needs a setup and a symptom"),
        (["rank", "--setup", "external", "--symptom", "lazy"], "no setup 'external'"),
        (["draw", "lazi"], "no symptom 'lazi'. Did you mean lazy?"),
        (["draw", "--format", "gif"], "invalid choice: 'gif'"),
        (["case", "show"], "Name the case to show"),
        (["--plane"], "unrecognized arguments: --plane"),
    ],
)
def test_a_word_that_is_not_understood_is_2(
    words: list[str], message: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert message in err
    assert "Traceback" not in err


@pytest.mark.parametrize(
    "words",
    [
        ["case", "show", "nowhere.case.jsonl"],
        ["case", "show", "last"],
        ["diagnose", "--case", "last"],
        ["rank", "--knowledge", "nowhere", "--setup", "x", "--symptom", "y"],
        ["draw", "lazy", "--case", "nowhere.case.jsonl"],
    ],
)
def test_what_is_missing_is_3(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(words) == 3
    assert capsys.readouterr().err.startswith("gatepost: ")


def test_broken_knowledge_is_1_with_every_place(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = home / "shop" / "causes"
    folder.mkdir(parents=True)
    (folder / "ours.yaml").write_text("loose-clamp:\n  titel: A clamp\n  danger: perhaps\n")
    assert main(["knowledge", "check", "--knowledge", "shop"]) == 1
    out = capsys.readouterr().out
    assert "shop/causes/ours.yaml:2:3: " in out
    assert "did you mean 'title'?" in out
    assert "ours.yaml:3:11: " in out
    assert main(["rank", "--setup", "direct", "--symptom", "lazy", "--knowledge", "shop"]) == 1
    shown = capsys.readouterr()
    assert shown.out == ""
    assert "mistakes in the knowledge" in shown.err


def test_sound_knowledge_is_0(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["knowledge", "check"]) == 0
    assert capsys.readouterr().out.startswith("No mistakes in ")


def test_cases_are_listed_and_shown(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["case", "list"]) == 0
    assert "There is no case" in capsys.readouterr().err
    path = home / "data" / "gatepost" / "cases" / "one.case.jsonl"
    with Journal.open(path, "digest") as journal:
        journal.append(Described("setup", "external-single"))
        journal.append(Described("symptom", "lazy"))
        journal.append(Answered("light-behind-valve", ("full-ring",)))
    (path.parent / "two.case.jsonl").write_text("no journal\n")

    assert main(["case", "list", "--json"]) == 0
    listed = {Path(one["file"]).name: one for one in json.loads(capsys.readouterr().out)["cases"]}
    assert listed["one.case.jsonl"]["symptoms"] == ["lazy"]
    assert listed["one.case.jsonl"]["answers"] == 1
    assert "cannot be read" in listed["two.case.jsonl"]["problem"]
    assert main(["case", "list"]) == 0
    assert "lazy, external-single" in capsys.readouterr().out

    assert main(["case", "show", str(path)]) == 0
    assert "Seat ring left out" in capsys.readouterr().out
    assert main(["case", "show", str(path), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["causes"][0]["id"] == "seat-ring-missing"


def test_drawing_to_a_folder(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["draw", "lazy", "--setup", "external-single", "--format", "gv", "--out", "pictures"]
    assert main(words) == 0
    (path,) = (home / "pictures").iterdir()
    assert capsys.readouterr().out.strip() == str(Path("pictures") / path.name)
    assert path.read_text(encoding="utf-8").lstrip("/ ").startswith(("digraph", "strict"))


@pytest.mark.parametrize("command", [[], ["diagnose"], ["rank"], ["draw"], ["case"], ["knowledge"]])
def test_help_begins_with_examples(command: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main([*command, "--help"])
    assert left.value.code == 0
    assert capsys.readouterr().out.startswith("Examples:\n  gatepost")


def test_a_closed_stdin_leaves_at_once_and_loses_nothing(home: Path) -> None:
    case = home / "a.case.jsonl"
    done = subprocess.run(
        [sys.executable, "-m", "expert", "--case", str(case)],
        stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0
    assert "Traceback" not in done.stderr
    assert case.read_text(encoding="utf-8").count("\n") >= 1


@pytest.mark.parametrize("form", [["--json"], []])
def test_a_reader_that_goes_away_is_no_traceback(form: list[str]) -> None:
    child = subprocess.Popen(
        [sys.executable, "-m", "expert", *LAMP, *form],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    )  # fmt: skip
    assert child.stdout is not None
    assert child.stderr is not None
    child.stdout.close()
    assert b"Traceback" not in child.stderr.read()
    child.stderr.close()
    assert child.wait() == EXIT_PROBLEMS


def test_the_first_question_is_asked_before_numpy_is_needed(home: Path) -> None:
    script = (
        "import sys\n"
        "from expert.cli import main\n"
        "main(['diagnose', '--plain', '--case', 'a.case.jsonl'])\n"
        "assert 'numpy' not in sys.modules\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=home,
        stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert "How is the boost control plumbed?" in done.stdout
