"""The plain window: lines in, lines out, whatever the streams are."""

from __future__ import annotations

import io
import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from expert.ui.plain import LONGEST_LINE, PlainTalker, can_draw, window_width
from expert.ui.protocol import (
    Banner,
    Cancelled,
    Cautions,
    Choice,
    Choices,
    Heading,
    Interrupted,
    Leave,
    Paragraph,
    Warned,
)
from tests.ui.test_protocol import EXAMPLES

ROOT = Path(__file__).parents[2]


def window(
    typed: str = "", encoding: str = "utf-8", **options: bool
) -> tuple[PlainTalker, io.BytesIO]:
    written = io.BytesIO()
    stdout = io.TextIOWrapper(written, encoding=encoding, newline="")
    return PlainTalker(io.StringIO(typed), stdout, width=lambda: 40, **options), written


def test_numbered_choices_and_a_prompt() -> None:
    talker, written = window("2\n")
    talker.tell(Choices((Choice("dark", "No light"), Choice("ring", "A ring"))))
    assert talker.ask("Your answer") == "2"
    assert written.getvalue().decode() == " 1  dark: No light\n 2  ring: A ring\nYour answer: "


def test_what_was_read_from_a_pipe_can_be_repeated() -> None:
    talker, written = window("\x1b[2Jdark\n", echo=True)
    assert talker.ask("Your answer") == "\x1b[2Jdark"
    assert written.getvalue().decode() == "Your answer: dark\n"


def test_the_end_of_the_input_means_leave() -> None:
    talker, _ = window("last line without an end")
    assert talker.ask("?") == "last line without an end"
    with pytest.raises(Leave):
        talker.ask("?")


def test_a_closed_input_means_leave() -> None:
    stdin = io.StringIO("never read\n")
    stdin.close()
    talker = PlainTalker(stdin, io.TextIOWrapper(io.BytesIO(), encoding="utf-8"))
    with pytest.raises(Leave):
        talker.ask("?")


def test_a_closed_output_means_leave_once_and_silence_after() -> None:
    stdout = io.StringIO()
    stdout.close()
    talker = PlainTalker(io.StringIO(), stdout)
    with pytest.raises(Leave):
        talker.tell(Paragraph("text"))
    talker.tell(Paragraph("text"))


def test_an_endless_line_is_read_to_a_limit_and_the_rest_thrown_away() -> None:
    talker, _ = window("x" * 100_000 + "\nnext\n")
    assert len(talker.ask("?")) == LONGEST_LINE + 1
    assert talker.ask("?") == "next"


class Interrupting(io.StringIO):
    """A stdin at which Ctrl-C is pressed before every line marked with ^C."""

    def readline(self, size: int | None = -1, /) -> str:
        line = super().readline(size)
        if line == "^C\n":
            raise KeyboardInterrupt
        return line


def test_ctrl_c_drops_a_line_and_twice_in_a_row_interrupts() -> None:
    stdin = Interrupting("^C\ndark\n^C\n^C\n")
    talker = PlainTalker(stdin, io.TextIOWrapper(io.BytesIO(), encoding="utf-8"))
    with pytest.raises(Cancelled):
        talker.ask("?")
    assert talker.ask("?") == "dark"
    with pytest.raises(Cancelled):
        talker.ask("?")
    with pytest.raises(Interrupted):
        talker.ask("?")


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp437", "utf-8"])
def test_any_encoding_can_show_every_block(encoding: str) -> None:
    talker, written = window(encoding=encoding)
    for block in EXAMPLES:
        talker.tell(block)
    talker.tell(Paragraph("3 \N{GREEK CAPITAL LETTER OMEGA} \N{EN DASH} 5 \N{DEGREE SIGN}, \u6f22"))
    assert "Ring left out" in written.getvalue().decode(encoding)


def test_signs_of_prose_become_ascii_where_nothing_else_is_there() -> None:
    talker, written = window(encoding="ascii")
    talker.tell(Paragraph("1 \N{EN DASH} 2\N{NO-BREAK SPACE}kPa \N{RIGHTWARDS ARROW} \u6f22"))
    assert written.getvalue() == b"1 - 2 kPa -> ?\n"


def test_no_colours_unless_asked() -> None:
    talker, written = window()
    for block in EXAMPLES:
        talker.tell(block)
    assert b"\x1b" not in written.getvalue()


def test_colours_name_letters_and_ground_and_end_with_the_word() -> None:
    talker, written = window(color=True)
    talker.tell(Cautions((Warned("DANGER", "It falls."),)))
    talker.tell(Banner("caution", "Gently."))
    talker.tell(Heading("Heading"))
    text = written.getvalue().decode()
    assert "\x1b[97;41mDANGER:\x1b[0m It falls." in text
    assert "\x1b[30;43mCAUTION:\x1b[0m" in text
    # ECMA-48 select graphic rendition: 2 is faint, which is unreadable on many windows.
    used = {code for group in re.findall(r"\x1b\[([\d;]*)m", text) for code in group.split(";")}
    assert used <= {"0", "1", "97", "41", "30", "43", "44"}


def test_can_draw() -> None:
    def stream(encoding: str) -> io.TextIOWrapper:
        return io.TextIOWrapper(io.BytesIO(), encoding=encoding)

    assert can_draw(stream("utf-8"))
    assert not can_draw(stream("ascii"))
    assert not can_draw(stream("latin-1"))


def test_the_width_can_be_set_from_outside(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "20")
    assert window_width() == 20


def driver(*arguments: str) -> list[str]:
    return [sys.executable, "-m", "tests.ui.driver", *arguments]


def test_a_piped_case_is_kept(tmp_path: Path) -> None:
    path = tmp_path / "a.case.jsonl"
    typed = "outer\nnone\nlazy\nno\n12 psi\nunknown\nnone\n"
    done = subprocess.run(
        driver(str(path)), cwd=ROOT, input=typed, capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert "Your answer: lazy" in done.stdout
    assert f"gatepost diagnose --case {path}" in done.stdout
    assert path.read_text().count("\n") == 8


def test_a_reader_that_goes_away_ends_it_quietly(tmp_path: Path) -> None:
    path = tmp_path / "a.case.jsonl"
    process = subprocess.Popen(
        driver(str(path)),
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert process.stdin and process.stdout and process.stderr
    process.stdout.readline()
    process.stdout.close()
    process.stdin.write(b"how\n" * 400)
    process.stdin.close()
    assert process.stderr.read() == b""
    process.stderr.close()
    assert process.wait(10) == 0


@pytest.mark.skipif(os.name == "nt", reason="signals of POSIX")
def test_ctrl_c_twice_saves_and_exits_130(tmp_path: Path) -> None:
    path = tmp_path / "a.case.jsonl"
    process = subprocess.Popen(
        driver(str(path)),
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        bufsize=0,
    )
    assert process.stdin and process.stdout
    stdout = process.stdout
    seen = b""

    def wait_for(text: bytes) -> None:
        nonlocal seen
        while text not in seen:
            piece = stdout.read(4096)
            assert piece, f"the output ended before {text!r}: {seen!r}"
            seen += piece
        seen = seen.partition(text)[2]

    wait_for(b"Your answer: ")
    process.stdin.write(b"outer\n")
    wait_for(b"Your answer: ")
    process.send_signal(signal.SIGINT)
    wait_for(b"Ctrl-C again")
    process.send_signal(signal.SIGINT)
    wait_for(b"gatepost diagnose --case")
    assert process.wait(10) == 130
    process.stdin.close()
    process.stdout.close()
    assert '"outer"' in path.read_text()
