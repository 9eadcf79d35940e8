"""Results on stdout: ``expert/output.py``."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from expert.output import print_json, tell
from expert.ui.protocol import Paragraph


def test_json_keeps_its_letters(capsys: pytest.CaptureFixture[str]) -> None:
    assert print_json({"a": "\u00b0"}) == 0
    out = capsys.readouterr().out
    assert "\u00b0" in out
    assert json.loads(out) == {"a": "\u00b0"}


def test_blocks_are_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert tell([Paragraph("One."), Paragraph("Two.")], no_color=True) == 0
    assert capsys.readouterr().out.split() == ["One.", "Two."]


def test_a_reader_that_goes_away_is_no_traceback() -> None:
    line = "from expert.output import tell; from expert.ui.protocol import Paragraph as P; "
    line += "raise SystemExit(tell([P('word ' * 40)] * 5000, True))"
    with subprocess.Popen(
        [sys.executable, "-c", line],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env={**os.environ, "COLUMNS": "40"},
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.readline()
        process.stdout.close()
        assert process.stderr.read() == b""
        assert process.wait() == 1


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
@pytest.mark.parametrize(
    "command",
    [
        ["--version"],
        ["knowledge", "check", "--rules"],
        ["rank", "--setup", "internal-nipple", "--symptom", "lazy"],
    ],
)
def test_a_full_disk_is_one_message(command: list[str]) -> None:
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "expert", *command, *(["--json"] if "rank" in command else [])],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    expected = "gatepost: The output cannot be written: no space left on device.\n"
    assert (done.returncode, done.stderr) == (3, expected)


@pytest.mark.skipif(sys.platform == "win32", reason="needs a POSIX shell")
def test_closed_streams_are_no_traceback() -> None:
    line = 'exec "$0" -m expert knowledge check --rules >&-'
    done = subprocess.run(
        ["/bin/sh", "-c", line, sys.executable], stderr=subprocess.PIPE, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
