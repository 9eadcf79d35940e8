"""docs/commands.md against the parsers, both ways; and every example is run."""

from __future__ import annotations

import argparse
import io
import re
import shlex
import shutil
import sys
from pathlib import Path

import pytest

from expert import errors
from expert.case.events import Answered, Described
from expert.case.journal import Journal
from expert.case.place import default_folder
from expert.case.pressures import LIMITS_KPA
from expert.cli import main
from expert.export.draw import _symptoms
from expert.export.render import renderers
from expert.knowledge_options import ACTIONS
from expert.options import COMMANDS as EXAMPLES
from expert.options import DEFAULT_COMMAND, TOP_EXAMPLES, Parser, parser
from expert.ui import reading
from expert.ui.reading import COMMANDS as WORDS
from expert.workbench.add.draft import Draft
from expert.workbench.add.journal import DraftFile
from tests.docs.pages import COMMANDS, ROOT, code, gatepost_lines, rows, section, text_of
from tests.evidence.log.benchlogs import text as log_of
from tests.workbench.journals import story, write
from tests.workbench.repository import commit

SHARED = {"--knowledge DIR", "--no-color"}


def parsers(of: Parser | None = None) -> dict[str, Parser]:
    top = of or parser()
    (subparsers,) = [
        action
        for action in top._subparsers._group_actions  # type: ignore[union-attr]
        if isinstance(action, argparse._SubParsersAction)
    ]
    return {"": top, **subparsers.choices}


def actions() -> dict[str, Parser]:
    """The parsers of the actions of gatepost knowledge."""
    return {name: one for name, one in parsers(parsers()["knowledge"]).items() if name}


def offered(one: Parser) -> set[str]:
    """The options and arguments of a parser as a help or a page would write them."""
    found = set()
    for action in one._actions:
        if isinstance(action, argparse._SubParsersAction):
            continue
        value = action.metavar
        if value is None and action.choices is not None:
            value = f"{{{','.join(action.choices)}}}"
        if not action.option_strings:
            assert isinstance(value, str)
            found.add(value)
        for name in action.option_strings:
            found.add(name if action.nargs == 0 else f"{name} {value}")
    return found


def documented(heading: str) -> set[str]:
    text, _, _ = section(COMMANDS, heading).partition("\n### ")
    return {name.replace("\\|", "|") for row in rows(text) for name in code(row[0])}


def test_every_command_has_its_section_and_its_line() -> None:
    listed = {code(row[0])[0]: row[1] for row in rows(text_of(COMMANDS).partition("\n## ")[0])}
    assert listed == {name: summary for name, (summary, _) in EXAMPLES.items()}
    headings = re.findall(r"^## gatepost (\w+)$", text_of(COMMANDS), re.MULTILINE)
    assert headings == list(EXAMPLES)
    assert set(parsers()) == {"", *EXAMPLES}


def test_every_action_has_its_section_and_its_line() -> None:
    text, _, _ = section(COMMANDS, "## gatepost knowledge").partition("\n### ")
    listed = {code(row[0])[0]: row[1] for row in rows(text)}
    assert listed == {name: action.summary for name, action in ACTIONS.items()}
    headings = re.findall(r"^### gatepost knowledge (\w+)$", text_of(COMMANDS), re.MULTILINE)
    assert headings == list(ACTIONS)
    assert set(actions()) == set(ACTIONS)


@pytest.mark.parametrize("action", ACTIONS)
def test_options_of_an_action(action: str) -> None:
    offers = offered(actions()[action])
    assert offers >= SHARED | {"-h", "--help"}
    heading = f"### gatepost knowledge {action}"
    assert documented(heading) == offers - SHARED - {"-h", "--help"}


@pytest.mark.parametrize("action", ACTIONS)
def test_examples_of_an_action(action: str) -> None:
    examples = re.sub("^  ", "", ACTIONS[action].examples, flags=re.MULTILINE)
    expected = gatepost_lines(f"```sh\n{examples}\n```\n")
    assert gatepost_lines(section(COMMANDS, f"### gatepost knowledge {action}")) == expected


@pytest.mark.parametrize("command", [name for name in EXAMPLES if name != "knowledge"])
def test_options_of_a_command(command: str) -> None:
    offers = offered(parsers()[command])
    assert offers >= SHARED | {"-h", "--help"}
    assert documented(f"## gatepost {command}") == offers - SHARED - {"-h", "--help"}


def test_options_of_all_commands() -> None:
    assert documented("## gatepost") == offered(parsers()[""]) | SHARED


def test_a_missing_option_is_found() -> None:
    made = Parser(prog="x")
    made.add_argument("--new", metavar="FILE")
    assert offered(made) == {"-h", "--help", "--new FILE"}


