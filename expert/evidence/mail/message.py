"""Bytes of one message to its headers, its decoded text and the names of its attachments.

Everything in a message is hostile until shown otherwise: sizes and numbers of parts are limited,
nothing is written or fetched, and whatever cannot be read is a plain reason.
"""

from __future__ import annotations

import codecs
import re
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from email.message import EmailMessage, Message
from email.parser import BytesParser
from email.policy import EmailPolicy
from email.utils import parsedate_to_datetime
from typing import Final

from expert.evidence.mail.html import text_of_html
from expert.text import clean

LARGEST_MESSAGE: Final = 32 * 1024 * 1024
LARGEST_HEADER: Final = 256 * 1024
# Text beyond this is not read: no customer writes so much.
LARGEST_TEXT: Final = 128 * 1024
MOST_PARTS: Final = 500
MOST_ATTACHMENTS: Final = 100
# As encoded: base64 takes four letters for three bytes.
LARGEST_TABLE: Final = 16 * 1024 * 1024
MOST_TABLES: Final = 4
DEEPEST: Final = 12
_LONGEST_NAME: Final = 120
_LONGEST_ID: Final = 250
_LONGEST_FIELD: Final = 1500
_LONGEST_FIELDS: Final = {"references": 20_000}
_MOST_BOUNDARIES: Final = 4 * MOST_PARTS

_TYPES: Final = re.compile(rb"(?i)content-type:")
_IDS: Final = re.compile(r"<[^<>\s]{1,250}>")
_SAFE_CODECS: Final = re.compile(
    r"utf-(?:8|8-sig|16|16-le|16-be|32)|ascii|iso8859-\d+|cp\d+|koi8-[rut]|gb\w+|big5\w*"
    r"|shift_jis\w*|euc_\w+|iso2022_\w+|mac-\w+|latin\w*|hz"
)
# What stands for itself: there is nothing in it to decode.
_PLAIN_TEXT: Final = re.compile(r"[A-Za-z0-9 ._!?'+-]{0,200}")
_PLAIN_ADDRESS: Final = re.compile(
    r"[A-Za-z0-9]{1,60}(?: [A-Za-z0-9]{1,60}){0,5} "
    r"<[A-Za-z0-9_+-]{1,60}(?:\.[A-Za-z0-9_+-]{1,60}){0,5}@[A-Za-z0-9-]{1,60}(?:\.[A-Za-z0-9-]{1,60}){0,5}>"
)
_HEADER_LINE: Final = re.compile(rb"[!-9;-~]{1,76}:|From ")
# A text may begin with a word and a colon; a message has at least one of these.
_KNOWN_HEADER: Final = re.compile(
    rb"(?im)^(?:from|to|subject|date|message-id|received|mime-version|content-type|return-path"
    rb"|reply-to|delivered-to|in-reply-to|references):"
)


class _Bounded(EmailPolicy):
    """The modern policy, with header fields cut: its parser takes quadratic time on long ones."""

    def header_source_parse(self, sourcelines: list[str]) -> tuple[str, str]:
        """The name and the beginning of a field."""
        name, value = super().header_source_parse(sourcelines)
        return name, value[: _LONGEST_FIELDS.get(name.lower(), _LONGEST_FIELD)]


class BrokenError(Exception):
    """A message that cannot be read; the text says why in a few words."""


_POLICY: Final = _Bounded()


@dataclass(frozen=True, slots=True)
class Attachment:
    """An attachment, by its name alone; ``table`` for what a log reader might want.

    ``data`` are the bytes of a table that is not too large, decoded; nothing for all else.
    """

    name: str
    kind: str
    size: int
    data: bytes = field(default=b"", repr=False)

    @property
    def table(self) -> bool:
        """Is it likely a log: comma-separated values?"""
        return self.kind in {"text/csv", "application/csv"} or self.name.lower().endswith(".csv")


@dataclass(frozen=True, slots=True)
class Mail:
    """A message as read. All texts are clean; ``text`` keeps its line ends.

    ``date`` is in UTC; ids stand with their angle brackets.
    """

    message_id: str
    references: tuple[str, ...]
    sender: str
    reply_to: str
    subject: str
    date: datetime | None
    text: str
    attachments: tuple[Attachment, ...]


def read_message(data: bytes) -> Mail:
    """The message in some bytes: headers and body, or a plain text without any header.

    Raises BrokenError, and nothing else, for what cannot be read.
    """
    if len(data) > LARGEST_MESSAGE:
        raise BrokenError(f"it is over {LARGEST_MESSAGE // 1024 // 1024} MiB")
    if not data.strip():
        raise BrokenError("it is empty")
    head, _, _ = data.partition(
        b"\n\n" if b"\r\n\r\n" not in data[:LARGEST_HEADER] else b"\r\n\r\n"
    )
    known = _HEADER_LINE.match(data) and _KNOWN_HEADER.search(data[:LARGEST_HEADER])
    if not known or known.start() > len(head):
        return _plain(data)
    if len(head) > LARGEST_HEADER:
        raise BrokenError("its header has no end")
    if len(_TYPES.findall(data)) > MOST_PARTS or data.count(b"\n--") > _MOST_BOUNDARIES:
        raise BrokenError(f"it has more than {MOST_PARTS} parts")
    try:
        message = BytesParser(policy=_POLICY).parsebytes(data)
        return _mail(message)
    except BrokenError:
        raise
    except RecursionError:
        raise BrokenError("its parts are nested too deeply") from None
    except Exception as error:
        # The parser of the standard library raises whatever a broken header leads it to.
        raise BrokenError(f"it cannot be taken apart ({type(error).__name__})") from None


