"""The queue and a message as blocks: ``expert/ui/show_mail.py``."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from expert.case.events import Answered, Described
from expert.desk.queue import row_of
from expert.evidence.mail.lexicon import Meaning
from expert.evidence.mail.reader import read_one
from expert.evidence.mail.source import Raw
from expert.evidence.mail.understood import Heard, Read
from expert.ui.layout import Look, lines_of
from expert.ui.protocol import Banner, Block, Table
from expert.ui.show_mail import marked, message_blocks, queue_blocks
from tests.desk.mails import desk, knowledge, read, triage
from tests.evidence.mail.understanding import lexicon


def shown(blocks: list[Block]) -> str:
    look = Look(width=120)
    lines = [line for block in blocks for line in lines_of(block, look)]
    return "\n".join("".join(span.text for span in line) for line in lines)


def test_the_queue_is_a_table_with_a_count() -> None:
    rows = [row_of(triage("it overboosts, boost is 30 psi", number=4), knowledge())]
    blocks = queue_blocks(rows)
    (table,) = [block for block in blocks if isinstance(block, Table)]
    assert table.rows[0][:2] == ("4", "stop")
    assert all(len(row) == len(table.headers) for row in table.rows)
    assert "1 message, 1 about a car that must stand still" in shown(blocks)


def test_a_row_says_who_writes_what_it_looks_like_and_what_is_new() -> None:
    found = triage("it overboosts, boost is 30 psi", Subject="help")
    row = replace(row_of(found, knowledge()), new=2)
    (table,) = [block for block in queue_blocks([row]) if isinstance(block, Table)]
    assert table.rows[0][3] == "Robin: help (+2 new)"
    assert table.rows[0][4].startswith("overboost: ")
    assert table.rows[0][4].endswith(" %)")
    vague = row_of(triage("boost is wrong pls help"), knowledge())
    assert "has to be asked" in shown(queue_blocks([vague]))
    assert shown(queue_blocks([])) == "There is no message there."


def test_the_queue_is_a_table_in_a_window_of_80_columns() -> None:
    one = row_of(triage("it overboosts, boost is 30 psi", Subject="a longer subject"), knowledge())
    lines = [line for block in queue_blocks([one] * 3) for line in lines_of(block, Look(width=80))]
    assert len(lines) < 16


def test_understood_words_are_marked_and_explained() -> None:
    text = "it overboosts. does the solenoid click? no codes"
    blocks = message_blocks(triage(text), knowledge())
    page = shown(blocks)
    assert "[overboosts]1" in page
    assert 'stored-codes=none "no codes"' in page
    assert "asked, not said" in page
    assert [block.danger for block in blocks if isinstance(block, Banner)] == ["stop"]


def test_what_the_case_holds_is_shown_as_it_was_corrected() -> None:
    message = read("it overboosts, turbo. no codes")
    events = [
        Described("symptom", "creep"),
        Described("setup", "external-single"),
        Described("spring_kpa", 48.3),
        Answered("stored-codes", (), "mail"),
        Answered("throttle-log", ("full",), "log"),
    ]
    page = shown(message_blocks(desk().triage(message, events, "case"), knowledge()))
    held = page.partition("The case holds")[2].partition("What it amounts to")[0]
    assert "Complaint: creep" in held
    assert "Setup: external-single" in held
    assert "Spring: 48 kPa (7 psi)" in held
    assert "throttle-log=full (shown by a log)" in held
    assert "stored-codes" not in held
    assert "overboost" not in held


def test_a_broken_message_says_why() -> None:
    assert "cannot be read: it is no text" in shown(
        message_blocks(desk().triage(broken()), knowledge())
    )


def test_a_broken_message_is_shown_as_not_judged() -> None:
    (table,) = [
        block
        for block in queue_blocks([row_of(desk().triage(broken()), knowledge())])
        if isinstance(block, Table)
    ]
    assert table.rows[0][1] == "not judged"
    assert "nothing is judged" in shown(message_blocks(desk().triage(broken()), knowledge()))


def broken() -> Read:
    return read_one(1, Raw("x", b"\0\0"), lexicon())


def test_nothing_of_a_message_reaches_a_terminal_as_more_than_text() -> None:
    text = "it overboosts \x1b]0;owned\x07 \u202eevil"
    page = shown(message_blocks(triage(text, Subject="\x1b[2J boost"), knowledge()))
    assert "\x1b" not in page
    assert "\u202e" not in page


spans = st.lists(st.tuples(st.integers(0, 9), st.integers(1, 5)), max_size=5)


@given(st.text("abc ", min_size=15, max_size=15), spans)
def test_marks_only_add_to_the_text(text: str, places: list[tuple[int, int]]) -> None:
    heard = [
        Heard(Meaning("symptom", "lazy"), "said", text[a : a + n], a, a + n) for a, n in places
    ]
    page = marked(text, heard)
    assert "".join(letter for letter in page if letter in "abc ") == text
    assert page.count("[") == page.count("]") == len(places)
    assert read("x").number == 1
