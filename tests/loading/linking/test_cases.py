"""Known cases that do not fit: ``expert/loading/linking/cases.py``."""

from __future__ import annotations

from pathlib import Path

import pytest

from expert.errors import KnowledgeError
from expert.loading.folder import load, load_with_cases
from expert.model import KnownCase
from tests.loading.folders import edited, write

FILE = "causes/all.cases.yaml"
CASES = """\
ring-left-out:
  title: A full ring of light
  setup: manual
  gate: external
  bypass: blow-off
  symptoms: [lazy]
  spring-kpa: 48
  answers:
    worked-on: gate
    light: ring
  expect:
    cause: ring-missing
    within: 3
    drive: caution
  unlike: hose-came-off
  basis: invented
hose-came-off:
  title: A smell, and more boost than the spring
  setup: external
  symptoms: [lazy]
  answers:
    flags: [knock, smell]
    light: unknown
    spring-run: above
  rest: sound
  expect:
    cause: hose-off
    never: [ring-missing]
  basis: invented
"""


def reports(folder: Path, text: str) -> list[str]:
    root = write(folder, {FILE: text})
    try:
        load_with_cases([root])
    except KnowledgeError as error:
        return [str(mistake).partition("all.cases.yaml:")[2] for mistake in error.mistakes]
    return []


def test_cases_that_fit_are_loaded(tmp_path: Path) -> None:
    root = write(tmp_path, {FILE: CASES})
    loaded = load_with_cases([root])
    case = loaded.cases["ring-left-out"]
    assert isinstance(case, KnownCase)
    assert case.answers == {"worked-on": ("gate",), "light": ("ring",)}
    assert (case.rest, loaded.cases["hose-came-off"].rest) == ("unknown", "sound")
    assert (case.expect.within, case.spring_kpa) == (3, 48.0)
    place = loaded.places.value("case", "ring-left-out", "expect", "cause")
    assert (place.line, place.column) == (12, 12)


def test_cases_change_neither_the_knowledge_nor_its_digest(tmp_path: Path) -> None:
    before = load([write(tmp_path / "a")])
    assert load([write(tmp_path / "b", {FILE: CASES})]) == before
    assert load([write(tmp_path / "c", {FILE: "a: ["})]) == before


@pytest.mark.parametrize(
    ("old", "new", "report"),
    [
        ("  gate: external\n", "", "3:3: the setup manual leaves its gate open; add 'gate:'"),
        ("setup: external\n", "setup: external\n  gate: internal\n", "20:9: the setup external"),
        ("setup: external\n", "setup: extern\n", "19:10: the setup 'extern' is not known; did you"),
        ("[lazy]\n  spring", "[]\n  spring", "6:3: expected at least one symptom"),
        ("[lazy]\n  spring", "[lzy]\n  spring", "6:14: the symptom 'lzy' is not kno"),
        ("bypass: blow-off", "bypass: blow-on", "5:11: the bypass 'blow-on' is not known; did"),
        ("  gate: external", "  gate: internal", "10:5: this car cannot do the check: it lacks"),
        ("light: ring", "light: rings", "10:12: of the check 'light', the answer 'rings' is not"),
        ("light: ring", "lights: ring", "10:5: the check 'lights' is not known; did you mean"),
        ("light: ring", "light: [ring, dark]", "10:12: these answers cannot be given together"),
        ("[knock, smell]", "[none, smell]", "22:12: these answers cannot be given together"),
        ("[knock, smell]", "[unknown, smell]", "22:12: these answers cannot be given together"),
        ("[knock, smell]", "[]", "22:12: found an empty list; expected an answer, or unknown"),
        ("within: 3", "within: 0", "13:13: found '0'; expected a whole number over 0"),
        ("drive: caution", "drive: none", "14:12: found the text 'none'; expected one of ok"),
        ("  unlike: hose-came-off", "  unlike: hose", "15:11: the case 'hose' is not known"),
        ("never: [ring-missing]", "never: [hose-off]", "28:12: the expected cause is among those"),
        (
            "    cause: hose-off\n    never: [ring-missing]",
            "    cause: ring-missing",
            "15:11: both cases end at 'ring-missing'",
        ),
    ],
)
def test_what_does_not_fit(old: str, new: str, report: str, tmp_path: Path) -> None:
    assert CASES.count(old) == 1
    found = reports(tmp_path, CASES.replace(old, new))
    assert [line for line in found if line.startswith(report)], found


def test_a_cause_that_the_car_cannot_have(tmp_path: Path) -> None:
    text = CASES.replace("    light: ring\n", "").replace("gate: external", "gate: internal")
    assert reports(tmp_path, text) == [
        "11:12: this car cannot have that cause: it lacks external-gate"
    ]


def test_a_broken_setup_is_not_reported_twice(tmp_path: Path) -> None:
    files = {**edited("setups/external.yaml", "title: external gate\n", ""), FILE: CASES}
    with pytest.raises(KnowledgeError) as caught:
        load_with_cases([write(tmp_path, files)])
    assert len(caught.value.mistakes) == 1
