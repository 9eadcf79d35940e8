"""The shell window in a real terminal."""

from __future__ import annotations

import os
import re
import signal
import sys
from pathlib import Path

import pytest
from prompt_toolkit.completion import CompleteEvent
from prompt_toolkit.document import Document

from expert.case.events import Answered, Described
from expert.case.journal import read
from expert.case.state import fold
from expert.ui.layout import Look, lines_of
from expert.ui.protocol import Choice, Choices, Heading
from expert.ui.shell import Words
from tests import small
from tests.ui.terminal import Terminal

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="needs a pseudo-terminal")

SETUP = "How is the boost control plumbed?"
BYPASS = "Which bypass valve does it have"
COMPLAINT = "What does it do wrong?"
FLAGS = "What have you noticed?"
PROMPT = "Your answer:"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "a.case.jsonl"


def to_the_first_check(terminal: Terminal) -> None:
    terminal.wait(SETUP, PROMPT)
    for line, expected in [
        ("outer", BYPASS),
        ("none", COMPLAINT),
        ("lazy", "anything else wrong?"),
        ("no", "gate's spring let it open?"),
        ("12 psi", "What boost should the car make?"),
        ("unknown", FLAGS),
    ]:
        terminal.type(line, SETUP, expected, ":")


def laid_out(block: Choices | Heading, width: int) -> list[str]:
    lines = lines_of(block, Look(width, unicode=True, styled=True))
    return ["".join(span.text for span in line).rstrip() for line in lines if line]


@pytest.mark.parametrize("width", [20, 60, 80, 140])
def test_it_fits_windows_of_every_width(path: Path, width: int) -> None:
    with Terminal(path, width) as terminal:
        to_the_first_check(terminal)
        terminal.wait(FLAGS, PROMPT)
        lines = terminal.lines()
    answers = small.knowledge().checks["red-flags"].answers
    choices = Choices(tuple(Choice(name, text) for name, text in answers.items()))
    for block in (choices, Heading("Next check: red-flags")):
        expected = laid_out(block, width)
        places = [k for k, line in enumerate(lines) if line == expected[0]]
        assert any(lines[k : k + len(expected)] == expected for k in places), "\n".join(lines)
    assert lines[-1] == PROMPT


def test_answers_by_number_word_and_beginning(path: Path) -> None:
    with Terminal(path) as terminal:
        terminal.wait(SETUP, PROMPT)
        terminal.type("1", BYPASS, PROMPT)
        terminal.type("none", COMPLAINT, PROMPT)
        terminal.type("la", "Does it do anything else wrong?", ":")
    assert fold(read(path).events).symptoms == ("lazy",)


def test_the_tab_key_completes_a_word(path: Path) -> None:
    with Terminal(path) as terminal:
        terminal.wait(SETUP, PROMPT)
        terminal.child.send("ou\t")
        terminal.wait("Your answer: outer")
        terminal.type("", BYPASS, PROMPT)
    assert fold(read(path).events).setup == "outer"


def test_words_complete_behind_a_comma() -> None:
    words = Words()
    words.words = ("knock", "knurl", "none")

    def offered(text: str) -> list[tuple[str, int]]:
        found = words.get_completions(Document(text), CompleteEvent())
        return [(item.text, item.start_position) for item in found]

    assert offered("kn") == [("knock", -2), ("knurl", -2)]
    assert offered("knock, NO") == [("none", -2)]
    assert offered("x") == []
    assert len(offered("")) == 3


def test_one_ctrl_c_drops_the_line_only(path: Path) -> None:
    with Terminal(path) as terminal:
        terminal.wait(SETUP, PROMPT)
        terminal.child.send("inner")
        terminal.wait("Your answer: inner")
        terminal.press("c")
        terminal.wait("Line dropped.", PROMPT)
        terminal.type("outer", BYPASS, PROMPT)
        terminal.press("c")
        terminal.wait(BYPASS, "Line dropped.", PROMPT)
        terminal.type("none", COMPLAINT, PROMPT)
    assert fold(read(path).events).setup == "outer"


def test_ctrl_c_twice_saves_and_exits_130(path: Path) -> None:
    with Terminal(path) as terminal:
        terminal.wait(SETUP, PROMPT)
        terminal.type("outer", BYPASS, PROMPT)
        terminal.press("c")
        terminal.wait("Line dropped.", PROMPT)
        terminal.press("c")
        assert terminal.code() == 130
        assert "gatepost diagnose --case" in terminal.text()
    assert fold(read(path).events).setup == "outer"


def test_ctrl_d_saves_and_leaves(path: Path) -> None:
    with Terminal(path) as terminal:
        terminal.wait(SETUP, PROMPT)
        terminal.type("outer", BYPASS, PROMPT)
        terminal.press("d")
        assert terminal.code() == 0
        assert "gatepost diagnose --case" in terminal.text()
    assert fold(read(path).events).setup == "outer"


