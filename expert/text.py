"""Outside text made safe to show: no control or escape sequences, no invisible characters.

Whatever a user, a mail, a log or a file name supplies is text to show and nothing else. After
``clean`` no terminal obeys it and nothing in it is hidden or turned round.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Final

# Escape sequences as ECMA-48 (5th edition) writes them: control sequences (section 5.4) and the
# strings that a String Terminator ends (section 5.6); xterm also ends them with BEL. An
# unfinished one loses its escape character only, so that it cannot hide the text after it.
_ESCAPE_SEQUENCE: Final = re.compile(
    r"(?:\x1b\[|\x9b)[0-?]*[ -/]*[@-~]"
    r"|(?:\x1b[\]PX^_]|[\x9d\x90\x98\x9e\x9f])[^\x07\x1b\x9c]*(?:\x07|\x1b\\|\x9c)"
    r"|\x1b[ -/]+[0-~]"
)

# Characters that are drawn as nothing: the Unicode property Default_Ignorable_Code_Point, which
# holds the zero-width and bidirectional controls, variation selectors, fillers and tags.
INVISIBLE: Final = (
    "\u00ad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b-\u200f\u202a-\u202e"
    "\u2060-\u206f\u3164\ufe00-\ufe0f\ufeff\uffa0\ufff0-\ufff8"
    "\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0000-\U000e0fff"
)
_INVISIBLE: Final = re.compile(f"[{INVISIBLE}]+")
_BREAK: Final = re.compile(r"[\t-\r\x1c-\x1f\x85\u2028\u2029]+")

# Names of columns and fields: a word begins at a capital after a small letter, and after capitals
# where a word in small letters follows.
_CAMEL: Final = re.compile(r"(?<=[a-z])(?=[A-Z])|(?<=[A-Z])(?=[A-Z][a-z]{2})")
_NAME_WORD: Final = re.compile(r"[^\W\d_]+|\d+")
_LETTERS: Final = str.maketrans({"λ": "lambda", "Λ": "lambda", "ø": "o", "ł": "l", "Ł": "l"})
_LONGEST_NAME: Final = 200

ELLIPSIS: Final = "…"
REPLACEMENT: Final = "\ufffd"


def clean(text: str, limit: int | None = None) -> str:
    """``text`` on one line, every character of it printable; cut to ``limit`` if one is given.

    Line breaks and tabs become one space, escape sequences, controls and invisible characters go,
    what Unicode does not assign becomes the replacement character. Never raises.
    """
    if not (text.isascii() and text.isprintable()):
        text = _ESCAPE_SEQUENCE.sub("", text)
        text = _INVISIBLE.sub("", text)
        text = _BREAK.sub(" ", text)
        if not text.isprintable():
            text = "".join(map(_printable, text))
    return text if limit is None else shorten(text, limit)


def shorten(text: str, limit: int) -> str:
    """``text`` in at most ``limit`` characters, ending in an ellipsis when it was cut."""
    if len(text) <= limit:
        return text
    if limit <= 0:
        return ""
    return text[: limit - 1].rstrip() + ELLIPSIS


def name_words(name: str) -> tuple[str, ...]:
    """The words of a name in small letters without accents, and its numbers, in their order.

    ``BoostPressure.1``, ``boost_pressure [1]`` and ``Boost pressure 1`` have the same words.
    """
    parts = unicodedata.normalize("NFKD", _CAMEL.sub(" ", name[:_LONGEST_NAME].translate(_LETTERS)))
    plain = "".join(part for part in parts if not unicodedata.combining(part))
    return tuple(_NAME_WORD.findall(plain.casefold()))


def _printable(character: str) -> str:
    if character.isprintable():
        return character
    if character.isspace():
        return " "
    return "" if ord(character) < 0xA0 else REPLACEMENT