def _plain(data: bytes) -> Mail:
    if b"\0" in data[:4096]:
        raise BrokenError("it is no text")
    text = _lines(_decoded(data[:LARGEST_TEXT], "utf-8"))
    return Mail("", (), "", "", "", None, text, ())


def _mail(message: Message) -> Mail:
    texts: list[str] = []
    pages: list[str] = []
    attachments: list[Attachment] = []
    _collect(message, 0, texts, pages, attachments)
    text = "\n".join(texts) if any(one.strip() for one in texts) else "\n".join(pages)
    references = _IDS.findall(_as_sent(message, "References")[-20_000:])
    answered = _IDS.findall(_as_sent(message, "In-Reply-To")[:1000])
    ids = _IDS.findall(_as_sent(message, "Message-ID")[:1000])
    return Mail(
        message_id=clean(ids[0]) if ids else "",
        references=tuple(dict.fromkeys(map(clean, [*references, *answered]))),
        sender=_header(message, "From"),
        reply_to=_header(message, "Reply-To"),
        subject=_header(message, "Subject"),
        date=_date(_as_sent(message, "Date")),
        text=_lines(text[:LARGEST_TEXT]),
        attachments=tuple(attachments[:MOST_ATTACHMENTS]),
    )


def _collect(
    part: Message, depth: int, texts: list[str], pages: list[str], attachments: list[Attachment]
) -> None:
    """Gather the texts, HTML pages and attachments of a part and all parts in it."""
    if depth > DEEPEST:
        raise BrokenError("its parts are nested too deeply")
    kind = part.get_content_type()
    payload = part.get_payload()
    if isinstance(payload, list):
        inside: tuple[list[str], list[str]] = ([], [])
        for one in payload:
            if isinstance(one, Message):
                _collect(one, depth + 1, *inside, attachments)
        if kind == "message/rfc822" and depth:
            inside[0][:] = [f"---- Forwarded message ----\n\n{one}" for one in inside[0]]
            inside[1][:] = [f"---- Forwarded message ----\n\n{one}" for one in inside[1]]
        # A page beside a text says the same; alone it is all there is.
        if inside[0]:
            texts.extend(inside[0])
        elif inside[1]:
            texts.extend(inside[1]) if kind != "multipart/alternative" else pages.extend(inside[1])
        return
    name = _name(part)
    disposition = (part.get_content_disposition() or "").lower()
    if kind in {"text/plain", "text/html"} and disposition != "attachment" and not name:
        text = _decoded(_bytes(part)[: 4 * LARGEST_TEXT], part.get_content_charset() or "utf-8")
        if kind == "text/html":
            pages.append(text_of_html(text))
        else:
            texts.append(text)
    elif len(attachments) < MOST_ATTACHMENTS:
        found = Attachment(name or "(no name)", kind, len(_encoded(part)))
        tables = sum(bool(one.data) for one in attachments)
        if found.table and tables < MOST_TABLES and found.size <= LARGEST_TABLE:
            found = replace(found, data=_bytes(part))
        attachments.append(found)


def _bytes(part: Message) -> bytes:
    payload = part.get_payload(decode=True)
    return payload if isinstance(payload, bytes) else b""


def _encoded(part: Message) -> str:
    payload = part.get_payload()
    return payload if isinstance(payload, str) else ""


def _name(part: Message) -> str:
    """The last piece of an attachment's name: a path in it must lead nowhere."""
    try:
        named = part.get_filename() or ""
    except Exception:
        named = ""
    named = re.split(r"[/\\:]", clean(named[:2000]))[-1].strip(". ")
    return clean(named, _LONGEST_NAME)


def _decoded(data: bytes, charset: str) -> str:
    """Text of bytes; a charset that is unknown or unsafe gives way to the usual ones."""
    for name in (charset, "utf-8"):
        try:
            codec = codecs.lookup(name).name
            if _SAFE_CODECS.fullmatch(codec):
                return data.decode(codec)
        except (LookupError, ValueError, UnicodeError):
            continue
    # What was cut in the middle of a letter is text all the same.
    cut = data.decode("utf-8", "replace")
    if cut.count("\N{REPLACEMENT CHARACTER}") <= 1 + len(cut) // 500:
        return cut
    return data.decode("cp1252", "replace")


def _lines(text: str) -> str:
    """The text with every line made safe to show."""
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    return "\n".join(clean(line).rstrip() for line in text.split("\n")).strip("\n")


def _raw(message: Message, name: str) -> str:
    """A header's text, however broken it is."""
    try:
        return str(message.get(name, "") or "")
    except Exception:
        pass
    # The policy could not parse it: take it as it stands.
    for key, value in message.raw_items() if isinstance(message, EmailMessage) else []:
        if key.lower() == name.lower():
            return str(value)
    return ""


def _as_sent(message: Message, name: str) -> str:
    """A header as it stands, on one line, but not decoded: the parser takes long."""
    if not isinstance(message, EmailMessage):
        return _raw(message, name)
    sent = (str(value) for key, value in message.raw_items() if key.lower() == name.lower())
    return next(sent, "").replace("\r", "").replace("\n", "")


def _header(message: Message, name: str) -> str:
    sent = _as_sent(message, name)
    plain = (_PLAIN_TEXT if name == "Subject" else _PLAIN_ADDRESS).fullmatch(sent)
    return clean((sent if plain else _raw(message, name))[:2000], _LONGEST_ID).strip()


def _date(text: str) -> datetime | None:
    try:
        date = parsedate_to_datetime(text)
    except (TypeError, ValueError, IndexError, OverflowError):
        return None
    try:
        return date.replace(tzinfo=UTC) if date.tzinfo is None else date.astimezone(UTC)
    except (ValueError, OverflowError):
        return None
