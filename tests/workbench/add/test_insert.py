"""Text put into files: all else stays byte for byte, and the file says just one thing more."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from expert.loading.folder import load, shipped_folder
from expert.model import Ask, Knowledge
from expert.workbench.add.alike import leaves
from expert.workbench.add.insert import (
    InsertError,
    add_entry,
    add_in_front,
    add_key,
    add_to_list,
    add_to_mapping,
    entry_lines,
)
from expert.workbench.add.rawtext import RawText
from expert.workbench.add.setting import Station
from tests.workbench.add.folders import LID

COMMENT = st.sampled_from(["", "# note", "#", "# a: b", "# [x"])
VALUES = st.sampled_from(
    [
        "plain",
        "'quoted: text'",
        '"double # text"',
        "[a, b]",
        "{a: .5, b: .25}",
        "[]",
        ">-\n{i}folded\n{i}text\n\n",
        "|\n{i}literal\n{i}  deeper\n",
        "two\n{i}lines",
        "\n{i}- x\n{i}- y: z",
        "\n{i}k: v\n{i}# inside\n{i}l:\n{i}  m: n",
    ]
)


@st.composite
def files(draw: st.DrawFn) -> str:
    """A mapping of mappings in all kinds of layouts, with comments wherever they may stand."""
    indent = draw(st.sampled_from([1, 2, 4]))
    lines = [draw(COMMENT), draw(COMMENT)]
    for number in range(draw(st.integers(1, 4))):
        lines += [draw(COMMENT) for _ in range(draw(st.integers(0, 2)))]
        lines.append(f"e{number}:" + draw(st.sampled_from(["", "  # here"])))
        for key in "pq"[: draw(st.integers(1, 2))]:
            value = draw(VALUES).replace("{i}", " " * (2 * indent))
            note = draw(st.sampled_from(["", " # behind"])) if "\n" not in value else ""
            lines.append(f"{' ' * indent}{key}: {value}{note}".replace(": \n", ":\n"))
            lines.append(draw(st.sampled_from(["", f"{' ' * indent}# under"])))
    lines += [draw(COMMENT) for _ in range(draw(st.integers(0, 2)))]
    text = "\n".join(line for line in lines if line or draw(st.booleans()))
    return text + draw(st.sampled_from(["", "\n", "\n\n"]))


def loaded(raw: RawText) -> Any:
    """What PyYAML's own loader makes of it."""
    return yaml.load(raw.text(), Loader=yaml.BaseLoader)


def form(text: str, end: str, mark: str) -> RawText:
    return RawText.of((mark + text.replace("\n", end)).encode(), "f.yaml")


def only_added(before: RawText, after: RawText) -> str:
    """The bytes that are new, which stand together; all others are there in their order."""
    old, new = before.data(), after.data()
    start = next((k for k, (a, b) in enumerate(zip(old, new, strict=False)) if a != b), len(old))
    grown = len(new) - len(old)
    assert grown > 0
    for k in range(start, -1, -1):
        if old[:k] + new[k : k + grown] + old[k:] == new:
            return new[k : k + grown].decode()
    raise AssertionError("more has changed than was added")


ENDS = st.sampled_from(["\n", "\r\n"])
MARKS = st.sampled_from(["", "\ufeff"])


@settings(max_examples=250, deadline=None)
@given(text=files(), end=ENDS, mark=MARKS)
def test_an_entry_is_put_behind_the_last(text: str, end: str, mark: str) -> None:
    raw = form(text, end, mark)
    after = add_entry(raw, "new:\n  a: b\n", "f.yaml")
    assert loaded(after) == {**loaded(raw), "new": {"a": "b"}}
    added = only_added(raw, after)
    assert added.strip() == f"new:{end}  a: b"
    if "\n" in text:
        assert added.replace("\r\n", "").count("\n") == (0 if end == "\r\n" else added.count("\n"))


