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


def test_entries_that_were_overridden(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    write(tmp_path / "base")
    for number in "12":
        (tmp_path / number).mkdir()
        text = f"lamp: {{title: lamp {number}}}\nnew-{number}: {{title: new}}\n"
        (tmp_path / number / "tools.yaml").write_text(text, encoding="utf-8")
    places = load_with_places([Path("base"), Path("1"), Path("2")])[1]
    assert places.entry("tool", "lamp").value.title == "lamp 2"
    assert [each.value.title for each in places.overridden("tool", "lamp")] == ["lamp 1", "a lamp"]
    assert places.overridden("tool", "new-2") == ()
    with pytest.raises(KeyError):
        places.entry("tool", "nothing")


def test_the_file_an_entry_came_from(places: Places) -> None:
    assert places.file("check", "light") == "checks/all.yaml"


def test_what_an_entry_overrides(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(write(tmp_path))
    mine = tmp_path.parent / f"{tmp_path.name}-mine"
    (mine / "causes").mkdir(parents=True)
    text = Path("causes/all.yaml").read_text(encoding="utf-8")
    (mine / "causes" / "mine.yaml").write_text(text.replace("Ring left out", "No ring"), "utf-8")
    places = load_with_places([Path(), mine])[1]
    (earlier,) = places.overridden("cause", "ring-missing")
    assert earlier.value.title == "Ring left out"
    assert str(earlier.place()) == "causes/all.yaml:1:1"
    assert places.overridden("check", "light") == ()
    with pytest.raises(KeyError):
        places.overridden("cause", "nothing")
