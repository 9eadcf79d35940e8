"""The options of logs."""

from __future__ import annotations

import shlex
from pathlib import Path

import pytest

from expert.errors import UsageError
from expert.log_options import LOG_EXAMPLES
from expert.options import parse


def test_several_files_and_channels() -> None:
    options = parse(["log", "a.csv", "b.csv", "--setup", "s", "--channel", "boost=A:kPa",
                     "--channel", "rpm=B", "--plot", "p.svg"])  # fmt: skip
    assert options.files == [Path("a.csv"), Path("b.csv")]
    assert options.channel == ["boost=A:kPa", "rpm=B"]
    assert (options.plot, options.lowest, options.json) == (Path("p.svg"), False, False)
    with pytest.raises(UsageError, match="FILE"):
        parse(["log", "--setup", "s"])


@pytest.mark.parametrize("command", ["diagnose", "rank"])
def test_logs_of_other_commands(command: str) -> None:
    options = parse([command, "--log", "a.csv", "--log", "b.csv", "--lowest"])
    assert options.log == [Path("a.csv"), Path("b.csv")]
    assert options.lowest
    assert parse([command]).log == []


def test_examples_are_commands() -> None:
    for line in LOG_EXAMPLES.replace("\\\n", "").splitlines():
        assert parse(shlex.split(line)[1:]).command == "log"