@settings(max_examples=250, deadline=None)
@given(text=files(), end=ENDS, mark=MARKS)
def test_a_pair_is_put_behind_the_last_of_its_mapping(text: str, end: str, mark: str) -> None:
    raw = form(text, end, mark)
    after = add_to_mapping(raw, ("e0",), "new", "{a: .5}", "f.yaml")
    old = loaded(raw)
    assert loaded(after) == {**old, "e0": {**old["e0"], "new": {"a": ".5"}}}
    assert only_added(raw, after).strip() == "new: {a: .5}"


@settings(max_examples=250, deadline=None)
@given(text=files(), end=ENDS, mark=MARKS)
def test_an_entry_is_copied_with_its_comments(text: str, end: str, mark: str) -> None:
    raw = form(text, end, mark)
    for name, value in loaded(raw).items():
        lines = entry_lines(raw, name, "f.yaml")
        assert yaml.load(lines, Loader=yaml.BaseLoader) == {name: value}
        assert lines in raw.text() + "\n"
        assert "\r" not in lines


@pytest.mark.parametrize(
    ("text", "added"),
    [
        ("l: [a, b]\n", ", new"),
        ("l: [a, b,]  # c\n", ", new"),
        ("l: []\n", "new"),
        ("l: [a,\n  b\n  ]\n", ", new"),
        ("l:\n- a\n- b  # c\n# d\n", "- new\n"),
        ("l:\n  - a\n\n  # d\nm: n\n", "  - new\n"),
        ("l: ['a, b', \"c\"]\n", ", new"),
        ("l: [é, 日本]\n", ", new"),
    ],
)
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_an_item_is_put_behind_the_last_of_its_list(text: str, added: str, end: str) -> None:
    raw = form(text, end, "")
    after = add_to_list(raw, ("l",), "new", "f.yaml")
    old = loaded(raw)
    assert loaded(after) == {**old, "l": [*old["l"], "new"]}
    assert only_added(raw, after).strip(", \r\n") == added.strip(", \n")


def test_a_line_that_grows_too_wide_goes_on_below() -> None:
    text = f"t:\n  s: {{suspect: [{'a' * 40}, {'b' * 40}]}}\n"
    after = add_to_list(form(text, "\n", ""), ("t", "s", "suspect"), "new-one", "f.yaml")
    assert after.text().splitlines()[-1] == " " * 16 + "new-one]}"
    assert loaded(after)["t"]["s"]["suspect"][-1] == "new-one"


@pytest.mark.parametrize("body", ["{}", "{a: b}", "{a: {c: d}}", "{a: b,}"])
def test_a_mapping_on_one_line(body: str) -> None:
    raw = form(f"e: {{given: {body}}}\n", "\n", "")
    after = add_to_mapping(raw, ("e", "given"), "new", "{x: .5}", "f.yaml")
    assert loaded(after)["e"]["given"]["new"] == {"x": ".5"}
    assert len(after.lines) == 1


def test_a_key_is_put_before_the_last() -> None:
    raw = form(LID, "\r\n", "")
    after = add_key(raw, ("lid",), "danger", {"crooked": {"a": "stop"}}, "f.yaml")
    assert list(loaded(after)["lid"])[-2:] == ["danger", "basis"]
    assert only_added(raw, after).strip() == "danger:\r\n    crooked: {a: stop}"


def test_comments_above_an_entry_go_with_it_and_no_others() -> None:
    raw = form(LID, "\n", "")
    assert entry_lines(raw, "lid", "f").splitlines()[0] == "# Nothing was ever seen to move it."
    assert entry_lines(raw, "lid", "f").splitlines()[-1] == "    for this test"
    assert entry_lines(raw, "bolts", "f").splitlines()[0] == "# The last one."
    head = form("# The file.\na:\n  b: c\n", "\n", "")
    assert entry_lines(head, "a", "f") == "a:\n  b: c\n"


