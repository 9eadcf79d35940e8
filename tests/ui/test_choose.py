"""Plain where it must be, the shell where it can be."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest

from expert.ui import choose
from expert.ui.plain import PlainTalker
from expert.ui.protocol import Banner, Leave
from expert.ui.shell import ShellTalker

ROOT = Path(__file__).parents[2]


class Terminal(io.TextIOWrapper):
    """A stream that says that it is a terminal."""

    def __init__(self, text: str = "") -> None:
        super().__init__(io.BytesIO(text.encode()), encoding="utf-8")

    def isatty(self) -> bool:
        return True


def on_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """Called in the test, since pytest puts its own streams back after every fixture."""
    monkeypatch.setattr(sys, "stdin", Terminal())
    monkeypatch.setattr(sys, "stdout", Terminal())
    monkeypatch.setenv("TERM", "xterm")


def test_a_terminal_gets_the_shell(monkeypatch: pytest.MonkeyPatch) -> None:
    on_a_terminal(monkeypatch)
    made: list[bool] = []
    monkeypatch.setattr(ShellTalker, "__init__", lambda self, *, color: made.append(color))
    for color, environ in [
        (None, {"TERM": "xterm"}),
        (None, {"TERM": "xterm", "NO_COLOR": "1"}),
        # no-color.org: an empty NO_COLOR says nothing.
        (None, {"TERM": "xterm", "NO_COLOR": ""}),
        (False, {"TERM": "xterm"}),
        (True, {"TERM": "xterm", "NO_COLOR": "1"}),
    ]:
        assert isinstance(choose.talker(False, color, environ), ShellTalker)
    assert made == [True, False, True, False, True]


@pytest.mark.parametrize("term", ["dumb", "unknown"])
def test_a_bare_terminal_gets_plain_lines(term: str, monkeypatch: pytest.MonkeyPatch) -> None:
    on_a_terminal(monkeypatch)
    assert isinstance(choose.talker(False, None, {"TERM": term}), PlainTalker)


@pytest.mark.skipif(os.name != "posix", reason="elsewhere TERM is never set")
def test_a_terminal_without_a_name_gets_plain_lines(monkeypatch: pytest.MonkeyPatch) -> None:
    on_a_terminal(monkeypatch)
    assert isinstance(choose.talker(False, None, {}), PlainTalker)


def test_plain_when_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    on_a_terminal(monkeypatch)
    assert isinstance(choose.talker(True, None, {"TERM": "xterm"}), PlainTalker)


@pytest.mark.parametrize("stream", ["stdin", "stdout"])
def test_pipes_get_plain_lines(stream: str, monkeypatch: pytest.MonkeyPatch) -> None:
    on_a_terminal(monkeypatch)
    monkeypatch.setattr(sys, stream, io.StringIO())
    assert isinstance(choose.talker(False, None, {"TERM": "xterm"}), PlainTalker)


@pytest.mark.parametrize("gone", [None, "closed"])
def test_a_closed_stdin_means_leave(gone: str | None, monkeypatch: pytest.MonkeyPatch) -> None:
    stdin = None
    if gone:
        stdin = io.StringIO()
        stdin.close()
    monkeypatch.setattr(sys, "stdin", stdin)
    with pytest.raises(Leave):
        choose.talker(False, None, {"TERM": "xterm"}).ask("?")


def test_bytes_of_another_encoding_are_replaced(monkeypatch: pytest.MonkeyPatch) -> None:
    stdin = io.TextIOWrapper(io.BytesIO(b"caf\xe9\n"), encoding="utf-8")
    monkeypatch.setattr(sys, "stdin", stdin)
    assert choose.talker(True, None).ask("?") == "caf\N{REPLACEMENT CHARACTER}"


def test_really_closed_streams(tmp_path: Path) -> None:
    path = tmp_path / "a.case.jsonl"
    command = f'exec "{sys.executable}" -m tests.ui.driver "{path}" <&- >&-'
    done = subprocess.run(
        ["/bin/sh", "-c", command], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    assert path.exists()


def test_the_printer_colours_only_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    block = Banner("stop", "Do not drive.")

    def printed(stream: io.TextIOWrapper, color: bool | None, **environ: str) -> bytes:
        monkeypatch.setattr(sys, "stdout", stream)
        choose.printer(color, environ).tell(block)
        buffer = stream.buffer
        assert isinstance(buffer, io.BytesIO)
        return buffer.getvalue()

    pipe = io.TextIOWrapper(io.BytesIO(), encoding="utf-8")
    assert b"\x1b" not in printed(pipe, None, TERM="xterm")
    assert b"\x1b" in printed(Terminal(), None, TERM="xterm")
    assert b"\x1b" not in printed(Terminal(), None, TERM="xterm", NO_COLOR="1")
    assert b"\x1b" not in printed(Terminal(), None, TERM="dumb")
    assert b"\x1b" not in printed(Terminal(), False, TERM="xterm")


def test_the_printer_asks_nothing() -> None:
    voice = choose.printer(False)
    with pytest.raises(Leave):
        voice.ask("?")
