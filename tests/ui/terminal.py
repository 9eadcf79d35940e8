"""A real pseudo-terminal with a dialogue in it, and an emulator that says what it shows."""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path
from types import TracebackType
from typing import Self

import pexpect
import pyte

ROOT = Path(__file__).parents[2]
# So tall that nothing scrolls out of sight.
ROWS = 400
SECONDS = 15.0

LEFT_OUT = ("NO_COLOR", "COLUMNS", "LINES", "PYTHONWARNINGS")


class Terminal:
    """The driver of these tests on a case file, in a window of ``width`` cells."""

    DRIVER = "tests.ui.driver"

    def __init__(
        self, path: Path, width: int = 80, arguments: tuple[str, ...] = (), **environ: str
    ) -> None:
        kept = {name: text for name, text in os.environ.items() if name not in LEFT_OUT}
        self.child = pexpect.spawn(
            sys.executable,
            ["-m", self.DRIVER, str(path), *arguments],
            cwd=str(ROOT),
            env={**kept, "TERM": "xterm-256color", "LANG": "C.UTF-8", **environ},
            dimensions=(ROWS, width),
            timeout=SECONDS,
        )
        self.child.delaybeforesend = None
        self.raw = b""
        self._screen = pyte.Screen(width, ROWS)
        self._stream = pyte.ByteStream(self._screen)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        value: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.child.close(force=True)

    def lines(self) -> list[str]:
        """The lines on the screen, without blanks at their ends."""
        shown = [line.rstrip() for line in self._screen.display]
        while shown and not shown[-1]:
            shown.pop()
        return shown

    def text(self) -> str:
        return "\n".join(self.lines())

    def wait(self, *texts: str) -> None:
        """Read until all the texts stand on the screen, each below the one before."""
        limit = time.monotonic() + SECONDS
        while not self._shows(texts):
            assert time.monotonic() < limit, f"waited for {texts} in:\n{self.text()}"
            self._read()

    def _shows(self, texts: tuple[str, ...]) -> bool:
        rest = " ".join(self.text().split())
        for text in texts:
            _, found, rest = rest.partition(text)
            if not found:
                return False
        return True

    def _read(self) -> None:
        try:
            piece = self.child.read_nonblocking(65536, timeout=0.5)
        except pexpect.TIMEOUT:
            return
        self.raw += piece
        self._stream.feed(piece)

    def type(self, text: str, *expected: str) -> None:
        """Type a line and read until the texts are on the screen below each other."""
        self.child.send(f"{text}\r")
        self.wait(*expected)

    def press(self, key: str) -> None:
        self.child.sendcontrol(key)

    def code(self) -> int | None:
        """Read to the end and return the exit code."""
        try:
            while True:
                piece = self.child.read_nonblocking(65536, timeout=SECONDS)
                self.raw += piece
                self._stream.feed(piece)
        except pexpect.EOF:
            self.child.close()
        return self.child.exitstatus