@pytest.mark.parametrize(
    "text",
    ["{a: {b: c}}\n", "- a\n", "just a text\n", "{}\n"],
)
def test_a_file_in_another_form_is_left_to_an_editor(text: str) -> None:
    with pytest.raises(InsertError, match="editor"):
        add_entry(form(text, "\n", ""), "new:\n  a: b\n", "f.yaml")


def test_a_path_that_leads_nowhere_is_refused() -> None:
    raw = form("a:\n  b: c\n", "\n", "")
    for call in (
        lambda: add_to_mapping(raw, ("a", "x"), "n", "v", "f"),
        lambda: add_to_mapping(raw, ("a", "b"), "n", "v", "f"),
        lambda: add_to_list(raw, ("a",), "n", "f"),
        lambda: add_key(raw, ("a",), "n", {}, "f"),
        lambda: entry_lines(raw, "z", "f"),
    ):
        with pytest.raises(InsertError):
            call()


TREE = """\
title: t
subtrees:
  # The hoses.
  hoses:   # first
    # Asked of all.
    check: trace
    then:
      loose: {suspect: [a]}
      otherwise: gate
  gate: {suspect: [b]}
tree: hoses
"""


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_a_check_is_asked_in_front_of_a_subtree(end: str) -> None:
    raw = form(TREE, end, "")
    station = Station("hoses", "after-new", {"bad": ("x", "y")})
    after = add_in_front(raw, station, "new", "f.yaml")
    old, new = loaded(raw), loaded(after)
    asked = {
        "check": "new",
        "then": {
            "bad": {"suspect": ["x", "y"]},
            "otherwise": "after-new",
            "unknown": "after-new",
        },
    }
    assert new == {
        **old,
        "subtrees": {**old["subtrees"], "hoses": asked, "after-new": old["subtrees"]["hoses"]},
    }
    assert list(new["subtrees"]) == ["hoses", "after-new", "gate"]
    added = only_added(raw, after).replace("\r\n", "\n")
    lines = [line.strip() for line in added.split("\n") if line.strip()]
    assert (lines[0], lines[-1]) == ("check: new", "after-new:")


def test_a_subtree_on_one_line_is_left_to_an_editor() -> None:
    with pytest.raises(InsertError):
        add_in_front(form(TREE, "\n", ""), Station("gate", "z", {}), "new", "f.yaml")


@cache
def shipped() -> Knowledge:
    return load([shipped_folder()])


SYMPTOMS = sorted((shipped_folder() / "symptoms").glob("*.yaml"))
CHECKS = sorted((shipped_folder() / "checks").glob("*.yaml"))


@pytest.mark.parametrize("path", SYMPTOMS, ids=lambda path: path.stem)
def test_every_shipped_tree_takes_suspects_and_checks(path: Path) -> None:
    raw = RawText.of(path.read_bytes(), path.name)
    after = add_to_mapping(raw, ("causes",), "new", "probable", path.name)
    assert only_added(raw, after).strip() == "new: probable"
    # Every leaf is written alike, so some stand for all.
    for leaf in leaves(shipped(), path.stem)[::12]:
        after = add_to_list(raw, leaf.path, "new", path.name)
        assert only_added(raw, after).strip(", \n") == "new"
    for name, node in shipped().symptoms[path.stem].subtrees.items():
        if isinstance(node, Ask) and len(name) % 3 == 0:
            after = add_in_front(raw, Station(name, "after-new", {}), "new", path.name)
            assert only_added(raw, after).count("new") == 4


@pytest.mark.parametrize("path", CHECKS, ids=lambda path: path.stem)
def test_every_shipped_check_takes_a_row(path: Path) -> None:
    raw = RawText.of(path.read_bytes(), path.name)
    entries = loaded(raw)
    for name, entry in entries.items():
        if "given" in entry:
            after = add_to_mapping(raw, (name, "given"), "new", "{a: .5}", path.name)
            assert only_added(raw, after).strip() == "new: {a: .5}"
        lines = entry_lines(raw, name, path.name)
        assert yaml.load(lines, Loader=yaml.BaseLoader) == {name: entry}
