"""Where entries are written: ``expert/loading/places.py``."""

from __future__ import annotations

from pathlib import Path

import pytest

from expert.errors import Place
from expert.loading.folder import load_with_places
from expert.loading.places import Places
from tests.loading.folders import write


@pytest.fixture
def places(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Places:
    monkeypatch.chdir(write(tmp_path))
    return load_with_places([Path()])[1]


@pytest.mark.parametrize(
    ("path", "expected"),
    [
        (("cause", "ring-missing"), "causes/all.yaml:1:1"),
        (("cause", "hose-off", "title"), "causes/all.yaml:14:3"),
        (("cause", "ring-missing", "needs", 0), "causes/all.yaml:4:11"),
        (("cause", "ring-missing", "seen", "settled"), "causes/all.yaml:6:31"),
        (("cause", "ring-missing", "seen", "just_fitted"), "causes/all.yaml:6:10"),
        (("cause", "as-designed:large", "shown_by", "spring-run"), "causes/all.yaml:29:14"),
        (("check", "light", "given", "ring-missing", "ring"), "checks/all.yaml:30:20"),
        (("check", "spring-run", "measure", "up_to", "spring"), "checks/all.yaml:53:25"),
        (("setup", "external"), "setups/external.yaml:1:1"),
        (("setup", "external", "hoses", "signal", "from_"), "setups/external.yaml:5:12"),
        (("symptom", "lazy", "tree", "then", "none", "has"), "symptoms/lazy.yaml:12:7"),
        (("symptom", "lazy", "subtrees", "gate", "check"), "symptoms/lazy.yaml:22:5"),
        (("policy", "policy", "slip", "mail"), "policy.yaml:5:30"),
    ],
)
def test_keys(path: tuple[str, str], expected: str, places: Places) -> None:
    assert str(places.of(*path)) == expected


def test_values(places: Places) -> None:
    assert places.value("cause", "hose-off", "title") == Place("causes/all.yaml", 14, 10)
    assert places.value("cause", "hose-off") == Place("causes/all.yaml", 14, 3)


def test_steps_that_lead_nowhere_are_dropped(places: Places) -> None:
    entry = places.of("cause", "hose-off")
    assert places.of("cause", "hose-off", "harm", "x", "y") == Place("causes/all.yaml", 18, 3)
    assert places.of("cause", "hose-off", "needs") == entry
    assert places.of("cause", "ring-missing", "needs", 7) == Place("causes/all.yaml", 4, 3)
    with pytest.raises(KeyError):
        places.of("cause", "nothing")


def test_the_file_an_entry_came_from(places: Places) -> None:
    assert places.file("check", "light") == "checks/all.yaml"
