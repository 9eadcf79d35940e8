"""The report says what missed, where it is written, and why."""

from __future__ import annotations

from pathlib import Path

from expert.loading.folder import Loaded, load_with_cases
from expert.workbench.tryout import Miss, Outcome, Reason, Reasons
from expert.workbench.tryout_report import lines, summary, tryout_json
from tests.loading.folders import write

CASES = """\
late-pull:
  title: Late to pull
  setup: external
  symptoms: [lazy]
  answers: {light: ring}
  expect:
    cause: ring-missing
    within: 3
  basis: invented
"""
OUTCOME = Outcome(
    named=None,
    asked=(("red-flags", ("knock", "glowing")), ("lamp", ())),
    drive="caution",
    doubtful=(),
    first=("charge-leak",),
    wrong=("charge-leak",),
)
REASONS = Reasons(
    "charge-leak",
    0.25,
    0.5,
    (Reason("lamp", ("ring",), 12.34, -3.0), Reason("symptom", ("lazy",), 1.0, None)),
)
MISSES = [
    Miss("cause", "ring-missing", "the workshop", REASONS),
    Miss("within", "at most 3 checks", "4", REASONS),
]


def loaded(folder: Path) -> Loaded:
    shop = write(folder)
    (shop / "causes" / "gate.cases.yaml").write_text(CASES, encoding="utf-8")
    return load_with_cases([shop])


def test_each_miss_has_its_place_and_the_reasons_stand_once(tmp_path: Path) -> None:
    _, cases, places, _ = loaded(tmp_path)
    text = list(lines("late-pull", cases["late-pull"], OUTCOME, MISSES, places))
    assert text[0].endswith(
        "gate.cases.yaml:7:5: late-pull, named: expected ring-missing, found the workshop"
    )
    assert text[1].endswith(
        "gate.cases.yaml:8:5: late-pull, checks asked: expected at most 3 checks, found 4"
    )
    assert text[2].strip() == "Late to pull"
    assert text[3].strip() == "asked: red-flags knock+glowing, lamp unknown"
    assert text[4].endswith("ring-missing (25 %) | charge-leak (50 %)")
    assert text[5].split() == ["lamp", "ring", "+12.3", "|", "-3.0"]
    assert text[6].split() == ["symptom", "lazy", "+1.0", "|"]
    assert len(text) == 7


def test_a_case_without_misses_is_silent(tmp_path: Path) -> None:
    _, cases, places, _ = loaded(tmp_path)
    assert list(lines("late-pull", cases["late-pull"], OUTCOME, [], places)) == []


def test_a_cause_of_another_car_has_no_chance_to_print(tmp_path: Path) -> None:
    _, cases, places, _ = loaded(tmp_path)
    alone = [Miss("cause", "ring-missing", "the workshop", Reasons(None, None, None, ()))]
    text = list(lines("late-pull", cases["late-pull"], OUTCOME, alone, places))
    assert text[-1].endswith("ring-missing (not on this car) | no other (not on this car)")


def test_the_summary_counts() -> None:
    assert summary({}) == "0 cases tried: none misses."
    assert summary({"a": []}) == "1 case tried: none misses."
    assert summary({"a": [], "b": MISSES}) == "2 cases tried: 1 misses."
    assert summary({"a": MISSES, "b": MISSES}) == "2 cases tried: 2 miss."


def test_the_same_as_json(tmp_path: Path) -> None:
    _, cases, places, _ = loaded(tmp_path)
    whole = tryout_json(cases, {"late-pull": OUTCOME}, {"late-pull": MISSES}, places)
    assert (whole["format"], whole["tried"], whole["missing"]) == (1, 1, 1)
    (one,) = whole["cases"]
    assert one["named"] is None
    assert one["asked"][0] == {"check": "red-flags", "answers": ["knock", "glowing"]}
    assert [miss["aspect"] for miss in one["misses"]] == ["cause", "within"]
    assert one["misses"][1]["place"].endswith("gate.cases.yaml:8:5")
    assert one["reasons"]["findings"][0]["expected_decibans"] == 12.34
    assert one["reasons"]["findings"][1]["rival_decibans"] is None
    sound = tryout_json(cases, {"late-pull": OUTCOME}, {"late-pull": []}, places)
    assert sound["missing"] == 0
    assert sound["cases"][0]["reasons"] is None