@pytest.mark.parametrize("command", EXAMPLES)
def test_examples_of_a_command(command: str) -> None:
    _, text = EXAMPLES[command]
    expected = gatepost_lines(f"```sh\n{re.sub('^  ', '', text, flags=re.MULTILINE)}\n```\n")
    text, _, _ = section(COMMANDS, f"## gatepost {command}").partition("\n### gatepost")
    assert gatepost_lines(text) == expected


def test_examples_of_all_commands() -> None:
    lines = [re.split(r"\s{3,}", line.strip())[0] for line in TOP_EXAMPLES.splitlines()]
    assert gatepost_lines(section(COMMANDS, "## gatepost")) == lines


def every_example() -> list[str]:
    return list(dict.fromkeys(gatepost_lines(text_of(COMMANDS))))


@pytest.mark.parametrize("line", every_example())
def test_an_example_runs(
    line: str, scratch: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    # A folder of one's own, and a case that was left before.
    (scratch / "our-shop").mkdir()
    (scratch / "docs").mkdir(exist_ok=True)
    shutil.copy(ROOT / "docs" / "mailbox.mbox", scratch / "docs")
    with Journal.open(default_folder() / "a.case.jsonl", "digest") as journal:
        for event in (Described("setup", "internal-nipple"), Described("symptom", "lazy")):
            journal.append(event)
    draft = DraftFile.new(scratch / "this-car", [], Draft())
    draft.answered("kind", ("cause",))
    draft.close()
    told = [Answered("light-behind-valve", ("full-ring",))]
    write(scratch / "cases", [story("seat-ring-missing", *told, setup="external-single")])
    for name in ("pull.csv", "second.csv"):
        (scratch / name).write_text(log_of("seat-ring-missing"), encoding="utf-8")
    if "knowledge diff" in line:
        # Revisions to compare.
        commit(scratch)
        commit(scratch)
    monkeypatch.setattr(sys, "stdin", io.StringIO(""))
    # Pictures are drawn in tests/export; here one tree stands for all, and is not drawn.
    monkeypatch.setattr("expert.export.render._run", lambda *_: b"<svg/>")
    monkeypatch.setattr("expert.export.draw._symptoms", lambda *named: _symptoms(*named)[:1])
    # A tree is judged by one car here, since many take a while.
    line = line.replace("--cars 20", "--cars 1")
    line = line.replace("knowledge calibrate", "knowledge calibrate --cars 100")
    code = main(shlex.split(line)[1:])
    shown = capsys.readouterr()
    if "--format svg" in line and not any("svg" in one.formats for one in renderers()):
        assert code == errors.EXIT_MISSING
        assert "draws svg" in shown.err
        return
    # Every gap of the shipped files is explained in them, but not those of a stricter measure.
    stricter = "--below" in line
    assert code == (errors.EXIT_PROBLEMS if stricter else errors.EXIT_DONE), shown.err
    assert shown.out


def test_without_a_command_it_is_the_default_one() -> None:
    assert DEFAULT_COMMAND == "diagnose"
    assert "`gatepost` without a command is `gatepost diagnose`" in text_of(COMMANDS)


def test_words_of_the_dialogue() -> None:
    table = rows(section(COMMANDS, "### Words that work at every question"))
    named = {code(row[0])[0]: code(row[0])[1:] for row in table}
    assert list(named) == list(WORDS)
    also = {word: name for name, words in named.items() for word in words}
    assert also == dict(reading._SYNONYMS)


def test_exit_codes() -> None:
    table = {int(row[0]): row[1] for row in rows(section(COMMANDS, "## Exit codes"))}
    constants = {value for name, value in vars(errors).items() if name.startswith("EXIT_")}
    assert set(table) == constants


def test_environment_variables() -> None:
    source = "\n".join(path.read_text(encoding="utf-8") for path in (ROOT / "expert").rglob("*.py"))
    read = set(re.findall(r"environ(?:\.get\(|\.setdefault\(|\[)\s*\"(\w+)\"", source))
    assert read >= {"NO_COLOR", "TERM", "XDG_DATA_HOME", "LOCALAPPDATA"}
    # Read for us by the standard library: shutil.get_terminal_size, Path.home, shutil.which.
    assert "get_terminal_size" in source
    read |= {"COLUMNS", "HOME", "PATH"}
    assert {code(row[0])[0] for row in rows(section(COMMANDS, "## Environment variables"))} == read


def test_the_limits_of_pressures() -> None:
    (spring, target), text = LIMITS_KPA.values(), text_of(COMMANDS)
    assert f"A spring has {spring[0]:.0f} to {spring[1]:.0f} kPa" in text
    assert f"a target {target[0]:.0f} to {target[1]:.0f} kPa" in text