def test_killed_at_any_moment_it_goes_on_with_the_next_question(path: Path) -> None:
    script = [("outer", BYPASS), ("none", COMPLAINT), ("lazy", "anything else wrong?")]
    for count, (line, expected) in enumerate(script, start=1):
        with Terminal(path) as terminal:
            terminal.wait(SETUP if count == 1 else script[count - 2][1], ":")
            terminal.type(line, "Noted.", expected)
            os.kill(terminal.child.pid, signal.SIGKILL)
            terminal.child.wait()
    with Terminal(path) as terminal:
        terminal.wait("Welcome back", "Known so far", "Won't build boost", "anything else wrong?")
    said = [event for event in read(path).events if isinstance(event, Described)]
    assert [event.value for event in said] == ["outer", "none", "lazy"]


def test_back_takes_the_last_answer_back(path: Path) -> None:
    with Terminal(path) as terminal:
        to_the_first_check(terminal)
        terminal.type("knock", "Next check: red-flags", "STOP", PROMPT)
        terminal.type("back", "STOP", "Taken back.", FLAGS, PROMPT)
        terminal.type("none", "Taken back.", "Noted. red-flags: Nothing.", PROMPT)
    assert fold(read(path).events).answers("red-flags") == ("none",)
    assert Answered("red-flags", ("knock",)) in read(path).events


def colours(raw: bytes) -> set[int]:
    """The parameters of every "select graphic rendition" sequence (ECMA-48, 8.3.117)."""
    found = re.findall(rb"\x1b\[([\d;]*)m", raw)
    return {int(code) for group in found for code in group.split(b";") if code}


def test_colours_are_the_terminals_own_and_never_faint(path: Path) -> None:
    with Terminal(path) as terminal:
        to_the_first_check(terminal)
        terminal.type("knock", "STOP", PROMPT)
        used = colours(terminal.raw)
    assert 41 in used
    # 2 is faint, 33 and 37 yellow and white letters, 38 and 48 colours outside the palette.
    assert not used & {2, 33, 37, 38, 48, 90, 93}


def test_no_color_leaves_no_colour(path: Path) -> None:
    with Terminal(path, NO_COLOR="1") as terminal:
        to_the_first_check(terminal)
        terminal.type("knock", "STOP", PROMPT)
        used = colours(terminal.raw)
    assert used <= {0, 1, 7, 22, 27, 39, 49}
    assert 7 in used


def test_it_is_linear_and_asks_the_terminal_nothing(path: Path) -> None:
    with Terminal(path) as terminal:
        to_the_first_check(terminal)
        # The private modes of xterm for an alternate screen and for the mouse, and the request
        # for the cursor's place (ECMA-48, 8.3.35), which some terminals never answer.
        for mode in (b"?47h", b"?1047h", b"?1049h", b"?1000h", b"?1003h", b"[6n"):
            assert mode not in terminal.raw


def test_a_dumb_terminal_gets_plain_lines(path: Path) -> None:
    with Terminal(path, TERM="dumb") as terminal:
        to_the_first_check(terminal)
        assert b"\x1b" not in terminal.raw
        terminal.press("c")
        terminal.wait("Line dropped.", PROMPT)
        terminal.press("c")
        assert terminal.code() == 130


def test_bad_lines_get_one_message_each(path: Path) -> None:
    with Terminal(path) as terminal:
        terminal.wait(SETUP, PROMPT)
        terminal.type("", "Nothing was typed.", PROMPT)
        terminal.type("x" * 1_000, "Nothing was typed.", "longer than any answer", PROMPT)
        # What is pasted (xterm's bracketed paste) arrives as it is.
        terminal.child.send("\x1b[200~ring\x07\x1b[201~\r")
        terminal.wait("longer than any answer", "control characters", PROMPT)
        terminal.type("outer", "control characters", BYPASS, PROMPT)
    assert fold(read(path).events).setup == "outer"


def test_sequences_that_no_key_sends_do_no_harm(path: Path) -> None:
    # A colour, a mouse report of no mouse, a cursor report, a title, a key that is not there.
    sequences = "\x1b[31m\x1b[<0;1;1M\x1b[3;4R\x1b]0;title\x07\x1b[99~\x1bOz\x1b[200"
    with Terminal(path) as terminal:
        terminal.wait(SETUP, PROMPT)
        terminal.child.send(sequences)
        terminal.press("u")
        terminal.press("c")
        terminal.wait("Line dropped.", PROMPT)
        terminal.type("outer", BYPASS, PROMPT)
        assert "exception" not in terminal.text().casefold()


def test_pasted_lines_are_one_answer(path: Path) -> None:
    with Terminal(path) as terminal:
        terminal.wait(SETUP, PROMPT)
        terminal.child.send("\x1b[200~outer\nnone\nlazy\n\x1b[201~")
        terminal.type("", '"outer none lazy" is no answer here.', PROMPT)
    assert fold(read(path).events).setup is None
