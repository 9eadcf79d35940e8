"""The README's session is a real one, and its commands exist."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
TEXT = (ROOT / "README.md").read_text(encoding="utf-8")
PROMPT = "Your answer: "


def block(mark: str) -> str:
    """The fenced block behind a mark."""
    found = re.search(rf"<!-- {mark} -->\n```\w*\n(.*?)```", TEXT, re.DOTALL)
    assert found is not None, mark
    return found.group(1)


def replayed(session: str, folder: Path) -> str:
    """What the command of a session prints when it is given the answers of the session."""
    command, *lines = session.splitlines()
    while command.endswith("\\"):
        command = command[:-1] + lines.pop(0)
    words = shlex.split(command.removeprefix("$ "))
    assert words[0] == "gatepost"
    answers = [line.partition(PROMPT)[2] for line in lines if line.startswith(PROMPT)]
    done = subprocess.run(
        [sys.executable, "-m", "expert", *words[1:]],
        input="\n".join(answers) + "\n",
        cwd=folder,
        env={**os.environ, "COLUMNS": "76", "PYTHONIOENCODING": "utf-8"},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.stderr == ""
    return done.stdout


def test_the_session_is_what_really_happens(tmp_path: Path) -> None:
    session = block("session")
    head = session[: session.index("\n\n")]
    body = session[len(head) :].strip("\n")
    printed = "\n".join(line.rstrip() for line in replayed(session, tmp_path).splitlines())
    assert body in printed.strip("\n"), printed


def test_the_test_command_is_what_ci_runs() -> None:
    command = block("test command").strip()
    assert "\n" not in command
    assert command.endswith("-m pytest")
    done = subprocess.run(
        ["sed", "-n", "/^<!-- test command -->$/,/^```$/ { /^[^`<]/p }", "README.md"],
        cwd=ROOT, capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert done.stdout.strip() == command
    assert "README.md" in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


def test_the_start_command_is_one_line() -> None:
    command = block("start command").strip()
    assert "\n" not in command
    assert command.endswith("bin/gatepost")
