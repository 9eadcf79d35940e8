"""Texts over several lines that are no blocks."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.loading.folder import load
from expert.rules.loose_text import _MAYBE, _loose
from expert.rules.registry import BY_ID
from expert.rules.rule import Text
from expert.workbench.check import checked
from tests.rules.bench import findings, folders, lines

MESSAGE = "a text over several lines; write it as a block after '>-'"
CHECK = """\
glance:
  ask: What do you see?
  how:
    - Look at the pipe and
      at its end.
    - >-
      Look at the hose: and
      at its end.
    - "Look at the valve: and
      at its end."
  minutes: 2   # a guess
  answers: {none: nothing,
    much: a lot}
  healthy: {much: .01}
  given:
    hose-off: {much: .9}

  basis: >-
    common
    practice
"""


def test_plain_and_quoted_texts_are_shown_and_blocks_are_fine(tmp_path: Path) -> None:
    assert lines("loose-text", tmp_path, {"checks/glance.yaml": CHECK}) == [
        f"checks/glance.yaml:4:7: {MESSAGE}",
        f"checks/glance.yaml:9:7: {MESSAGE}",
    ]


def test_columns_behind_a_mark_and_in_the_last_line(tmp_path: Path) -> None:
    files = {"tools.yaml": "\ufefflamp:\n  title: a lamp\n    that fits"}
    assert lines("loose-text", tmp_path, files) == [f"tools.yaml:2:10: {MESSAGE}"]


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("  title: a lamp\n    that fits\n", "  title: >-\n    a lamp\n    that fits\n"),
        ("  title: a lamp\n   that fits\n", "  title: >-\n   a lamp\n   that fits\n"),
    ],
)
def test_a_plain_text_becomes_a_block_that_says_the_same(
    before: str, after: str, tmp_path: Path
) -> None:
    files = {"tools.yaml": f"lamp:\n{before}torch:\n  title: a torch\n"}
    small, ours = folders(tmp_path, files)
    old = load([small, ours])
    assert checked([small, ours], [BY_ID["loose-text"]], [ours]).fixed == 1
    text = (ours / "tools.yaml").read_text(encoding="utf-8")
    assert text == f"lamp:\n{after}torch:\n  title: a torch\n"
    assert load([small, ours]).tools == old.tools


@pytest.mark.parametrize(
    "text",
    [
        'lamp:\n  title: "a lamp\n    that fits"\n',
        "lamp:\n  title: a lamp\n    that\n      fits\n",
        "lamp:\n  title: a lamp\n    that fits # behind a valve\n",
    ],
)
def test_what_might_change_its_meaning_is_left_to_the_writer(text: str, tmp_path: Path) -> None:
    (found,) = findings("loose-text", tmp_path, {"tools.yaml": text})
    assert found.fix is None


def test_a_text_that_runs_off_the_screen(tmp_path: Path) -> None:
    wide = f"lamp: {{title: a lamp}}\ntorch:\n  title: a torch {'and another ' * 8}"
    files = {"tools.yaml": f"{wide[:-1]}\n"}
    assert lines("loose-text", tmp_path / "wide", files) == [
        "tools.yaml:3:10: the line is over 100 characters; write the text as a block after '>-'"
    ]
    files = {"tools.yaml": f"{wide[:-14]}\n"}
    assert len(wide.splitlines()[-1]) - 14 <= 100
    assert lines("loose-text", tmp_path / "fits", files) == []


LINE = st.tuples(
    st.integers(0, 4).map(lambda indent: " " * indent),
    st.sampled_from(["", "- ", "- - ", "key: ", "- key: ", "a/b:  "]),
    st.sampled_from(["text", "two words", ">-", "{a: b}", "'quoted'", "wide " * 30, "x:y"]),
).map("".join)


@given(st.lists(LINE, max_size=8).map("\n".join))
def test_the_quick_look_misses_nothing_that_the_slow_one_finds(text: str) -> None:
    if list(_loose(Text("tool", "x.yaml", text))):
        assert _MAYBE.search(text)
