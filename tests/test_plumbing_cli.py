"""gatepost hookup and gatepost boost from end to end."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from expert.case.events import Answered, Described
from expert.case.journal import Journal, read
from expert.cli import main

NO, COM, NC = (f"three-port.{p}" for p in ("normally-open", "common", "normally-closed"))
NIPPLE, TAP = "housing-nipple.nipple", "inlet-pipe.tap"
SWAPPED = ["--hose", f"{NIPPLE}={NC}", "--hose", f"{NO}={TAP}"]


def test_the_table_of_a_setup(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["hookup", "external-single"]) == 0
    out = capsys.readouterr().out
    assert "source-hose" in out
    assert "STOP" not in out


def test_an_owner_with_two_hoses_swapped(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["hookup", "internal-nipple", *SWAPPED, "--spring", "7psi"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "STOP: Do not load the engine like this." in out
    assert "At rest no boost reaches the gate" in out
    assert f"Swap the two hoses on {NC} (three-port boost solenoid) and on {NO}" in out
    assert "--answer hose-trace=source-vent-crossed@hookup" in out


def test_json_without_a_hose_is_the_layout(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["hookup", "direct", "--gate", "external", "--spring", "7psi", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["ok"], found["drive"], found["wrong"], found["moves"]) == (True, "ok", [], [])
    assert found["boost_kpa"]["0"] == pytest.approx(48.3, abs=0.3)


def test_findings_flow_into_a_case(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "car.case.jsonl"
    line = ["hookup", "internal-nipple", *SWAPPED, "--case", str(path)]
    assert main(line) == 0
    events = read(path).events
    assert Described("setup", "internal-nipple") in events
    assert Answered("hose-trace", ("source-vent-crossed",), "hookup") in events
    capsys.readouterr()
    with Journal.open(path, "digest") as journal:
        journal.append(Described("symptom", "overboost"))
    assert main(["case", "show", str(path), "--json"]) == 0
    ranked = json.loads(capsys.readouterr().out)
    assert ranked["causes"][0]["id"] == "source-vent-swap"
    assert main(["hookup", "direct", "--gate", "internal", "--ask", "--case", str(path)]) == 2
    shown = capsys.readouterr()
    # Refused before anything was asked.
    assert shown.out == ""
    assert "the setup internal-nipple, not direct" in shown.err


def test_another_car_is_not_mixed_into_a_case(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "car.case.jsonl"
    with Journal.open(path, "digest") as journal:
        journal.append(Described("setup", "internal-tap"))
    before = path.read_bytes()
    assert main(["hookup", "internal-nipple", *SWAPPED, "--case", str(path)]) == 2
    assert "the setup internal-tap, not internal-nipple" in capsys.readouterr().err
    assert path.read_bytes()[: len(before)] == before


def test_a_file_that_says_it_all(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "found.yaml"
    path.write_text(f"setup: internal-nipple\nspring: 7 psi\nhoses: [{NIPPLE}={NC}, {NO}={TAP}]\n")
    assert main(["hookup", "--file", str(path), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["drive"] == "stop"
    assert main(["hookup", "internal-tap", "--file", str(path)]) == 2
    assert "is for the setup 'internal-nipple', not for 'internal-tap'" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("hookup", "Name the setup: gatepost hookup SETUP. There are: "),
        ("hookup external-singel", "external-single"),
        ("hookup direct", "--gate"),
        ("hookup direct --gate internal --hose a", "is no hose: write both ends"),
        ("hookup direct --gate internal --hose x.y=air", "'x.y' is not on this car"),
        ("hookup direct --gate internal --spring 7", "The unit is missing"),
        ("hookup direct --gate internal --spring=-7psi", "expected a gauge pressure from"),
        ("hookup direct --gate internal --spring 900psi", "expected a gauge pressure from"),
        ("hookup direct --gate internal --restrictor blocked", "has none that could be"),
        ("hookup direct --gate internal --unplugged", "no boost solenoid"),
        (f"hookup internal-nipple --tee {NIPPLE}=cap", "A tee joins two ports"),
        ("hookup internal-nipple --case car.case.jsonl", "nothing to add to a case"),
        ("hookup internal-nipple --json --case car.case.jsonl", "nothing to add to a case"),
        ("hookup internal-nipple --ask --json", "--ask and --json do not go together"),
        ("hookup direct --gate internal --picture wall.doc", "expected a name that ends in"),
        ("boost --setup direct --gate internal --spring 7psi+", "--spring ''"),
        ("boost --setup direct --gate internal --spring 7psi --altitude high", "expected a number"),
        ("boost --setup direct --gate internal --spring 7psi --altitude 99999", "the altitude"),
        ("boost --setup direct --gate internal --spring 7psi --temperature -300", "temperature"),
        ("boost --setup internal-tap --spring 7psi --duty 101", "expected 0 to 100 percent"),
    ],
)
def test_a_mistake_is_one_message(
    line: str,
    message: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(line.split()) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert message in shown.err
    assert list(tmp_path.iterdir()) == []


def test_boost(capsys: pytest.CaptureFixture[str]) -> None:
    line = "boost --setup internal-nipple --spring 7psi+5psi --target 18psi --duty 30 --json"
    assert main(line.split()) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["format"] == 1
    # Common practice, no source: springs side by side add, and boost at rest is the spring.
    assert found["spring_kpa"] == pytest.approx(12 * 6.894757, abs=0.1)
    low, high = found["boost_at_rest_kpa"]
    assert low < found["spring_kpa"] < high
    assert found["duty_for_target_pct"][0] == pytest.approx(100 / 3, abs=0.5)
    assert main(line.removesuffix(" --json").split()) == 0
    assert "At 30 %" in capsys.readouterr().out


def test_nobody_looked_so_nothing_is_found(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["hookup", "internal-nipple", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["findings"] == []
    right = f"{NIPPLE}={NO}"
    assert main(["hookup", "internal-nipple", "--hose", right, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)["findings"]
    assert found == [{"check": "hose-trace", "answers": ["matches"]}]


def test_the_fields_of_the_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["hookup", "internal-nipple", *SWAPPED, "--spring", "7psi", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert list(found) == [
        *("format", "setup", "ok", "wrong", "moves", "source_kpa", "gate_kpa", "boost_kpa"),
        *("unlimited", "symptoms", "drive", "because", "findings"),
    ]
    for field in ("gate_kpa", "boost_kpa", "unlimited", "symptoms"):
        assert list(found[field]) == ["0", "50", "100"]
    for share in ("0", "50", "100"):
        assert (found["boost_kpa"][share] is None) == found["unlimited"][share]
    assert {tuple(one) for one in found["wrong"]} == {("port", "found", "expected")}


def test_a_description_is_mended_in_its_own_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "found.yaml"
    assert main(["hookup", "internal-nipple", "--file", str(path)]) == 3
    assert "there is no such file. Name the file" in capsys.readouterr().err
    path.write_text("setup: internal-nipple\nhose: []\n")
    assert main(["hookup", "--file", str(path)]) == 1
    shown = capsys.readouterr()
    assert "found.yaml:2:1: the key 'hose' is not known" in shown.err
    assert "knowledge" not in shown.err
    path.write_text("setup: external-single\ntees: [external-gate.lower=external-gate.upper]\n")
    assert main(["hookup", "--file", str(path)]) == 0
    assert "a tee to" in capsys.readouterr().out


def test_another_gate_or_bypass_is_not_mixed_into_a_case(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "car.case.jsonl"
    hose = ["--hose", "internal-gate.nipple=air", "--case", str(path)]
    line = ["hookup", "direct", "--gate", "internal", "--bypass", "manifold", "--spring", "7psi"]
    assert main([*line, *hose]) == 0
    events = read(path).events
    assert [one.field for one in events if isinstance(one, Described)] == [
        *("setup", "gate", "bypass", "spring_kpa")
    ]
    before = path.read_bytes()
    other = ["hookup", "direct", "--gate", "internal", "--bypass", "recirculating"]
    assert main([*other, *hose]) == 2
    assert "the bypass manifold, not recirculating" in capsys.readouterr().err
    assert path.read_bytes() == before


def test_findings_are_taken_by_rank(capsys: pytest.CaptureFixture[str]) -> None:
    tee = ["--tee", "external-gate.lower=external-gate.upper"]
    assert main(["hookup", "external-single", *tee, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)["findings"]
    answers = [f"{one['check']}={answer}@hookup" for one in found for answer in one["answers"]]
    line = ["rank", "--setup", "external-single", "--symptom", "overboost", "--json"]
    assert main([*line, *(part for one in answers for part in ("--answer", one))]) == 0
    ranked = json.loads(capsys.readouterr().out)
    assert {one["origin"] for one in ranked["answers"]} == {"hookup"}
    assert "chambers-teed" in {one["id"] for one in ranked["causes"][:3]}
    assert ranked["drive"] == "stop"


def test_a_duty_that_nothing_follows_and_a_target_that_is_not_permitted(
    capsys: pytest.CaptureFixture[str],
) -> None:
    line = "boost --setup direct --gate internal --spring 7psi --duty 30"
    assert main(line.split()) == 0
    assert "Nothing in this setup follows a duty" in capsys.readouterr().out
    line = "boost --setup internal-nipple --spring 14psi --target 40psi --most 15psi --duty 100"
    assert main(line.split()) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "above the most boost that is permitted" in out
    assert "stiffer" not in out
    assert "At 100 %: nothing limits it Target" in out
