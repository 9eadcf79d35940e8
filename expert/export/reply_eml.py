"""A draft reply as an unsent message that answers another. It is written, never sent."""

from __future__ import annotations

import re
from collections.abc import Sequence
from email.errors import HeaderParseError
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import parseaddr
from typing import Final

from expert.text import clean

_LONGEST_SUBJECT: Final = 180
_LONGEST_CHAIN: Final = 850
_LINE_LIMIT: Final = 990
_ID: Final = re.compile(r"<[!-;=?-~]{1,250}>")
_PLAIN_ID: Final = re.compile(r"<[0-9a-z][0-9a-z.-]{0,80}@[0-9a-z][0-9a-z.-]{0,80}>")


def eml(
    text: str,
    *,
    to: str,
    subject: str,
    own_id: str,
    message_id: str,
    references: Sequence[str],
) -> bytes:
    """The draft as an unsent message that answers another (RFC 5322, section 3.6.4).

    ``own_id`` is of small letters, digits, points and hyphens, or is left out. The draft has no
    sender or date: the program that sends it adds them. Header texts are made safe, so that
    nothing in them can begin another header.
    """
    # Ids must not be folded, since folding would encode long ones.
    message = EmailMessage(policy=SMTP.clone(max_line_length=_LINE_LIMIT))
    address = _address(to)
    if address is not None:
        message["To"] = address
    own = clean(subject, _LONGEST_SUBJECT).strip() or "your message"
    message["Subject"] = own if own.casefold().startswith("re:") else f"Re: {own}"
    if _PLAIN_ID.fullmatch(own_id):
        message["Message-ID"] = own_id
    if _is_id(message_id):
        message["In-Reply-To"] = message_id
        chain = [message_id]
        for one in reversed(references):
            if len(" ".join([*chain, one])) > _LONGEST_CHAIN:
                break
            if _is_id(one) and one not in chain:
                chain.insert(0, one)
        message["References"] = " ".join(chain)
    message["X-Unsent"] = "1"
    message.set_content(text, charset="utf-8", cte="quoted-printable")
    return message.as_bytes()


def _is_id(text: str) -> bool:
    return bool(_ID.fullmatch(text))


def _address(text: str) -> Address | None:
    """The address of a From header, or None for one that is none by the rules."""
    name, address = parseaddr(clean(text, 500))
    user, at, domain = address.rpartition("@")
    if not (at and user and domain and address.isascii()):
        return None
    try:
        return Address(clean(name, 100), user, domain)
    except (ValueError, IndexError, HeaderParseError):
        return None
