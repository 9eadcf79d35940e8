"""One entry with all that it takes part in, on a small knowledge."""

from __future__ import annotations

from collections.abc import Callable
from math import log10
from pathlib import Path

import pytest
import yaml

from expert.errors import UsageError
from expert.loading.folder import load_with_cases, shipped_folder
from expert.loading.kinds import ALL_KINDS
from expert.workbench.changes import entries_of
from expert.workbench.show_entry import Shown, entry_text, shown
from tests.loading import folders

CASES = """\
# Told at the counter.
ring-gone:
  title: No ring
  setup: external
  symptoms: [lazy]
  answers: {light: ring}
  expect:
    cause: ring-missing
    never: [hose-off]
  basis: invented
"""
Show = Callable[..., Shown]


@pytest.fixture
def base(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return folders.write(tmp_path / "base", {"causes/all.cases.yaml": CASES})


def one(folder: Path, name: str, *more: Path, kind: str | None = None) -> Shown:
    (found,) = shown(load_with_cases([folder, *more]), [folder, *more], name, kind)
    return found


def overlay(folder: Path, name: str, text: str) -> Path:
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return folder


def test_text_and_place(base: Path) -> None:
    found = one(base, "hose-off")
    assert str(found.place) == "base/causes/all.yaml:13:1"
    assert found.folder == "base"
    assert found.text.startswith("hose-off:\n  title: Hose off\n")
    assert found.text.endswith("  parts: low\n  basis: invented")
    assert yaml.safe_load(found.text)["hose-off"]["minutes"] == 10
    assert found.earlier == ()


def test_an_entry_that_is_a_file_is_shown_whole(base: Path) -> None:
    assert one(base, "external", kind="setup").text == folders.SETUP_EXTERNAL.rstrip("\n")
    assert one(base, "policy").text == folders.POLICY.rstrip("\n")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("lamp: {title: a lamp}\n", "lamp: {title: a lamp}"),
        ("lamp: {title: a lamp}", "lamp: {title: a lamp}"),
        ("# one\nlamp:\n  title: a lamp # of ours\n\n# next\nx: {title: y}\n", None),
        ("lamp:\n  title: >-\n    a\n    lamp\n\n\n# next\nx: {title: y}\n", None),
    ],
)
def test_comments_around_an_entry_belong_elsewhere(
    base: Path, text: str, expected: str | None
) -> None:
    folder = overlay(base.parent / "own", "tools.yaml", text)
    found = one(base, "lamp", folder).text
    own, _, _ = text.partition("\n\n# next")
    assert found == (expected or own.removeprefix("# one\n").rstrip("\n"))


def test_the_text_of_every_shipped_entry_is_the_entry() -> None:
    loaded = load_with_cases([shipped_folder()])
    seen = 0
    for kind in ALL_KINDS:
        for name in list(entries_of(loaded, kind))[::7]:
            entry = loaded.places.entry(kind.name, name)
            text = entry_text(entry)
            alone = yaml.load(text, yaml.BaseLoader)
            whole = yaml.load(entry.document.text, yaml.BaseLoader)
            if entry.key is not None:
                assert list(alone) == [name]
            assert alone == ({name: whole[name]} if entry.key is not None else whole)
            seen += 1
    assert seen > 50


def test_what_it_overrides(base: Path) -> None:
    changed = folders.TOOLS.replace("a lamp", "a bright lamp")
    near = overlay(base.parent / "near", "tools.yaml", changed)
    far = overlay(base.parent / "far", "tools.yaml", folders.TOOLS.replace("a lamp", "a torch"))
    found = one(base, "lamp", near, far)
    assert found.folder == "far"
    assert [str(each.place) for each in found.earlier] == [
        "near/tools.yaml:1:1",
        "base/tools.yaml:1:1",
    ]
    first, second = (each.differs for each in found.earlier)
    assert [(each.path, each.old, each.new) for each in first] == [
        (("title",), "a bright lamp", "a torch")
    ]
    assert second[0].old == "a lamp"
    # A folder that is named twice overrides nothing of its own.
    assert one(base, "lamp", near, near).earlier == one(base, "lamp", near).earlier


def test_a_cause(base: Path) -> None:
    found = one(base, "ring-missing")
    assert [str(each.place) for each in found.trees] == [
        "base/symptoms/lazy.yaml:24:24",
        "base/symptoms/lazy.yaml:29:25",
    ]
    assert [(each.symptom, each.share) for each in found.complaints] == [("lazy", 0.93)]
    assert [row.check for row in found.rows] == ["light", "spring-run"]
    assert found.cautions == {}
    (case,) = found.cases
    assert (case.id, case.path) == ("ring-gone", ("expect", "cause"))
    assert found.others == ()


def test_shares_by_hand(base: Path) -> None:
    light, run = one(base, "ring-missing").rows
    sound, crescent, ring = light.shares
    assert [each.answer for each in light.shares] == ["dark", "crescent", "ring"]
    assert sound.share == pytest.approx(0.02)
    assert sound.healthy == pytest.approx(0.99)
    assert (crescent.share, crescent.healthy) == (0.05, 0.01)
    # With a slip of .02 over three answers. A ring is the worst answer, so no leak hides it; a
    # crescent is seen with the cause, or where the cause shows nothing and the leak does.
    stray = 0.02 / 3
    expected = 10 * log10((0.98 * 0.93 + stray) / stray)
    assert ring.decibans == pytest.approx(expected)
    with_cause = 0.98 * (0.05 + 0.02 * 0.01) + stray
    assert crescent.decibans == pytest.approx(10 * log10(with_cause / (0.98 * 0.01 + stray)))
    # Answers that are not stated are left out, but the sound one says what is left.
    assert [each.answer for each in run.shares] == ["below", "spring", "late"]


def test_a_check(base: Path) -> None:
    found = one(base, "light")
    assert [row.cause for row in found.rows] == ["ring-missing"]
    assert [str(each.place) for each in found.trees] == ["base/symptoms/lazy.yaml:22:5"]
    # Its own, and those of taking the gate off.
    assert list(found.cautions) == ["hot-parts"]
    assert [each.path for each in found.cases] == [("answers", "light")]


def test_others_name_it(base: Path) -> None:
    found = one(base, "hot-parts")
    assert [(each.kind, each.id) for each in found.others] == [
        ("preparation", "gate-off"),
        ("check", "light"),
    ]
    assert [each.path for each in one(base, "hose-off").cases] == [("expect", "never", 0)]
    branches = one(base, "external-gate").trees
    assert [each.path[-2:] for each in branches] == [("has", "external-gate")]


def test_several_kinds_with_one_id(base: Path) -> None:
    part = "lamp: {title: the lamp, what: It shines., basis: invented}\n"
    folder = overlay(base.parent / "own", "parts/lamp.yaml", part)
    loaded = load_with_cases([base, folder])
    both = shown(loaded, [base, folder], "lamp", None)
    assert [each.kind for each in both] == ["tool", "part"]
    assert [each.folder for each in both] == ["base", "own"]
    (part_alone,) = shown(loaded, [base, folder], "lamp", "part")
    assert part_alone == both[1]


def test_an_unknown_id_is_answered_with_the_nearest(base: Path) -> None:
    with pytest.raises(UsageError, match=r"no entry 'ring-mising'. Did you mean ring-missing\?"):
        one(base, "ring-mising")
    with pytest.raises(UsageError, match="no check 'ring-missing'"):
        one(base, "ring-missing", kind="check")


def test_a_folder_that_is_the_current_one(base: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(base)
    assert one(Path(), "lamp").folder == "."
