"""An entry as text and as JSON."""

from __future__ import annotations

from pathlib import Path

import pytest

from expert.loading.folder import load_with_cases
from expert.workbench.changes import FieldChange
from expert.workbench.show_entry import shown
from expert.workbench.show_entry_report import field_words, lines, show_json, way
from tests.loading import folders
from tests.workbench.test_show_entry import CASES, overlay


@pytest.fixture
def pair(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    monkeypatch.chdir(tmp_path)
    base = folders.write(tmp_path / "base", {"causes/all.cases.yaml": CASES})
    changed = folders.CHECKS.replace("crescent: .05}", "crescent: .1}").replace(
        "almost-certain", "probable"
    )
    return [base, overlay(tmp_path / "own", "checks/all.yaml", changed)]


def test_text(pair: list[Path]) -> None:
    (light,) = shown(load_with_cases(pair), pair, "light", None)
    told = list(lines(light))
    assert told[0] == "own/checks/all.yaml:16: check light, from the folder own"
    assert told[1] == "  overrides base/checks/all.yaml:16"
    assert told[2].startswith("    given / ring-missing / ring: almost-certain (0.93) -> probable")
    assert "light:" in told
    assert "  base/symptoms/lazy.yaml:22: symptom lazy, subtrees / gate / check" in told
    assert "  own/checks/all.yaml:30: light, with ring-missing" in told
    (ring,) = [line for line in told if line.startswith("      ring ")]
    assert ring.split()[1:4] == ["0.750", "of", "them,"]
    assert "  hot-parts: WARNING: Hot parts burn; wait." in told
    assert told[-1] == "  base/causes/all.cases.yaml:6: case ring-gone, answers / light"


def test_a_copy_that_says_the_same(pair: list[Path]) -> None:
    (run,) = shown(load_with_cases(pair), pair, "spring-run", None)
    assert list(lines(run))[1] == "  overrides base/checks/all.yaml:32, which says the same"


def test_cases_that_end_at_a_cause(pair: list[Path]) -> None:
    (ring,) = shown(load_with_cases(pair), pair, "ring-missing", None)
    told = list(lines(ring))
    assert told[-2:] == [
        "Known cases that end at it:",
        "  base/causes/all.cases.yaml:8: ring-gone",
    ]


def test_json(pair: list[Path]) -> None:
    found = shown(load_with_cases(pair), pair, "ring-missing", None)
    (entry,) = show_json(found)["entries"]
    assert entry["place"] == "base/causes/all.yaml:1:1"
    assert entry["overrides"] == []
    assert [row["check"] for row in entry["checks"]] == ["light", "spring-run"]
    assert [case["ends"] for case in entry["cases"]] == [True]


def test_words_of_a_field() -> None:
    assert way(("given", "ring-missing", 0, "just_fitted")) == "given / ring-missing / just-fitted"
    assert field_words(FieldChange(("minutes",), None, "5")) == "minutes: nothing -> 5"
    text = FieldChange(("what",), "a b", "a c", "a [b -> c]")
    assert field_words(text) == "what: a [b -> c]"
    share = FieldChange(("given", "x", "y"), "0.1", "0.2", None, 3.01)
    assert field_words(share) == "given / x / y: 0.1 -> 0.2 (+3.0 dB)"
