"""What was learned as files: whole entries, counts behind the numbers, and never half a folder."""

from __future__ import annotations

import os
import re
from collections import Counter
from pathlib import Path

import pytest

from expert.errors import MissingError, UsageError
from expert.loading.folder import Loaded, load, load_with_cases
from expert.workbench.learn_count import SOUND, Answer, Car, Tally
from expert.workbench.learn_fit import Learned, learned
from expert.workbench.learn_write import MARK, overlay, refuse_unless_ours, write
from tests.loading import folders

CAR = frozenset({"manifold", "external-gate"})


def taught(folder: Path, files: dict[str, str] | None = None) -> tuple[Path, Loaded, Learned]:
    """The small folder, as loaded, and what some cases make of it."""
    home = folders.write(folder / "home", files)
    loaded = load_with_cases([home])
    fresh = Car(CAR, "lazy", (1.0,) * len(loaded.knowledge.causes))
    tally = Tally(
        Counter({(fresh, "ring-missing"): 7}),
        Counter(
            {
                Answer("light", "ring-missing", ("crescent",), "asked"): 6,
                Answer("light", SOUND, ("ring",), "asked"): 1,
                Answer("spring-run", "ring-missing", ("late",), "log"): 3,
                Answer("flags", SOUND, ("smell",), "asked"): 2,
            }
        ),
    )
    return home, loaded, learned(loaded.knowledge, tally, 5.0)


def test_the_overlay_loads_as_what_was_learned(tmp_path: Path) -> None:
    home, loaded, found = taught(tmp_path)
    out = tmp_path / "learned"
    names = write(out, overlay(found, loaded.documents, ["How it was made."]))
    assert len(names) == 2
    again = load([home, out])
    assert again.causes == found.knowledge.causes
    assert again.checks == found.knowledge.checks
    assert again.symptoms == loaded.knowledge.symptoms


def test_each_changed_value_says_from_how_many_cases(tmp_path: Path) -> None:
    _, loaded, found = taught(tmp_path)
    files = overlay(found, loaded.documents, ["How it was made."])
    for text in files.values():
        assert text.startswith(f"{MARK}\n# How it was made.\n")
    causes, checks = files["causes/learned-1.yaml"], files["checks/learned-1.yaml"]
    # Every cause of that car counts; the ring was found seven times, the others never.
    assert re.search(r"ring-missing:\n(  .*\n)+?  seen:\n    just-fitted: \S+  # 7 cases\n", causes)
    assert re.search(r"hose-off:\n(  .*\n)+?  seen:\n    just-fitted: \S+  # 0 cases\n", causes)
    assert "    settled: rare\n" in causes
    light = checks.partition("light:\n")[2].partition("\nspring-run:")[0]
    assert re.search(r"  healthy:\n    crescent: \S+  # 1 case\n    ring: \S+  # 1 case\n", light)
    assert re.search(r"    ring-missing:\n      crescent: \S+  # 6 cases\n", light)
    # What was not learned stands as it was written.
    assert "  ask: What light comes through?\n" in light
    assert "    hose-off: {above: certain}\n" in checks
    assert "    hose-off: {smell: .6}\n" in checks


def test_texts_that_look_like_something_else_stay_texts(tmp_path: Path) -> None:
    odd = "'yes: no # \"so\" it''s - {1}, \u00fcber'"
    changed = folders.edited("checks/all.yaml", "Hold a lamp behind it.", odd)
    home, loaded, found = taught(tmp_path, changed)
    out = tmp_path / "learned"
    write(out, overlay(found, loaded.documents, []))
    how = load([home, out]).checks["light"].how
    assert how[0] == 'yes: no # "so" it\'s - {1}, \u00fcber'


def test_the_last_folder_is_the_one_that_is_copied(tmp_path: Path) -> None:
    home, loaded, found = taught(tmp_path)
    top = tmp_path / "top"
    (top / "causes").mkdir(parents=True)
    entry = folders.CAUSES.partition("hose-off:")[0].replace("Ring left out", "Ring forgotten")
    (top / "causes" / "mine.yaml").write_text(entry, encoding="utf-8")
    documents = load_with_cases([home, top]).documents
    files = overlay(found, documents, [])
    assert "Ring forgotten" in files["causes/learned-1.yaml"]
    assert "Ring left out" not in files["causes/learned-1.yaml"]
    assert loaded.documents != documents


def test_an_earlier_overlay_is_replaced_whole(tmp_path: Path) -> None:
    home, loaded, found = taught(tmp_path)
    out = tmp_path / "learned"
    write(out, overlay(found, loaded.documents, ["First."]))
    refuse_unless_ours(out, [home])
    (out / "checks" / ".learned-1.yaml.part").write_text("torn", encoding="utf-8")
    fewer = Learned(found.knowledge, (), found.rows[:1])
    write(out, overlay(fewer, loaded.documents, ["Second."]))
    assert [path.name for path in sorted(out.rglob("*.*"))] == ["learned-1.yaml"]
    assert "# Second." in (out / "checks" / "learned-1.yaml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "name", ["notes.txt", "causes/mine.yaml", "causes/learned-1.yaml", "deep/er/x.yaml"]
)
def test_a_folder_of_somebody_else_is_refused(tmp_path: Path, name: str) -> None:
    path = tmp_path / "out" / name
    path.parent.mkdir(parents=True)
    path.write_text("mine: {}\n", encoding="utf-8")
    with pytest.raises(UsageError, match="which was not learned"):
        refuse_unless_ours(tmp_path / "out", [])


def test_what_may_be_written_into(tmp_path: Path) -> None:
    refuse_unless_ours(tmp_path / "new", [])
    refuse_unless_ours(tmp_path, [])
    with pytest.raises(UsageError, match="would count twice"):
        refuse_unless_ours(tmp_path, [tmp_path / "x" / ".."])
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(UsageError, match="this is a file"):
        refuse_unless_ours(tmp_path / "file", [])


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="root may write anywhere")
def test_a_read_only_folder_is_one_message_and_nothing_is_left(tmp_path: Path) -> None:
    locked = tmp_path / "locked"
    locked.mkdir(mode=0o555)
    with pytest.raises(MissingError, match="cannot be written: permission denied"):
        write(locked / "out", {"causes/learned-1.yaml": MARK})
    assert list(locked.iterdir()) == []


def test_a_folder_that_cannot_be_made_is_one_message(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine", encoding="utf-8")
    with pytest.raises(MissingError, match=r"cannot be written: not a directory\. Nothing was"):
        write(tmp_path / "file" / "out", {"causes/learned-1.yaml": MARK})
    assert [path.name for path in tmp_path.iterdir()] == ["file"]


def test_what_was_made_is_taken_away_when_a_disk_is_full(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    written = iter([None, OSError(28, "No space left on device")])

    def sync(_: int) -> None:
        problem = next(written)
        if problem is not None:
            raise problem

    monkeypatch.setattr(os, "fsync", sync)
    with pytest.raises(MissingError, match="no space left on device"):
        write(tmp_path / "a" / "b", {"causes/learned-1.yaml": MARK, "checks/learned-1.yaml": MARK})
    assert list(tmp_path.iterdir()) == []


def test_a_file_is_never_too_large_to_be_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    home, loaded, found = taught(tmp_path)
    monkeypatch.setattr("expert.workbench.learn_write._FULL", 10)
    files = overlay(found, loaded.documents, [])
    assert {"checks/learned-1.yaml", "checks/learned-2.yaml"} <= files.keys()
    write(tmp_path / "out", files)
    assert load([home, tmp_path / "out"]).checks == found.knowledge.checks
