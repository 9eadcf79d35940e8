"""The plain window: lines on stdin and stdout, for pipes, screen readers and bare terminals."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Mapping, Sequence
from typing import Final, TextIO

from expert.text import clean, shorten
from expert.ui.layout import Line, Look, Role, lines_of
from expert.ui.protocol import Block, Cancelled, Interrupted, Leave

# A line is read to one character more than any answer may have; the rest is thrown away unseen.
LONGEST_LINE: Final = 10_000
_ECHO_LENGTH: Final = 200

_BOLD, _RESET = "\x1b[1m", "\x1b[0m"
# Both the letters and the ground are named, so that they stand out on a light and a dark window.
_COLOURS: Final[Mapping[Role, str]] = {
    "strong": _BOLD,
    "DANGER": "\x1b[97;41m",
    "WARNING": "\x1b[30;43m",
    "CAUTION": "\x1b[30;43m",
    "NOTICE": "\x1b[97;44m",
}

_DRAWN: Final = "█▓░→•─"
# Typographic signs of prose, for windows that have only ASCII.
_ASCII: Final = str.maketrans(
    {
        "\N{EN DASH}": "-",
        "\N{EM DASH}": "-",
        "\N{MINUS SIGN}": "-",
        "\N{LEFT SINGLE QUOTATION MARK}": "'",
        "\N{RIGHT SINGLE QUOTATION MARK}": "'",
        "\N{LEFT DOUBLE QUOTATION MARK}": '"',
        "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
        "\N{HORIZONTAL ELLIPSIS}": "...",
        "\N{RIGHTWARDS ARROW}": "->",
        "\N{BULLET}": "-",
        "\N{MULTIPLICATION SIGN}": "x",
        "\N{PLUS-MINUS SIGN}": "+/-",
        "\N{NO-BREAK SPACE}": " ",
        "\N{DEGREE SIGN}": " degrees ",
        "\N{GREEK CAPITAL LETTER OMEGA}": "ohm",
        "\N{OHM SIGN}": "ohm",
    }
)


def window_width() -> int:
    """The width of the window in cells: COLUMNS, the terminal's own, or 80."""
    return shutil.get_terminal_size((80, 24)).columns


def can_draw(stream: TextIO) -> bool:
    """Can the stream's encoding write the signs that bars and bullets are drawn with?"""
    try:
        _DRAWN.encode(stream.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


class PlainTalker:
    """Numbered lines, nothing drawn that a screen reader would have to spell out.

    ``color`` marks words in bold and signal words on a coloured ground; ``echo`` repeats what was
    read, so that the record of a piped session can be followed.
    """

    def __init__(
        self,
        stdin: TextIO,
        stdout: TextIO,
        *,
        color: bool = False,
        echo: bool = False,
        width: Callable[[], int] = window_width,
    ) -> None:
        self._stdin = stdin
        self._stdout = stdout
        self._color = color
        self._echo = echo
        self._width = width
        self._unicode = can_draw(stdout)
        self._cancelled = False
        self._gone = False

    def tell(self, block: Block) -> None:
        """Show one block. Raises Leave when nobody reads any more."""
        look = Look(self._width(), self._unicode, styled=False)
        text = "".join(f"{self._drawn(line)}\n" for line in lines_of(block, look))
        self._write(text)

    def ask(self, prompt: str, completions: Sequence[str] = ()) -> str:
        """Read one line; the words to complete it with are of no use here.

        Raises Leave, Cancelled or Interrupted.
        """
        try:
            self._write(f"{clean(prompt)}: ")
            line = self._read()
        except KeyboardInterrupt:
            self._write("\n")
            again, self._cancelled = self._cancelled, True
            raise (Interrupted if again else Cancelled)() from None
        except (OSError, ValueError):
            raise Leave from None
        self._cancelled = False
        if not line:
            self._write("\n")
            raise Leave
        if self._echo:
            self._write(f"{shorten(clean(line.strip()), _ECHO_LENGTH)}\n")
        return line.rstrip("\r\n")

    def _read(self) -> str:
        """A line with its end, or what there is of a line that is too long; empty at the end."""
        line = self._stdin.readline(LONGEST_LINE + 1)
        rest = line
        while rest and not rest.endswith("\n") and len(rest) > LONGEST_LINE:
            rest = self._stdin.readline(LONGEST_LINE + 1)
        return line

    def _drawn(self, line: Line) -> str:
        if not self._color:
            return "".join(span.text for span in line)
        marked = [(_COLOURS.get(span.role, ""), span.text) for span in line]
        return "".join(f"{mark}{text}{_RESET}" if mark else text for mark, text in marked)

    def _write(self, text: str) -> None:
        if self._gone:
            return
        if not self._unicode:
            text = text.translate(_ASCII)
        encoding = self._stdout.encoding or "ascii"
        try:
            self._stdout.write(text.encode(encoding, "replace").decode(encoding))
            self._stdout.flush()
        except BrokenPipeError:
            self._let_go()
            raise Leave from None
        except ValueError:
            self._gone = True
            raise Leave from None

    def _let_go(self) -> None:
        """Nobody reads: send the rest nowhere, so that Python's last flush does not fail either."""
        self._gone = True
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, self._stdout.fileno())
        os.close(nowhere)
