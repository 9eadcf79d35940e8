"""Messages read some at a time.

Reading and judging use other parts of the program and of memory. A processor that does a little of
each in turn has to fetch both again and again; many of one and then many of the other go quicker.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from expert.evidence.mail.understood import Read

MOST_AHEAD: Final = 32
# Attachments weigh most; so many bytes of them are held at once.
MOST_BYTES: Final = 8 * 1024 * 1024


def ahead(messages: Iterable[Read]) -> Iterator[Read]:
    """The same messages in the same order, read some at a time."""
    waiting: list[Read] = []
    size = 0
    for message in messages:
        waiting.append(message)
        size += sum(len(one.data) for one in message.mail.attachments) if message.mail else 0
        if len(waiting) >= MOST_AHEAD or size >= MOST_BYTES:
            yield from waiting
            waiting, size = [], 0
    yield from waiting
