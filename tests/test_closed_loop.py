"""The closed loop, on few cars: ``tests/closed_loop.py`` and ``tests/loop``."""

from __future__ import annotations

from dataclasses import replace

import pytest

from expert.bench.instruments.subject import Subject, true_kpa
from expert.loading.folder import load, shipped_folder
from expert.model import Knowledge
from tests.bench.instruments.subjects import subject
from tests.closed_loop import main
from tests.loop.play import Outcome, driven
from tests.loop.report import lines, missed_stop, right_symptom, wrong_stop
from tests.loop.scenario import NO_VALVE, SOUND, faults, plans, variation
from tests.loop.truth import curves, differ, symptoms

MUCH = ("overboost",)
GOOD = Outcome("car", "signal-off", MUCH, MUCH, MUCH, True, True, drive="stop")


@pytest.fixture(scope="module")
def shipped() -> Knowledge:
    return load([shipped_folder()])


# What each fault truly does is common practice; no source.
@pytest.mark.parametrize(
    ("rig", "faults", "first"),
    [
        ("bypass", "", []),
        ("bypass", "signal-off", ["overboost"]),
        ("internal", "charge-leak-big", ["lazy"]),
        ("bypass", "solenoid-dead", ["spring-ceiling"]),
        ("bypass", "limit-tight", ["power-cut"]),
        ("bypass", "line-long", ["spike"]),
        # Its swings go far over the target.
        ("bypass", "loop-aggressive", ["overboost", "hunting"]),
        ("bypass", "as-designed:small-turbo", ["falls-off"]),
        ("bypass", "bov-spring-stiff", ["flutter"]),
    ],
)
def test_what_a_car_truly_does(rig: str, faults: str, first: list[str]) -> None:
    found = symptoms(subject(rig, *faults.split()))
    assert list(found[: len(first)]) == first
    assert bool(found) == bool(first)


def test_logs_that_differ_and_logs_that_do_not() -> None:
    shapes = {
        cause: curves(driven(subject("vacuum", *cause.split()).car).rows)
        for cause in ("", "solenoid-jammed", "solenoid-wire-open", "spring-soft")
    }
    assert not differ(shapes["solenoid-jammed"], shapes["solenoid-wire-open"])
    assert differ(shapes["solenoid-jammed"], shapes[""])
    assert differ(shapes["solenoid-jammed"], shapes["spring-soft"])


def test_a_variation_is_drawn_by_its_number_alone(shipped: Knowledge) -> None:
    plan = plans(shipped, ["direct"], 2)
    assert plan == [
        *(("direct", "internal", 0), ("direct", "external", 0)),
        *(("direct", "internal", 1), ("direct", "external", 1)),
    ]
    one, again, other = (variation(shipped, "direct", "internal", k) for k in (3, 3, 4))
    assert one == again != other
    drawn = {cause: car for cause, car, _ in faults(shipped, one, frozenset())}
    assert SOUND in drawn
    assert drawn[NO_VALVE].bypass == "none"


def test_what_counts_as_right_and_as_a_stop() -> None:
    assert right_symptom(GOOD)
    assert not missed_stop(GOOD)
    assert missed_stop(replace(GOOD, drive="caution"))
    assert not right_symptom(replace(GOOD, shown=("power-cut",), may=("overboost", "power-cut")))
    mild = replace(GOOD, true=("spike",), may=("spike",), shown=("spike",))
    assert wrong_stop(mild)
    assert not wrong_stop(replace(mild, grave=True))


def test_the_report_counts_by_symptom() -> None:
    late = replace(GOOD, car="other", place=7, place_apart=5, shown=("power-cut",))
    text = "\n".join(lines([GOOD, late, replace(GOOD, cause=SOUND, true=(), shown=("spike",))]))
    assert "3 cars driven, 2 with a fault" in text
    assert "1 sound cars, 1 of them with a symptom" in text
    row = next(line for line in text.splitlines() if line.startswith("overboost"))
    figures = "50.0 % 0.0 % 2 0.0 % 50.0 % 0.0 % 0 0"
    assert " ".join(row.split()) == f"overboost 2 {figures}"


def test_a_dead_coil_is_found_from_its_log(capsys: pytest.CaptureFixture[str]) -> None:
    arguments = ["--setups", "internal-nipple", "--causes", "sound", "solenoid-dead"]
    assert main(arguments) == 0
    text = capsys.readouterr().out
    assert "2 cars driven, 1 with a fault" in text
    assert "1 sound cars, 0 of them with a symptom" in text
    row = next(line for line in text.splitlines() if line.startswith("spring-ceiling"))
    assert row.split()[1:4] == ["1", "100.0", "%"]
    assert row.split()[-4:] == ["100.0", "%", "0", "0"]


def test_a_subject_keeps_the_rows_that_it_was_given() -> None:
    one = subject("direct")
    rows = driven(one.car).rows
    assert Subject(one.car, one.sound, rows).rows == list(rows)


def test_a_hand_controller_is_driven_wound_out_as_well() -> None:
    assert driven(subject("internal").car).wound_out is None
    one = subject("ball")
    drive = driven(one.car)
    given = Subject(one.car, one.sound, drive.rows, drive.wound_out)
    assert 60.0 < max(map(true_kpa, given.lowest)) < max(map(true_kpa, given.mapped)) - 10.0
    assert symptoms(given) == ("flutter",)
    assert curves(drive.rows, drive.rows).keys() > curves(drive.rows).keys()


def test_boost_that_starts_right_and_climbs_is_both_a_creep_and_too_much() -> None:
    assert symptoms(subject("bypass", "gate-undersized")) == ("overboost", "creep")
