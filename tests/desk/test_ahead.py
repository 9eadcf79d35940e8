"""Messages read some at a time: ``expert/desk/ahead.py``."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from expert.desk import ahead as module
from expert.desk.ahead import MOST_AHEAD, ahead
from expert.evidence.mail.message import Attachment, Mail
from expert.evidence.mail.understood import Read, Understanding


def message(number: int, size: int = 0) -> Read:
    tables = (Attachment("a.csv", "text/csv", size, b"x" * size),)
    mail = Mail("", (), "", "", "", None, "", tables)
    return Read(number, "m", mail, "", Understanding("vague"))


@pytest.mark.parametrize("count", [0, 1, MOST_AHEAD - 1, MOST_AHEAD, 3 * MOST_AHEAD + 1])
def test_the_same_messages_in_the_same_order(count: int) -> None:
    assert [one.number for one in ahead(map(message, range(count)))] == list(range(count))


def test_so_many_are_read_before_the_first_is_given_out() -> None:
    drawn: list[int] = []

    def draws() -> Iterator[Read]:
        for number in range(100):
            drawn.append(number)
            yield message(number)

    next(ahead(draws()))
    assert len(drawn) == MOST_AHEAD


def test_large_attachments_do_not_pile_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_BYTES", 25)
    drawn: list[int] = []

    def draws() -> Iterator[Read]:
        for number in range(10):
            drawn.append(number)
            yield message(number, 10)

    next(ahead(draws()))
    assert len(drawn) == 3


def test_a_broken_message_weighs_nothing() -> None:
    broken = Read(1, "m", None, "it is empty", Understanding("broken"))
    assert list(ahead([broken])) == [broken]
