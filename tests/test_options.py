"""The command line as it is read."""

from __future__ import annotations

from pathlib import Path

import pytest

from expert.errors import UsageError
from expert.options import COMMANDS, parse, parser


def test_without_a_command_the_shell_is_meant() -> None:
    assert parse([]).command == "diagnose"
    options = parse(["--plain", "--symptom", "lazy", "--symptom", "creep"])
    assert (options.command, options.plain) == ("diagnose", True)
    assert options.symptom == ["lazy", "creep"]


def test_later_knowledge_folders_come_later() -> None:
    options = parse(["rank", "--knowledge", "a", "--knowledge", "b"])
    assert options.knowledge == [Path("a"), Path("b")]


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["knowledge", "effort", "--cars", "0"], "found '0'; expected a whole number from 1"),
        (["knowledge", "effort", "--cars", "many"], "found 'many'; expected a whole number"),
        (["knowledge", "effort", "--seed", "-1"], "found '-1'; expected a whole number from 0"),
        (["case"], "required"),
        (["draw", "lazy", "creep"], "unrecognized arguments: creep"),
    ],
)
def test_a_mistake_is_a_usage_error_that_points_at_help(words: list[str], message: str) -> None:
    with pytest.raises(UsageError, match=message) as caught:
        parse(words)
    assert "--help" in str(caught.value)


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["case", "list", "a.case.jsonl"], "gatepost case show FILE"),
        (["knowledge", "check", "--cars", "2"], "unrecognized arguments: --cars 2"),
    ],
)
def test_an_option_that_would_be_passed_over_is_refused(words: list[str], message: str) -> None:
    with pytest.raises(UsageError, match=message):
        parse(words)


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_is_in_the_help_with_its_summary(command: str) -> None:
    summary, examples = COMMANDS[command]
    assert command in parser().format_help()
    assert all(line.strip().startswith(("gatepost", "--")) for line in examples.splitlines())
    assert summary
