"""A file as text that gives back the same bytes: its byte order mark and line ends are kept."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from expert.loading.source import to_text

_MARK: Final = "\ufeff"


@dataclass(frozen=True, slots=True)
class RawText:
    """The lines of a file with their ends, and whether a byte order mark stands before them."""

    lines: tuple[str, ...]
    marked: bool = False

    @classmethod
    def of(cls, data: bytes, file: str) -> RawText:
        """The text of some bytes. Raises KnowledgeError for what the loader would refuse."""
        to_text(data, file)
        text = data.decode("utf-8")
        marked = text.startswith(_MARK)
        lines = text.removeprefix(_MARK).split("\n")
        whole = [f"{line}\n" for line in lines[:-1]]
        return cls((*whole, *([lines[-1]] if lines[-1] else [])), marked)

    def data(self) -> bytes:
        """The bytes again."""
        return (_MARK * self.marked + "".join(self.lines)).encode("utf-8")

    def text(self) -> str:
        """The text as the parser reads it: plain line breaks and no mark."""
        return "".join(self.lines).replace("\r\n", "\n")

    def with_lines(self, number: int, added: str) -> RawText:
        """Whole lines (ending in a line break) put in before line ``number``, counted from 0."""
        end = self._end(number)
        before = list(self.lines[:number])
        if before and not before[-1].endswith("\n"):
            before[-1] += end
        new = [f"{line}{end}" for line in added.split("\n")[:-1]]
        return RawText((*before, *new, *self.lines[number:]), self.marked)

    def with_piece(self, number: int, column: int, added: str) -> RawText:
        """Some text put into line ``number`` at ``column``, both counted from 0."""
        line = self.lines[number]
        end = self._end(number + 1)
        changed = line[:column] + added.replace("\n", end) + line[column:]
        pieces = [f"{piece}\n" for piece in changed.split("\n")]
        last = pieces.pop().removesuffix("\n")
        new = (*pieces, *([last] if last else []))
        return RawText((*self.lines[:number], *new, *self.lines[number + 1 :]), self.marked)

    def _end(self, number: int) -> str:
        """The line end of the line before ``number``, or of the first line."""
        near = self.lines[max(0, min(number, len(self.lines)) - 1)] if self.lines else ""
        if not near.endswith("\n") and self.lines:
            near = self.lines[0]
        return "\r\n" if near.endswith("\r\n") else "\n"
