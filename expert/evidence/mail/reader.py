"""Every message of some files, read and understood, one after the other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from expert.evidence.mail.lexicon import Lexicon
from expert.evidence.mail.message import BrokenError, read_message
from expert.evidence.mail.source import Raw, raw_messages
from expert.evidence.mail.understand import understand
from expert.evidence.mail.understood import Read, Understanding


def read_all(paths: Iterable[str], lexicon: Lexicon) -> Iterator[Read]:
    """Read and understand the messages of files and folders; a broken one says why and is passed.

    Raises MissingError for a path that is not there.
    """
    for number, raw in enumerate(raw_messages(paths), start=1):
        yield read_one(number, raw, lexicon)


def read_one(number: int, raw: Raw, lexicon: Lexicon) -> Read:
    """One message, read and understood, or broken."""
    broken = Understanding("broken")
    if raw.problem:
        return Read(number, raw.file, None, raw.problem, broken)
    try:
        mail = read_message(raw.data)
    except BrokenError as error:
        return Read(number, raw.file, None, str(error), broken)
    return Read(number, raw.file, mail, "", understand(mail, lexicon))
