"""docs/authoring.md: its examples are run as they are written."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from expert.loading.folder import load_with_cases
from expert.ui.add_pick import COMMANDS
from expert.workbench.add import journal
from tests.docs.conftest import Shell
from tests.docs.pages import AUTHORING, blocks, section, text_of
from tests.docs.test_knowledge import first_of, inserted

TITLE = "Bracket of the gate's can is cracked"
CASE = "bracket-broke-on-the-dyno"

Done = subprocess.CompletedProcess[str]


def went_well(done: Done) -> None:
    assert (done.returncode, done.stderr) == (0, ""), done.stdout


def checked(done: Done) -> None:
    went_well(done)
    assert done.stdout.startswith("No mistakes")


def unproved(done: Done) -> None:
    assert done.returncode == 1
    assert [line for line in done.stdout.splitlines() if "brackets" in line] == [
        one.text.rstrip("\n") for one in blocks(text_of(AUTHORING)) if "[no-case]" in one.text
    ]


def missed(done: Done) -> None:
    assert (done.returncode, done.stderr) == (1, "")
    assert f"{CASE}, checks asked: expected at most 12 checks" in done.stdout
    for check in ("first-movement high", "travel-at-20 short"):
        (line,) = [one for one in done.stdout.splitlines() if one.strip().startswith(check)]
        expected, rival = line.replace(check, "").split("|")
        # Against the cause and for its rival, as the page says.
        assert float(expected) < 0 < float(rival)


def tried(done: Done) -> None:
    went_well(done)
    assert done.stdout.endswith("tried: none miss.\n") or "none miss" in done.stdout
    assert CASE not in done.stdout


def found(done: Done) -> None:
    went_well(done)
    assert first_of(done.stdout) == TITLE
    assert done.stdout.lstrip().startswith("STOP")


def wrote(done: Done) -> None:
    went_well(done)
    assert "Check: no mistakes." in done.stdout
    assert "Written" in done.stdout
    for said in ("no answer here", "in no name", "Nothing was typed.", '" is no '):
        assert said not in done.stdout
    assert journal.drafts(journal.drafts_folder()) == []


def asked(done: Done) -> None:
    went_well(done)
    assert "What is wrong, in a few words?" in done.stdout


ORDERS: dict[str, Callable[[Done], None]] = {
    "run": went_well,
    "run: check": checked,
    "run: unproved": unproved,
    "run: misses": missed,
    "run: tried": tried,
    "run: found": found,
    "run: wrote": wrote,
    "asks": asked,
}


def test_the_examples_run_as_written(shell: Shell, scratch: Path) -> None:
    seen = set()
    headings = ("## In an editor", "## The same in a conversation")
    for block in [one for heading in headings for one in blocks(section(AUTHORING, heading))]:
        order, _, rest = block.mark.partition(" ")
        if not block.mark:
            assert block.lang == "text"
        elif order == "write":
            (scratch / rest).write_text(block.text, encoding="utf-8")
        elif order == "insert":
            name, _, path = rest.partition(": ")
            before = (scratch / name).read_text(encoding="utf-8")
            after = inserted(before, path.split(", "), block.text)
            (scratch / name).write_text(after, encoding="utf-8")
        else:
            assert block.mark in ORDERS, block.mark
            seen.add(block.mark)
            ORDERS[block.mark](shell(block.text))
    assert seen == set(ORDERS)
    same_in_both(scratch)


def same_in_both(scratch: Path) -> None:
    """The editor and the conversation come to the same knowledge and the same case."""
    edited, added = (
        load_with_cases([scratch / "knowledge", scratch / name]) for name in ("our-shop", "bench")
    )
    for field in ("causes", "checks"):
        assert getattr(edited.knowledge, field) == getattr(added.knowledge, field)
    one, other = (loaded.knowledge.symptoms["overboost"] for loaded in (edited, added))
    assert (one.causes, one.tree, one.subtrees) == (other.causes, other.tree, other.subtrees)
    assert edited.cases[CASE] == added.cases[CASE]


def test_the_fault_is_not_in_the_shipped_files(shell: Shell, scratch: Path) -> None:
    loaded = load_with_cases([scratch / "knowledge"])
    assert "can-bracket-cracked" not in loaded.knowledge.causes
    assert "can-bracket" not in loaded.knowledge.checks
    assert CASE not in loaded.cases


def test_the_lines_of_the_answers_are_where_the_page_says() -> None:
    (text,) = [one.text for one in blocks(text_of(AUTHORING)) if one.mark == "write cause.txt"]
    lines = text.splitlines()
    assert lines[17] == "enough"
    assert lines[-2:] == ["no", "yes"]


@pytest.mark.parametrize("word", ["back", "list", "leave"])
def test_the_words_of_the_page_are_commands(word: str) -> None:
    assert word in COMMANDS
    assert f"`{word}`" in section(AUTHORING, "## About the conversation")
