"""gatepost log, and logs given to rank, from end to end on logs of simulated cars."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from expert.bench.logger import DIALECTS
from expert.case.events import Answered, Described
from expert.case.journal import read
from expert.cli import main
from expert.errors import EXIT_DONE, EXIT_MISSING, EXIT_PROBLEMS, EXIT_USAGE
from expert.evidence.log.advice import STOP
from tests.evidence.log.benchlogs import edited, text, written_to

CAR = ("--setup", "external-single", "--bypass", "manifold", "--spring", "69kPa")
Captured = pytest.CaptureFixture[str]


def run(capsys: Captured, *words: str | Path) -> tuple[int, str, str]:
    code = main(["log", *map(str, words), *CAR])
    out, err = capsys.readouterr()
    return code, " ".join(out.split()), " ".join(err.split())


def said(capsys: Captured, *words: str | Path) -> dict[str, Any]:
    main(["log", *map(str, words), *CAR, "--json"])
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    return found


@pytest.mark.parametrize("dialect", DIALECTS)
def test_a_lazy_car_in_every_dialect(dialect: str, tmp_path: Path, capsys: Captured) -> None:
    """A gate without its seat ring makes almost no boost; common practice."""
    path = written_to(tmp_path, "seat-ring-missing", dialect)
    found = said(capsys, path)
    one = found["files"][0]
    assert one["usable"]
    assert one["symptoms"][0] == "lazy"
    assert {"check": "zero-duty-log", "answer": "below"}.items() <= one["findings"][0].items()
    assert one["features"]["peak_boost_kpa"] < 25.0
    assert len(one["pulls"]) == 3
    causes = [cause["id"] for cause in found["case"]["causes"][:5]]
    assert "seat-ring-missing" in causes
    assert found["case"]["next"][0]["check"] == "red-flags"


def test_a_hose_that_is_off_stops_the_car_whatever_else_is_said(
    tmp_path: Path, capsys: Captured
) -> None:
    """A disconnected gate hose runs to the throttle cut; common practice."""
    path = written_to(tmp_path, "signal-off")
    calm = ["--symptom", "lazy", "--answer", "hose-trace=matches", "--answer", "red-flags=none"]
    found = said(capsys, path, *calm)
    one = found["files"][0]
    assert one["symptoms"][:2] == ["overboost", "power-cut"]
    assert (one["drive"], found["drive"]) == ("stop", "stop")
    assert one["features"]["throttle_closed"] is True
    assert found["case"]["symptom"] == "lazy"
    assert found["load_allowed"] is False
    assert one["advice"] == [STOP]
    pulls = {one["check"] for one in found["case"]["next"]}
    assert not pulls & {"zero-duty-log", "gate-direct-run", "duty-steps", "second-gauge"}
    code, out, _ = run(capsys, path, *calm)
    assert code == EXIT_DONE
    assert "STOP: Do not drive this car" in out


def test_a_sound_car_says_so_plainly(tmp_path: Path, capsys: Captured) -> None:
    path = written_to(tmp_path)
    code, out, err = run(capsys, path)
    assert code == EXIT_DONE
    assert err == ""
    assert "No trouble shows in this log." in out
    assert "there is nothing to rank" in out
    found = said(capsys, path)
    one = found["files"][0]
    assert (one["symptoms"], one["drive"], found["case"]) == ([], "ok", None)
    # Boost at 0 % duty is within 2 psi of the spring on a sound car; common practice.
    assert abs(one["features"]["boost_at_zero_duty_kpa"] - 69.0) < 13.8
    answers = {(two["check"], two["answer"]) for two in one["findings"]}
    assert ("zero-duty-log", "about-spring") in answers
    assert ("throttle-log", "full") in answers
    for two in one["findings"]:
        assert two["from_s"] < two["to_s"]


def test_each_finding_lies_within_the_log(tmp_path: Path, capsys: Captured) -> None:
    one = said(capsys, written_to(tmp_path, "signal-pinched"))["files"][0]
    assert one["symptoms"][0] in {"spike", "overboost"}
    ends = max(pull["end_s"] for pull in one["pulls"]) + 5.0
    for finding in one["findings"]:
        assert 0.0 <= finding["from_s"] <= finding["to_s"] <= ends


def test_no_pull_is_asked_for_before_the_load_gate_opens(tmp_path: Path, capsys: Captured) -> None:
    """A log without a pull at the lowest setting, of a car that is lazy."""
    path = tmp_path / "pull.csv"
    lazy = text("seat-ring-missing", duties=(None,))
    path.write_text(lazy, encoding="utf-8")
    shut = run(capsys, path)[1]
    assert "Which pull would show the rest is said once every hose is traced" in shut
    assert "What to record next" not in shut
    clear = ["hose-trace=matches", "red-flags=none", "what-changed=just-fitted", "worked-on=gate"]
    opened = run(capsys, path, *(word for one in clear for word in ("--answer", one)))[1]
    assert "What to record next" in opened
    assert "89 kPa" in opened


def test_several_logs_and_one_that_is_bad(tmp_path: Path, capsys: Captured) -> None:
    good = written_to(tmp_path, "seat-ring-missing")
    other = written_to(tmp_path, name="other.csv")
    code, out, err = run(capsys, good, tmp_path / "missing.csv", other)
    assert code == EXIT_MISSING
    assert f"gatepost: {tmp_path / 'missing.csv'}: there is no such file." in err
    assert "Won't build boost" in out
    assert "other.csv" in out
    found = said(capsys, good, tmp_path / "missing.csv", other)
    assert [one["usable"] for one in found["files"]] == [True, False, True]
    assert found["files"][1]["drive"] is None
    assert found["case"]["symptom"] == "lazy"


@pytest.mark.parametrize(
    ("name", "data", "words"),
    [
        ("empty.csv", b"", "is empty."),
        ("binary.csv", bytes(range(256)) * 20, "is binary, not text"),
        ("one.csv", b"Boost\n" + b"1\n2\n3\n" * 30, "has one column only"),
        ("blank.csv", b",,,\n" * 50, "holds only blanks"),
        ("words.csv", b"dear,sir\nno,numbers\nat,all\n" * 9, "has no table of numbers"),
    ],
)
def test_a_file_that_is_no_log(
    name: str, data: bytes, words: str, tmp_path: Path, capsys: Captured
) -> None:
    path = tmp_path / name
    path.write_bytes(data)
    code, out, err = run(capsys, path)
    assert (code, out) == (EXIT_MISSING, "")
    assert err.startswith(f"gatepost: {path}: ")
    assert words in err
    assert err.count("gatepost:") == 1


def test_a_folder_is_no_log(tmp_path: Path, capsys: Captured) -> None:
    code, out, err = run(capsys, tmp_path)
    assert (code, out) == (EXIT_MISSING, "")
    assert err == f"gatepost: {tmp_path}: is not a file."


@pytest.mark.parametrize(
    ("column", "value", "words"),
    [
        ("MAP", "-", "no boost channel was found"),
        ("Engine speed", "-", "The log has no engine speed"),
        ("MAP", "200.0", "those of no manifold"),
    ],
)
def test_a_log_without_what_it_takes(
    column: str, value: str, words: str, tmp_path: Path, capsys: Captured
) -> None:
    path = edited(tmp_path, "odd.csv", column, value)
    code, out, err = run(capsys, path)
    assert code == EXIT_PROBLEMS
    assert words in err
    assert err.count("gatepost:") == 1
    assert "Not usable" in out
    assert "Symptom" not in out


def test_a_boost_sensor_that_is_stuck_is_no_low_boost(tmp_path: Path, capsys: Captured) -> None:
    """Boost is not known then, so nothing is said of it but that the sensor never moves."""
    one = said(capsys, edited(tmp_path, "stuck.csv", "MAP", "101.3"))["files"][0]
    assert one["symptoms"] == []
    assert ("log-trace", "never-moves") in [
        (two["check"], two["answer"]) for two in one["findings"]
    ]
    assert one["drive"] == "stop"
    assert any("stuck" in note for note in one["notes"])


def test_psi_that_are_called_kpa_are_not_believed(tmp_path: Path, capsys: Captured) -> None:
    lines = written_to(tmp_path).read_text(encoding="utf-8").splitlines()
    rows = [line.split(",") for line in lines]
    for row in rows[1:]:
        row[2] = f"{float(row[2]) * 6.894757:.1f}"
    path = tmp_path / "units.csv"
    path.write_text("\n".join(",".join(row) for row in rows) + "\n", encoding="utf-8")
    code, _, err = run(capsys, path)
    assert code == EXIT_PROBLEMS
    assert "the unit may be another" in err


def test_a_channel_that_is_named(tmp_path: Path, capsys: Captured) -> None:
    path = tmp_path / "strange.csv"
    path.write_text(text().replace("MAP (kPa)", "Sausage"), encoding="utf-8")
    found = said(capsys, path, "--channel", "boost=Sausage:kPa abs")["files"][0]
    assert found["channels"]["boost"]["column"] == "Sausage"
    assert found["usable"]
    code, _, err = run(capsys, path, "--channel", "boost=Nothing:kPa")
    assert code == EXIT_USAGE
    assert "the file has no column 'Nothing'" in err
    code, _, err = run(capsys, path, "--channel", "boots=Sausage:kPa")
    assert code == EXIT_USAGE
    assert "Did you mean boost?" in err
    assert run(capsys, path, "--channel", "boost")[0] == EXIT_USAGE


def test_without_a_setup_or_a_spring(tmp_path: Path, capsys: Captured) -> None:
    path = written_to(tmp_path, "seat-ring-missing")
    assert main(["log", str(path)]) == EXIT_USAGE
    assert "name its setup with --setup" in capsys.readouterr().err
    assert main(["log", str(path), "--setup", "external-single"]) == EXIT_DONE
    out = " ".join(capsys.readouterr().out.split())
    assert "The spring is not known; name it with --spring." in out


def test_a_hand_controller_may_stand_anywhere(tmp_path: Path, capsys: Captured) -> None:
    path = written_to(tmp_path)
    car = ["--setup", "manual-ball", "--gate", "external", "--spring", "40kPa"]
    assert main(["log", str(path), *car, "--json"]) == EXIT_DONE
    one = json.loads(capsys.readouterr().out)["files"][0]
    assert "zero-duty-log" not in [two["check"] for two in one["findings"]]
    assert any("--lowest" in two["because"] for two in one["cannot_tell"])
    assert main(["log", str(path), *car, "--lowest", "--json"]) == EXIT_DONE
    one = json.loads(capsys.readouterr().out)["files"][0]
    assert one["symptoms"][0] == "overboost"


def test_what_logs_show_is_kept_in_a_case(tmp_path: Path, capsys: Captured) -> None:
    path, case = written_to(tmp_path, "seat-ring-missing"), tmp_path / "a.case.jsonl"
    assert run(capsys, path, "--case", str(case))[0] == EXIT_DONE
    events = read(case).events
    assert Described("symptom", "lazy") in events
    assert Answered("zero-duty-log", ("below",), "log") in events
    # Once more changes nothing, and the car of the case need not be told.
    assert main(["log", str(path), "--case", str(case)]) == EXIT_DONE
    assert read(case).events[: len(events)] == events
    answered = [event for event in read(case).events if isinstance(event, Answered)]
    assert len(answered) == len(set(answered))
    assert main(["log", str(path), "--setup", "direct", "--case", str(case)]) == EXIT_USAGE
    assert "another" in capsys.readouterr().err


def test_a_picture_of_each_log(tmp_path: Path, capsys: Captured) -> None:
    pytest.importorskip("matplotlib")
    path, other = written_to(tmp_path, "signal-off"), written_to(tmp_path, name="other.csv")
    code, _, err = run(capsys, path, "--plot", tmp_path / "one.svg")
    assert code == EXIT_DONE
    assert "drawn to" in err
    assert (tmp_path / "one.svg").stat().st_size > 10_000
    run(capsys, path, other, "--plot", tmp_path / "two.png")
    assert (tmp_path / "two-1.png").stat().st_size > 10_000
    assert (tmp_path / "two-2.png").stat().st_size > 10_000


def test_a_picture_that_could_not_be_drawn_is_refused_first(
    tmp_path: Path, capsys: Captured
) -> None:
    code, out, err = run(capsys, written_to(tmp_path), "--plot", tmp_path / "a.gif")
    assert (code, out) == (EXIT_USAGE, "")
    assert ".svg" in err


def test_rank_begins_with_what_a_log_shows(tmp_path: Path, capsys: Captured) -> None:
    path = written_to(tmp_path, "seat-ring-missing")
    assert main(["rank", *CAR, "--log", str(path), "--json"]) == EXIT_DONE
    found = json.loads(capsys.readouterr().out)
    assert found["symptom"] == "lazy"
    assert {"check": "zero-duty-log", "answer": "below", "origin": "log"} in found["answers"]
    # A log of no use is said, and the rest goes on.
    missing = str(tmp_path / "missing.csv")
    assert main(["rank", *CAR, "--log", str(path), "--log", missing, "--json"]) == EXIT_DONE
    assert "there is no such file" in capsys.readouterr().err


def test_nothing_in_a_name_is_obeyed(tmp_path: Path, capsys: Captured) -> None:
    _, out, err = run(capsys, tmp_path / "a\x1b[31mred\n.csv")
    assert "\x1b" not in out + err
