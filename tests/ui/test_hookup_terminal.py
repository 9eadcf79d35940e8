"""``gatepost hookup --ask`` in a real terminal, by windows of several widths, and in a pipe."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from expert.case.events import Answered
from expert.case.journal import read
from tests.ui.terminal import LEFT_OUT, ROOT, SECONDS, Terminal

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="needs a pseudo-terminal")

NO, COM, NC = (f"three-port.{p}" for p in ("normally-open", "common", "normally-closed"))
NIPPLE, TAP, CAN = "housing-nipple.nipple", "inlet-pipe.tap", "internal-gate.nipple"
PRE, MANIFOLD = "charge-path.pre-throttle-tap", "manifold.tap"
PROMPT = "port>"
# Each port that is asked for, and where its hose goes: source and vent have changed places.
SWAPPED = [(NIPPLE, NC), (NO, TAP), (COM, CAN), (PRE, "cap"), (MANIFOLD, "air")]


class HookupTerminal(Terminal):
    DRIVER = "tests.ui.hookup_driver"


def opened(
    folder: Path, *more: str, width: int = 80, setup: str = "internal-nipple", **environ: str
) -> HookupTerminal:
    data = str(folder / "data")
    arguments = ("hookup", setup, "--ask", *more)
    return HookupTerminal(folder, width, arguments, XDG_DATA_HOME=data, **environ)


def answer_all(terminal: HookupTerminal) -> None:
    terminal.wait(f"hose on {NIPPLE}", PROMPT)
    for (_, end), (port, _) in zip(SWAPPED, [*SWAPPED[1:], ("STOP", "")], strict=True):
        terminal.type(end, port if port == "STOP" else f"hose on {port}")


@pytest.mark.parametrize("width", [40, 80, 140])
def test_an_owner_is_told_to_stop_and_what_to_swap(tmp_path: Path, width: int) -> None:
    with opened(tmp_path, "--case", "car.case.jsonl", width=width) as terminal:
        answer_all(terminal)
        assert terminal.code() == 0
        shown = " ".join(terminal.text().split())
        assert max(len(line) for line in terminal.lines()) <= width
    assert "Do not load the engine like this." in shown
    assert "Swap the two hoses on" in shown
    assert "gatepost: kept" in shown
    events = read(tmp_path / "car.case.jsonl").events
    assert Answered("hose-trace", ("source-vent-crossed",), "hookup") in events


@pytest.mark.parametrize(
    ("environ", "shell", "color"),
    [
        ({}, True, True),
        ({"NO_COLOR": "1"}, True, False),
        ({"TERM": "dumb"}, False, False),
    ],
)
def test_windows(tmp_path: Path, environ: dict[str, str], shell: bool, color: bool) -> None:
    with opened(tmp_path, **environ) as terminal:  # type: ignore[arg-type]
        answer_all(terminal)
        assert terminal.code() == 0
        # Where a cursor can move, the line editor says that it takes pasted text in one piece.
        assert (b"\x1b[?2004h" in terminal.raw) == shell
        # White on red for what is to be stopped for.
        assert (b"\x1b[97;41mSTOP" in terminal.raw) == color


@pytest.mark.parametrize("more", [(), ("--plain",)])
def test_the_input_ends_and_what_was_said_is_not_lost(
    tmp_path: Path, more: tuple[str, ...]
) -> None:
    with opened(tmp_path, "--case", "car.case.jsonl", *more) as terminal:
        terminal.wait(f"hose on {NIPPLE}", PROMPT)
        terminal.type(NC, f"hose on {NO}", PROMPT)
        terminal.press("d")
        assert terminal.code() == 0
        shown = " ".join(terminal.text().split())
    assert f"--hose {NIPPLE}={NC}" in shown
    assert "STOP: Not every port was seen. Until it is, do not load the engine." in shown
    assert "nothing was added to the case" in shown
    assert not (tmp_path / "car.case.jsonl").exists()


def test_an_interrupt_drops_the_line_and_the_next_one_ends(tmp_path: Path) -> None:
    with opened(tmp_path) as terminal:
        terminal.wait(f"hose on {NIPPLE}", PROMPT)
        terminal.type(NC, f"hose on {NO}", PROMPT)
        terminal.child.send("half a li")
        terminal.wait("half a li")
        terminal.press("c")
        terminal.wait("Line dropped. Go on, or press Ctrl-C again to leave.", PROMPT)
        terminal.press("c")
        assert terminal.code() == 130
        shown = " ".join(terminal.text().split())
    assert f"--hose {NIPPLE}={NC}" in shown
    assert "Traceback" not in shown
    assert "STOP" not in shown


def test_an_interrupt_of_plain_lines_ends(tmp_path: Path) -> None:
    with opened(tmp_path, "--plain") as terminal:
        terminal.wait(f"hose on {NIPPLE}", PROMPT)
        terminal.type(NC, f"hose on {NO}", PROMPT)
        terminal.press("c")
        terminal.wait("Line dropped.", PROMPT)
        terminal.press("c")
        assert terminal.code() == 130
        shown = " ".join(terminal.text().split())
    assert f"--hose {NIPPLE}={NC}" in shown
    assert "Traceback" not in shown


def test_wrong_words_are_asked_again(tmp_path: Path) -> None:
    with opened(tmp_path) as terminal:
        terminal.wait(f"hose on {NIPPLE}", PROMPT)
        terminal.type("three-port.comon", "did you mean 'three-port.common'?", PROMPT)
        terminal.type(NIPPLE, "to itself; type the port at its other end", PROMPT)
        terminal.type("", "Type the port at the other end or its number", PROMPT)
        terminal.type("back", "nothing to go back to", PROMPT)
        terminal.press("d")
        assert terminal.code() == 0


def piped(folder: Path, text: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    kept = {name: value for name, value in os.environ.items() if name not in LEFT_OUT}
    return subprocess.run(
        [sys.executable, "-m", "tests.ui.hookup_driver", str(folder), "hookup", *arguments],
        cwd=ROOT,
        env={**kept, "XDG_DATA_HOME": str(folder / "data")},
        input=text,
        capture_output=True,
        text=True,
        timeout=2 * SECONDS,
        check=False,
    )


def test_answers_from_a_pipe(tmp_path: Path) -> None:
    lines = "".join(f"{end}\n" for _, end in SWAPPED)
    done = piped(tmp_path, lines, "internal-nipple", "--ask")
    assert done.returncode == 0
    assert "STOP: Do not load the engine like this." in done.stdout
    assert "\x1b" not in done.stdout
    assert done.stderr == ""


def test_nobody_answers_in_vain(tmp_path: Path) -> None:
    # There is no case yet; a picture of no known kind; a hose that is not there.
    for more, code, message in (
        (["--case", "last"], 3, "there is no case yet"),
        (["--picture", "wall.doc"], 2, "expected a name that ends in"),
        (["--pinched", "inlet-pipe.tpa"], 2, "did you mean 'inlet-pipe.tap'?"),
        (["--json"], 2, "--ask and --json do not go together"),
    ):
        done = piped(tmp_path, "", "internal-nipple", "--ask", *more)
        assert (done.returncode, done.stdout) == (code, "")
        assert message in done.stderr


def test_a_picture_that_cannot_be_written_does_not_lose_the_verdict(tmp_path: Path) -> None:
    (tmp_path / "wall").write_text("a file where a folder would have to be")
    hose = f"{CAN}=air"
    done = piped(tmp_path, "", "internal-nipple", "--hose", hose, "--picture", "wall/x.gv")
    assert done.returncode == 3
    assert "STOP" in done.stdout
    assert "cannot be written" in done.stderr
    assert "Traceback" not in done.stderr
