"""Entries as YAML text in the style of the shipped files. Pure.

What is composed is plain data: a text, a list as a tuple, or a mapping. Texts that would mean
something else to YAML are quoted, long ones folded after ``>-``, short lists and mappings of words
stand on one line.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Final, TypeAlias

from expert.text import clean

WIDTH: Final = 100
STEP: Final = 2
# What stands in lines of its own however short it is, so that a later line is a small change.
_BLOCK: Final = frozenset({"answers", "expect", "given", "how"})

Plain: TypeAlias = "str | tuple[Plain, ...] | Mapping[str, Plain]"

# Texts that no YAML version takes for anything but text: they begin with a letter, a digit or a
# point, and hold no colon, number sign or bracket where one could mean something.
_SAFE_START: Final = re.compile(r"[^\W_]|\.(?=\d)")
_UNSAFE: Final = re.compile(r": |:$| #|[\[\]{},]|^(?:---|\.\.\.)")
_UNSAFE_IN_PROSE: Final = re.compile(r": |:$| #|^(?:---|\.\.\.)")
_WORD: Final = re.compile(r"(?:[a-z][a-z-]*:)?\.?[a-z0-9][a-z0-9.-]*")


def tidy(text: str) -> str:
    """The text as a file may hold it: on one line, without invisible and control characters."""
    return " ".join(clean(text).split())


def entry_text(name: str, entry: Mapping[str, Plain], indent: int = 0) -> str:
    """An entry under its id, as whole lines; ``indent`` is that of the id."""
    return "".join(f"{line}\n" for line in _pair(name, entry, indent))


def row_text(row: Mapping[str, str]) -> str:
    """A short mapping on one line, such as a row of ``given``."""
    return "{" + ", ".join(f"{_key(name)}: {scalar(value)}" for name, value in row.items()) + "}"


def scalar(text: str, in_flow: bool = True) -> str:
    """A text on one line: as it is where YAML reads it back the same, else in single quotes."""
    unsafe = _UNSAFE if in_flow else _UNSAFE_IN_PROSE
    if text and _SAFE_START.match(text) and not unsafe.search(text) and text == text.strip():
        return text
    return "'" + text.replace("'", "''") + "'"


def folded(text: str, indent: int) -> list[str]:
    """The lines that stand under ``>-``, none wider than the page unless a word is."""
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        longer = f"{line} {word}" if line else word
        if line and indent + len(longer) > WIDTH:
            lines.append(line)
            longer = word
        line = longer
    return [f"{' ' * indent}{one}" for one in [*lines, line]]


def _pair(name: str, value: Plain, indent: int) -> list[str]:
    head = f"{' ' * indent}{_key(name)}:"
    if isinstance(value, str):
        return _text(head, value, indent)
    short = None if name in _BLOCK else _on_one_line(value)
    if short is not None and len(head) + 1 + len(short) <= WIDTH:
        return [f"{head} {short}"]
    lines = [head]
    if isinstance(value, Mapping):
        for key, inner in value.items():
            lines += _pair(key, inner, indent + STEP)
    else:
        for item in value:
            lines += _item(item, indent + STEP)
    return lines


def _text(head: str, text: str, indent: int) -> list[str]:
    line = f"{head} {scalar(text, in_flow=False)}"
    if len(line) <= WIDTH or " " not in text:
        return [line]
    return [f"{head} >-", *folded(text, indent + STEP)]


def _item(item: Plain, indent: int) -> list[str]:
    if not isinstance(item, str):
        raise TypeError("a list of an entry holds texts")
    return _text(f"{' ' * indent}-", item, indent)


def _on_one_line(value: Sequence[Plain] | Mapping[str, Plain]) -> str | None:
    """The value in brackets, where all of it are short words; None where it is not."""
    if isinstance(value, Mapping):
        if not value:
            return "{}"
        words = {key: inner for key, inner in value.items() if isinstance(inner, str)}
        short = len(words) == len(value) and all(map(_is_word, words.values()))
        return row_text(words) if short else None
    if not all(_is_word(item) for item in value):
        return None
    return "[" + ", ".join(item for item in value if isinstance(item, str)) + "]"


def _is_word(value: Plain) -> bool:
    return isinstance(value, str) and _WORD.fullmatch(value) is not None


def _key(name: str) -> str:
    return name if _WORD.fullmatch(name) else scalar(name)
