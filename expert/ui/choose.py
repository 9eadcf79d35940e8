"""Which window a dialogue runs in."""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Mapping
from typing import TextIO

from expert.ui.plain import PlainTalker
from expert.ui.protocol import Talker


def talker(plain: bool, color: bool | None, environ: Mapping[str, str] = os.environ) -> Talker:
    """The shell on a terminal that can do it, else plain lines.

    ``color`` None means: in the shell unless NO_COLOR is set (no-color.org), and never in plain.
    """
    if plain or not _is_terminal(sys.stdin) or not _is_terminal(sys.stdout) or _dumb(environ):
        stdin = _lenient(sys.stdin) or io.StringIO()
        stdout = _lenient(sys.stdout) or io.StringIO()
        return PlainTalker(stdin, stdout, color=bool(color), echo=not _is_terminal(sys.stdin))
    # Imported here since the line editor takes a while and plain lines do without it.
    from expert.ui.shell import ShellTalker

    return ShellTalker(color=not environ.get("NO_COLOR") if color is None else color)


def printer(color: bool | None, environ: Mapping[str, str] = os.environ) -> PlainTalker:
    """A window for print without questions: bold and colours only on a terminal that wants them."""
    stdout = _lenient(sys.stdout) or io.StringIO()
    if color is None:
        color = _is_terminal(sys.stdout) and not environ.get("NO_COLOR") and not _dumb(environ)
    return PlainTalker(io.StringIO(), stdout, color=color)


def _dumb(environ: Mapping[str, str]) -> bool:
    """Is this a terminal that moves no cursor? Windows alone names none that does."""
    named = environ.get("TERM", "")
    return named in {"dumb", "unknown"} or (not named and os.name == "posix")


def _is_terminal(stream: TextIO | None) -> bool:
    try:
        return stream is not None and stream.isatty()
    except ValueError:
        return False


def _lenient(stream: TextIO | None) -> TextIO | None:
    """The stream, made to replace what its encoding cannot read or write; None stays None."""
    if isinstance(stream, io.TextIOWrapper) and not stream.closed:
        stream.reconfigure(errors="replace")
    return stream
