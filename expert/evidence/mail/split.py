"""What the customer writes now, told apart from quoted earlier words and signatures."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final, Literal

Kind = Literal["own", "quoted", "signature", "forwarded-header"]

_QUOTE: Final = re.compile(r"[>|\uff1e]")
# "On 3 May, Robin wrote:", also wrapped over two lines; only short lines are looked at.
_ATTRIBUTION: Final = re.compile(
    r"(?:on|am|le|op|den) .{5,200}(?:wrote|schrieb|escribi|crit)", re.I
)
_ATTRIBUTION_BEGIN: Final = re.compile(r"on .{5,120}\d{2,4}.{0,80}$", re.I)
_ORIGINAL: Final = re.compile(r"[-_*\s]{0,20}(?:original message|reply (?:above|below))", re.I)
_FORWARD: Final = re.compile(
    r"[-_*\s>]{0,40}(?:forwarded message|begin forwarded message|forwarded mail|forwarded by)", re.I
)
_HEADER: Final = re.compile(r"\*?(?:from|sent|to|cc|subject|date|reply-to)\*?\s{0,3}:", re.I)
_FROM: Final = re.compile(r"\*?from\*?\s{0,3}:", re.I)
_RULE: Final = re.compile(r"_{10,}\s*$")
_DELIMITER: Final = re.compile(r"--\s?$|__$|\*{3,}$")
_SENT_FROM: Final = re.compile(
    r"(?:sent from|sent via|get [a-z ]{2,20} for|envoy|gesendet von|sent with)", re.I
)
_GOODBYES: Final = (
    r"(?:(?:kind|best|warm) regards|regards|cheers|many thanks|thanks(?: in advance| a lot| again)?"
    r"|thank you|thx|ta|all the best|best|br|rgds|yours)[\s,.!x-]{0,8}"
)
_CLOSING: Final = re.compile(_GOODBYES + r"[\w ]{0,30}$", re.I)
_BARE_CLOSING: Final = re.compile(_GOODBYES + "$", re.I)
_DISCLAIMER: Final = re.compile(
    r"(?:this (?:e-?mail|message)|disclaimer|confidential).{0,200}"
    r"(?:confidential|intended|privileged|recipient)",
    re.I,
)
_LINE_LOOKED_AT: Final = 300
# Lines from a goodbye to the end, empty ones with it.
_LONGEST_ENDING: Final = 40
_LONGEST_SIGNATURE: Final = 6
_SIGNATURE_LINE: Final = 50


@dataclass(frozen=True, slots=True)
class Part:
    """A stretch of whole lines of a text."""

    kind: Kind
    start: int
    end: int


def parts_of(text: str) -> list[Part]:
    """The parts of a text in their order; together they are the whole of it."""
    lines = text.split("\n")
    kinds = _kinds(lines)
    parts: list[Part] = []
    position = 0
    for line, kind in zip(lines, kinds, strict=True):
        end = min(position + len(line) + 1, len(text))
        if parts and parts[-1].kind == kind:
            parts[-1] = Part(kind, parts[-1].start, end)
        elif end > position or not parts:
            parts.append(Part(kind, position, end))
        position += len(line) + 1
    return parts


def own_text(text: str, parts: list[Part]) -> list[tuple[int, str]]:
    """What was written now: where each stretch begins, and its text."""
    return [(part.start, text[part.start : part.end]) for part in parts if part.kind == "own"]


def _kinds(lines: list[str]) -> list[Kind]:
    found: list[Kind] = []
    state: Kind = "own"
    heads = [line[:_LINE_LOOKED_AT].strip() for line in lines]
    for number, head in enumerate(heads):
        following = heads[number + 1] if number + 1 < len(heads) else ""
        if _FORWARD.match(head):
            state = "forwarded-header"
        elif state == "forwarded-header" and (not head or _HEADER.match(head)):
            # An empty line ends the header only once it has begun.
            begun = found and number and _HEADER.match(heads[number - 1])
            if not head and begun:
                state = "own"
                found.append("forwarded-header")
                continue
        elif state == "forwarded-header":
            state = "own"
        elif state != "quoted" and _ends_own(head, following):
            state = "quoted"
        elif state == "signature" and _QUOTE.match(head):
            state = "own"
        if state == "own" and _QUOTE.match(head):
            found.append("quoted")
            continue
        if state == "own" and _attributes(head, heads, number):
            found.append("quoted")
            continue
        if state == "own" and _signs(head, heads, number):
            state = "signature"
        found.append(state)
    return found


def _ends_own(head: str, following: str) -> bool:
    """Does an earlier message stand below this line, without marks?"""
    if _ORIGINAL.match(head):
        return True
    if _RULE.match(head) and _HEADER.match(following):
        return True
    return bool(_FROM.match(head) and _HEADER.match(following))


def _attributes(head: str, heads: list[str], number: int) -> bool:
    """Is this the line that says who wrote the quoted lines below it?"""
    after = [line for line in heads[number + 1 : number + 4] if line]
    quoted_next = bool(after) and bool(_QUOTE.match(after[0]))
    if _ATTRIBUTION.match(head):
        return True
    if _ATTRIBUTION_BEGIN.match(head) and after and after[0].lower().endswith("wrote:"):
        return True
    return quoted_next and head.endswith(("wrote:", "writes:", "said:"))


def _signs(head: str, heads: list[str], number: int) -> bool:
    """Does a signature begin here?"""
    if _DELIMITER.match(head) and number:
        return True
    if _SENT_FROM.match(head) or _DISCLAIMER.match(head):
        return True
    if len(heads) - number > _LONGEST_ENDING or not _CLOSING.match(head):
        return False
    rest = [line for line in heads[number + 1 :] if line and not _QUOTE.match(line)]
    short = len(rest) <= _LONGEST_SIGNATURE and all(len(line) <= _SIGNATURE_LINE for line in rest)
    if not short or not number:
        return False
    if _BARE_CLOSING.match(head):
        return True
    return not rest and bool(_CLOSING.match(head)) and len(head) <= _SIGNATURE_LINE
