"""The shell window: a line editor with completion, styled text, and no screen of its own.

Everything scrolls by like any other output, so that the whole case can be read back.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from prompt_toolkit import PromptSession
from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document
from prompt_toolkit.key_binding import KeyBindings
from prompt_toolkit.keys import Keys
from prompt_toolkit.output import Output
from prompt_toolkit.output.defaults import create_output
from prompt_toolkit.shortcuts import CompleteStyle
from rich.console import Console
from rich.style import Style
from rich.text import Text

from expert.text import clean
from expert.ui.layout import Line, Look, Role, lines_of
from expert.ui.plain import can_draw, window_width
from expert.ui.protocol import Block, Cancelled, Interrupted, Leave

# Both the letters and the ground are named, so that they stand out on a light and a dark window;
# all other text keeps the terminal's own colours.
_COLOURS: Final[Mapping[Role, Style]] = {
    "strong": Style(bold=True),
    "DANGER": Style(color="bright_white", bgcolor="red", bold=True),
    "WARNING": Style(color="black", bgcolor="yellow"),
    "CAUTION": Style(color="black", bgcolor="yellow"),
    "NOTICE": Style(color="bright_white", bgcolor="blue"),
}
_NO_COLOURS: Final[Mapping[Role, Style]] = {
    "strong": Style(bold=True),
    "DANGER": Style(bold=True, reverse=True),
    "WARNING": Style(bold=True, reverse=True),
    "CAUTION": Style(bold=True, reverse=True),
    "NOTICE": Style(bold=True, reverse=True),
}
_PLAIN: Final = Style.null()


class Words(Completer):
    """Completes the last word of the line; several answers stand between commas."""

    def __init__(self) -> None:
        self.words: tuple[str, ...] = ()

    def get_completions(self, document: Document, event: CompleteEvent) -> Iterable[Completion]:
        """The words that begin with what stands before the cursor."""
        begun = document.text_before_cursor.rpartition(",")[2].lstrip().casefold()
        for word in self.words:
            if word.casefold().startswith(begun):
                yield Completion(word, start_position=-len(begun))


class ShellTalker:
    """A terminal with a line editor. ``color`` off keeps bold and reverse, but no colours."""

    def __init__(self, *, color: bool = True) -> None:
        self._styles = _COLOURS if color else _NO_COLOURS
        self._unicode = can_draw(sys.stdout)
        self._console = Console(
            file=sys.stdout,
            force_terminal=True,
            no_color=not color,
            highlight=False,
            markup=False,
            emoji=False,
        )
        self._words = Words()
        self._session: PromptSession[str] = PromptSession(
            completer=self._words,
            complete_while_typing=False,
            complete_style=CompleteStyle.READLINE_LIKE,
            reserve_space_for_menu=0,
            enable_suspend=True,
            key_bindings=_keys(),
            output=_output(),
        )
        self._cancelled = False

    def tell(self, block: Block) -> None:
        """Show one block."""
        lines = lines_of(block, Look(window_width(), self._unicode, styled=True))
        self._console.print(self._styled(lines), soft_wrap=True)

    def ask(self, prompt: str, completions: Sequence[str] = ()) -> str:
        """Read one line, with completion on the tab key. Raises Leave, Cancelled, Interrupted."""
        self._words.words = tuple(clean(word) for word in completions)
        try:
            line = self._session.prompt([("bold", f"{clean(prompt)}: ")])
        except KeyboardInterrupt:
            again, self._cancelled = self._cancelled, True
            raise (Interrupted if again else Cancelled)() from None
        except (EOFError, OSError):
            raise Leave from None
        self._cancelled = False
        return line

    def _styled(self, lines: Sequence[Line]) -> Text:
        text = Text()
        for k, line in enumerate(lines):
            if k:
                text.append("\n")
            for span in line:
                text.append(span.text, self._styles.get(span.role, _PLAIN))
        return text


def _keys() -> KeyBindings:
    """Without a mouse, so that a sequence which only looks like one's report is let pass."""
    keys = KeyBindings()
    keys.add(Keys.Vt100MouseEvent)(lambda event: None)
    return keys


def _output() -> Output:
    """The terminal without requests for the cursor's place, which some terminals never answer."""
    output = create_output()
    if hasattr(output, "enable_cpr"):
        output.enable_cpr = False
    return output
