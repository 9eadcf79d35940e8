"""Blocks to lines of text that fit a window. Pure; knows no terminal."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

from expert.text import clean
from expert.ui.plot import key, plot_lines
from expert.ui.protocol import (
    Banner,
    Bar,
    Bars,
    Block,
    Cautions,
    Choices,
    Fact,
    Heading,
    Paragraph,
    Plot,
    Steps,
    Table,
    Verbatim,
)

Role = Literal["plain", "strong", "rule", "DANGER", "WARNING", "CAUTION", "NOTICE"]

# Running text wider than this is hard to follow from line to line; tables and bars may be wider.
TEXT_MEASURE: Final = 88
TABLE_MEASURE: Final = 120
NARROWEST: Final = 12
_NARROWEST_COLUMN: Final = 14
_SHORTEST_BAR: Final = 14
_BAREST_BAR: Final = 8
_LONGEST_BAR: Final = 40
_HARD_SPACE: Final = "\N{NO-BREAK SPACE}"
_BEFORE_UNIT: Final = re.compile(r"(?<=\d) (?=(?:%|kPa|psi|bar|min|h|mm|rpm|V|A)(?!\w))")


class Span(NamedTuple):
    """A piece of a line in one role."""

    text: str
    role: Role


Line = list[Span]


@dataclass(frozen=True, slots=True)
class Look:
    """What the window can show: its width in cells, other than ASCII, and roles by style.

    Where roles are ``styled``, signal words stand on a ground of their own and headings have
    rules; elsewhere words alone must do, and nothing is drawn that a screen reader would spell.
    """

    width: int = 80
    unicode: bool = True
    styled: bool = False


def lines_of(block: Block, look: Look) -> list[Line]:
    """The lines of one block, none wider than the window (a verbatim line excepted)."""
    width = max(look.width, NARROWEST)
    text_width = min(width, TEXT_MEASURE)
    match block:
        case Heading(text):
            return [[], *_heading(_safe(text), text_width, look)]
        case Paragraph(text, strong, apart):
            spans = [Span(_safe(text), "strong" if strong else "plain")]
            return [*([[]] if apart else []), *_flow(spans, text_width)]
        case Fact(label, text):
            spans = [Span(f"{_safe(label)}:", "strong"), Span(f" {_safe(text)}", "plain")]
            return _flow(spans, text_width, "", "  ")
        case Steps(title, items):
            return _steps(title, items, text_width, look)
        case Choices(items):
            return _choices([(_safe(item.id), _safe(item.text)) for item in items], text_width)
        case Bars(title, bars):
            return [*_title(title, text_width), *_bars(bars, min(width, TABLE_MEASURE), look)]
        case Cautions(warned):
            signals = [_signal(item.signal, _safe(item.text), look) for item in warned]
            return [line for spans in signals for line in _flow(spans, text_width, "", "  ")]
        case Banner():
            return _banner(block, text_width, look)
        case Table(title, headers, rows):
            table_width = min(width, TABLE_MEASURE)
            return [*_title(title, text_width), *_table(headers, rows, table_width)]
        case Plot():
            return _plot(block, width, text_width, look)
        case Verbatim(text):
            return [[Span(f"  {_safe(text)}", "strong")]]


def _safe(text: str) -> str:
    """The text with nothing in it that a terminal obeys, its numbers held to their units."""
    cleaned = _HARD_SPACE.join(clean(part) for part in text.split(_HARD_SPACE))
    return _BEFORE_UNIT.sub(_HARD_SPACE, cleaned)


def cells(text: str) -> int:
    """How many cells of a terminal the text takes."""
    if text.isascii():
        return len(text)
    return sum(_cell(character) for character in text)


def _cell(character: str) -> int:
    if unicodedata.combining(character):
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1


# Running text.


class _Filler:
    """Fills lines with words; ``indent`` is what every line after the first begins with."""

    def __init__(self, width: int, first: str, indent: str) -> None:
        self.lines: list[Line] = [[Span(first, "plain")]]
        self._width = width
        self._indent = indent
        self._used = cells(first)
        self._fresh = True

    def add(self, word: Line) -> None:
        """Put a word on the line, or on the next, cutting it only if no line can hold it."""
        if not self._fresh:
            if self._used + 1 + sum(cells(piece.text) for piece in word) > self._width:
                self._next_line()
            else:
                before = self.lines[-1][-1].role
                self._put(Span(" ", before if before == word[0].role else "plain"))
        for piece in word:
            rest = piece.text
            while rest:
                if self._used >= self._width:
                    self._next_line()
                head, rest = _cut(rest, self._width - self._used)
                self._put(Span(head, piece.role))
                if rest:
                    self._next_line()
        self._fresh = False

    def _put(self, span: Span) -> None:
        self.lines[-1].append(span)
        self._used += cells(span.text)

    def _next_line(self) -> None:
        self.lines.append([Span(self._indent, "plain")])
        self._used = cells(self._indent)
        self._fresh = True


def _flow(spans: Iterable[Span], width: int, first: str = "", indent: str = "") -> list[Line]:
    """Wrap spans at their spaces."""
    filler = _Filler(width, first, indent)
    for word in _words(spans):
        filler.add(word)
    return [_merged(line) for line in filler.lines]


def _words(spans: Iterable[Span]) -> list[Line]:
    """The words of the spans, each as the pieces of one or more roles that make it up."""
    words: list[Line] = [[]]
    for text, role in spans:
        for k, part in enumerate(text.split(" ")):
            if k:
                words.append([])
            if part:
                words[-1].append(Span(part.replace(_HARD_SPACE, " "), role))
    return [word for word in words if word]


def _cut(text: str, room: int) -> tuple[str, str]:
    """The beginning of the text that fits ``room`` cells, at least one character, and the rest.

    It is cut behind a hyphen if there is one.
    """
    if cells(text) <= room:
        return text, ""
    used = 0
    for k, character in enumerate(text):
        used += _cell(character)
        if used > room and k:
            hyphen = text.rfind("-", 0, k) + 1
            return text[: hyphen or k], text[hyphen or k :]
    return text, ""


def _merged(line: Line) -> Line:
    """The line without empty spans, and with neighbours of one role joined."""
    merged: Line = []
    for span in line:
        if merged and merged[-1].role == span.role:
            merged[-1] = Span(merged[-1].text + span.text, span.role)
        elif span.text:
            merged.append(span)
    return merged


def _title(text: str, width: int) -> list[Line]:
    return _flow([Span(_safe(text), "strong")], width) if text else []


# Blocks of running text.


def _heading(text: str, width: int, look: Look) -> list[Line]:
    if not look.styled or cells(text) + 8 > width:
        return _flow([Span(text, "strong")], width)
    dash = "\N{BOX DRAWINGS LIGHT HORIZONTAL}" if look.unicode else "-"
    tail = dash * (width - cells(text) - 4)
    return [[Span(f"{dash * 2} ", "rule"), Span(text, "strong"), Span(f" {tail}", "rule")]]


def _steps(title: str, items: Sequence[str], width: int, look: Look) -> list[Line]:
    mark = "\N{BULLET} " if look.unicode else "- "
    lines = _title(title, width)
    for item in items:
        lines += _flow([Span(_safe(item), "plain")], width, f"  {mark}", "    ")
    return lines


def _choices(items: Sequence[tuple[str, str]], width: int) -> list[Line]:
    digits = len(str(len(items)))
    lines = []
    for number, (name, text) in enumerate(items, start=1):
        spans = [Span(name, "strong")]
        if text:
            spans += [Span(":", "plain"), Span(f" {text}", "plain")]
        lines += _flow(spans, width, f" {number:>{digits}}  ", " " * (digits + 3))
    return lines


def _signal(word: Role, text: str, look: Look) -> list[Span]:
    """A signal word and its text; the word never depends on its colours."""
    if look.styled:
        padded = f"{_HARD_SPACE}{word}{_HARD_SPACE}"
        return [Span(padded, word), Span(f" {text}", "plain")]
    return [Span(f"{word}:", word), Span(f" {text}", "plain")]


def _banner(block: Banner, width: int, look: Look) -> list[Line]:
    role: Role = "DANGER" if block.danger == "stop" else "CAUTION"
    word = "STOP" if block.danger == "stop" else "CAUTION"
    if look.styled:
        spans = [Span(f"{_HARD_SPACE}{word}{_HARD_SPACE}", role)]
    else:
        spans = [Span(f"{word}:", role)]
    spans.append(Span(f" {_safe(block.text)}", "strong"))
    return [[], *_flow(spans, width), *_steps("", block.because, width, look)]


# Plots, bars and tables.


def _plot(block: Plot, width: int, text_width: int, look: Look) -> list[Line]:
    drawn = [[Span(line, "plain")] for line in plot_lines(block, width, look.unicode)]
    words = _flow([Span(key(block, look.unicode), "plain")], text_width)
    return [[], *_title(block.title, text_width), *drawn, *words] if drawn else []


def _bars(items: Sequence[Bar], width: int, look: Look) -> list[Line]:
    """One line a bar where the window is wide enough, else the label on a line of its own."""
    numbers = [_numbers(item, look) for item in items]
    number_width = max((cells(text) for text in numbers), default=0)
    label_width = max((cells(_safe(item.label)) for item in items), default=0)
    room = width - label_width - number_width - 6
    lines: list[Line] = []
    for item, text in zip(items, numbers, strict=True):
        label, padded = _safe(item.label), f"{text:>{number_width}}"
        if room >= _SHORTEST_BAR:
            gap = " " * (label_width - cells(label) + 2)
            head = [Span(f"  {label}{gap}{padded}  ", "plain")]
            lines.append([*head, Span(_bar(item, min(room, _LONGEST_BAR), look), "strong")])
        else:
            lines += _flow([Span(label, "plain")], width, "  ", "    ")
            lines += _narrow_bar(item, padded, width, look)
    if any(item.before is not None for item in items):
        kept, gained, lost = _inks(look)
        key = f"{kept}{_HARD_SPACE}stays  {gained}{_HARD_SPACE}gained  {lost}{_HARD_SPACE}lost"
        lines += _flow([Span(key, "plain")], width, "  ", "  ")
    return lines


def _narrow_bar(item: Bar, numbers: str, width: int, look: Look) -> list[Line]:
    """The numbers and the bar under a label: on one line if that leaves a bar to be seen."""
    room = min(width - cells(numbers) - 6, _LONGEST_BAR)
    if room >= _BAREST_BAR:
        bar = Span(_bar(item, room, look), "strong")
        return [[Span(f"    {numbers}  ", "plain"), bar]]
    bar = Span(_bar(item, width - 4, look), "strong")
    return [*_flow([Span(numbers, "plain")], width, "    ", "    "), [Span("    ", "plain"), bar]]


def _inks(look: Look) -> tuple[str, str, str]:
    return ("█", "▓", "░") if look.unicode else ("#", "+", "-")


def _bar(item: Bar, width: int, look: Look) -> str:
    kept, gained, lost = _inks(look)
    now = round(item.now * width)
    before = now if item.before is None else round(item.before * width)
    return kept * min(now, before) + gained * (now - before) + lost * (before - now)


def _numbers(item: Bar, look: Look) -> str:
    if item.before is None:
        return _whole_percent(item.now)
    arrow = "\N{RIGHTWARDS ARROW}" if look.unicode else "->"
    return f"{_whole_percent(item.before)} {arrow} {_whole_percent(item.now)}"


def _whole_percent(share: float) -> str:
    return f"{100.0 * share:3.0f} %"


def _table(headers: Sequence[str], rows: Sequence[Sequence[str]], width: int) -> list[Line]:
    body = [[_safe(cell) for cell in row] for row in rows]
    widths = _column_widths(headers, body, width - 2)
    if widths is None:
        return _stacked(headers, body, width)
    lines = _table_row(headers, widths, "strong")
    for row in body:
        lines += _table_row(row, widths, "plain")
    return lines


def _column_widths(
    headers: Sequence[str], body: Sequence[Sequence[str]], room: int
) -> list[int] | None:
    """Widths of the columns, the widest ones narrowed to fit; None when there is no room."""
    natural = [
        max(cells(text) for text in (header, *(row[k] for row in body)))
        for k, header in enumerate(headers)
    ]
    room -= 2 * (len(headers) - 1)
    least = [min(width, _NARROWEST_COLUMN) for width in natural]
    if sum(least) > room:
        return None
    widths = list(natural)
    while sum(widths) > room:
        widths[widths.index(max(widths))] -= 1
    return widths


def _table_row(texts: Sequence[str], widths: Sequence[int], role: Role) -> list[Line]:
    columns = [_flow([Span(text, role)], width) for text, width in zip(texts, widths, strict=True)]
    lines = []
    for k in range(max(len(column) for column in columns)):
        line: Line = [Span("  ", "plain")]
        for column, width in zip(columns, widths, strict=True):
            spans = column[k] if k < len(column) else []
            used = sum(cells(span.text) for span in spans)
            line += [*spans, Span(" " * (width - used + 2), "plain")]
        lines.append(_stripped(_merged(line)))
    return lines


def _stripped(line: Line) -> Line:
    """The line without blanks at its end."""
    while line and not line[-1].text.strip():
        line = line[:-1]
    if line:
        line = [*line[:-1], Span(line[-1].text.rstrip(), line[-1].role)]
    return line


def _stacked(headers: Sequence[str], body: Sequence[Sequence[str]], width: int) -> list[Line]:
    """A table for a narrow window: every row as its first cell, then a line for each other."""
    lines = []
    for row in body:
        lines += _flow([Span(row[0], "strong")], width, "  ", "    ")
        for header, text in zip(headers[1:], row[1:], strict=True):
            if text:
                lines += _flow([Span(f"{header}: {text}", "plain")], width, "    ", "      ")
    return lines
