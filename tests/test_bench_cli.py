"""gatepost bench from end to end."""

from __future__ import annotations

import argparse
from pathlib import Path

import pytest

from expert import bench_cli
from expert.bench.faults import FAULTS, broken, fitting
from expert.bench.logger import DIALECTS
from expert.cli import main
from expert.loading.folder import load, shipped_folder
from expert.options import parse

KNOWN = load([shipped_folder()]).causes


def test_the_shipped_causes_and_the_bench_name_the_same_things() -> None:
    """Also: more than 35 of them have an effect here."""
    assert set(FAULTS) <= set(KNOWN)
    assert len(FAULTS) >= 35


def test_the_list(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["bench", "--list"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line.partition(": ")[0] for line in lines[::2]] == list(FAULTS)
    assert all(line.startswith("    ") for line in lines[1::2])
    assert f"solenoid-dead: {KNOWN['solenoid-dead'].title}" in lines


def test_the_list_of_a_setup(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["bench", "--list", "--setup", "internal-nipple", "--bypass", "manifold"]) == 0
    listed = {line.partition(": ")[0] for line in capsys.readouterr().out.splitlines()[::2]}
    assert {"bov-hose", "flapper-ajar", "source-vent-swap"} <= listed
    assert not listed & {"seat-ring-missing", "manual-reversed", "bypass-open"}


def test_a_log_of_a_missing_seat_ring(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "log.csv"
    line = ["bench", "--setup", "external-single", "--cause", "seat-ring-missing"]
    assert main([*line, "--duty", "0", "--out", str(path)]) == 0
    out = capsys.readouterr().out
    assert f"{path}: " in out
    assert "pull at 0 % duty: at most 8" in out
    assert path.read_text(encoding="utf-8").startswith("Time (s),Engine speed (rpm),MAP (kPa)")


def test_the_same_seed_makes_the_same_file(tmp_path: Path) -> None:
    def text(seed: str) -> str:
        path = tmp_path / "log.csv"
        line = ["bench", "--setup", "direct", "--gate", "internal", "--cause", "valve-debris"]
        assert main([*line, "--duty", "0", "--seed", seed, "--out", str(path)]) == 0
        return path.read_text(encoding="utf-8")

    assert text("5") == text("5") != text("6")


@pytest.mark.parametrize("dialect", DIALECTS)
def test_dialects_altitude_and_target(
    dialect: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "log.csv"
    line = ["bench", "--setup", "internal-nipple", "--spring", "7psi", "--target", "12psi"]
    line += ["--altitude", "1500", "--temperature", "-5", "--gear", "4", "--duty", "20,map"]
    assert main([*line, "--dialect", dialect, "--out", str(path)]) == 0
    out = capsys.readouterr().out
    assert "pull at 20 % duty" in out
    assert "pull at the map's duty: at most 8" in out
    assert len(path.read_text(encoding="utf-8").splitlines()) > 500


def test_a_cut_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    line = ["bench", "--setup", "internal-nipple", "--cause", "signal-off", "--duty", "0"]
    assert main([*line, "--out", str(tmp_path / "log.csv")]) == 0
    assert "ended by the throttle" in capsys.readouterr().out


BASE = ["bench", "--setup", "internal-nipple", "--out", "log.csv"]


@pytest.mark.parametrize(
    ("line", "code", "said"),
    [
        (["bench"], 2, "Name the setup and the file"),
        (["bench", "--setup", "internal-nipple"], 2, "Name the setup and the file"),
        (["bench", "--setup", "moon", "--out", "log.csv"], 2, "moon"),
        ([*BASE, "--cause", "moon"], 2, "There is no cause 'moon'"),
        ([*BASE, "--cause", "seat-ring-missing"], 2, "lacks the parts"),
        ([*BASE, "--duty", "0,101"], 2, "expected 0 to 100 percent"),
        ([*BASE, "--duty", ",".join("0" * 21)], 2, "at most 20"),
        ([*BASE, "--duty", ""], 2, "--duty"),
        ([*BASE, "--seed", "-1"], 2, "expected a whole number"),
        ([*BASE, "--gear", "1"], 2, "expected 2 to 5"),
        ([*BASE, "--spring", "7"], 2, "unit is missing"),
        ([*BASE, "--altitude", "9000"], 2, "at most 5000 m"),
        ([*BASE, "--altitude", "90000"], 2, "altitude must be"),
        ([*BASE, "--temperature", "-272"], 2, "-40 to 60"),
        ([*BASE, "--litres", "0.1"], 2, "expected 1 to 6"),
        (["bench", "--list", "--out", "log.csv"], 2, "--list makes no log"),
        (
            [*BASE[:1], "--setup", "direct", "--gate", "internal", *BASE[3:], "--duty", "20"],
            2,
            "no boost solenoid",
        ),
        ([*BASE, "--dialect", "elvish"], 2, "expected one of plain"),
        ([*BASE[:-1], "/dev/null/at/all/log.csv"], 3, "Name another place"),
    ],
)
def test_what_is_refused(
    line: list[str],
    code: int,
    said: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(line) == code
    captured = capsys.readouterr()
    assert said in captured.err
    assert captured.out == ""
    assert list(tmp_path.iterdir()) == []


def test_a_setup_without_a_solenoid(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    line = ["bench", "--setup", "manual-ball", "--gate", "internal", "--litres", "3"]
    assert main([*line, "--out", str(tmp_path / "log.csv")]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [one.partition(":")[0] for one in lines[1:]] == ["pull", "pull"]


@pytest.mark.parametrize("bypass", [None, "manifold", "recirculating"])
@pytest.mark.parametrize("setup", load([shipped_folder()]).setups)
def test_every_fault_of_every_shipped_car_can_be_made(setup: str, bypass: str | None) -> None:
    """Ports and hoses of the shipped layouts are where the faults look for them."""
    options = argparse.Namespace(**vars(parse([*BASE[:1], "--setup", setup, "--out", "log.csv"])))
    options.bypass = bypass
    knowledge = load([shipped_folder()])
    gates = ["internal", "external"] if knowledge.setups[setup].gates else [None]
    for gate in gates:
        options.gate = gate
        sound = bench_cli._sound(knowledge, options)
        made = [fault.id for fault in fitting(sound) if broken(sound, [fault.id], 1)]
        assert len(made) >= 35
        parts = sound.rig.parts
        for name in made:
            assert set(KNOWN[name].needs) <= parts, name
