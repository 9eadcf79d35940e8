"""``gatepost log``, and ``log FILE`` in a dialogue, in real terminals of several widths."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from expert.case.events import Answered, Described
from expert.case.journal import read
from tests.evidence.log.benchlogs import text, written_to
from tests.ui.terminal import Terminal

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="needs a pseudo-terminal")

CAR = ("--setup", "external-single", "--bypass", "manifold", "--spring", "69kPa")
CLOSED = "What this log cannot tell"


class Gatepost(Terminal):
    DRIVER = "tests.ui.hookup_driver"


def opened(folder: Path, *arguments: str, width: int = 80, **environ: str) -> Gatepost:
    return Gatepost(folder, width, arguments, XDG_DATA_HOME=str(folder / "data"), **environ)


@pytest.mark.parametrize("width", [60, 140])
def test_a_log_is_told_and_drawn_within_the_window(tmp_path: Path, width: int) -> None:
    written_to(tmp_path, "seat-ring-missing")
    with opened(tmp_path, "log", "pull.csv", *CAR, width=width) as terminal:
        assert terminal.code() == 0
        lines = terminal.lines()
        shown = " ".join(terminal.text().split())
        raw = terminal.raw
    assert max(map(len, lines)) <= width
    for part in ("Channels", "Full-throttle pulls", "Measured", CLOSED, "Ranking", "Next check"):
        assert part in shown, part
    assert "zero-duty-log=below" in shown
    # The plot: the axis, and boost above it.
    (axis,) = [row for row, line in enumerate(lines) if line.lstrip().startswith("└")][:1]
    plotted = [line for line in lines[:axis] if "│" in line]
    assert len(plotted) >= 8
    assert any("•" in line for line in plotted)
    assert len(lines[axis].strip()) > width / 2
    # A table has columns below each other, or its rows one below the other where it is too wide.
    header = [line for line in lines if line.split()[:3] == ["Channel", "Column", "Unit"]]
    named = next(line for line in lines if "Engine speed" in line)
    if width == 140:
        assert named.index("Engine speed") == header[0].index("Column")
    else:
        assert header == []
        assert named == "    Column: Engine speed"
    assert b"\x1b[" in raw


@pytest.mark.parametrize("environ", [{"NO_COLOR": "1"}, {"TERM": "dumb"}])
def test_no_colour_where_none_is_wanted(tmp_path: Path, environ: dict[str, str]) -> None:
    written_to(tmp_path, "seat-ring-missing")
    arguments = ("log", "pull.csv", *CAR)
    with opened(tmp_path, *arguments, width=60, **environ) as terminal:
        assert terminal.code() == 0
        shown = terminal.text()
        raw = terminal.raw
    assert b"\x1b[3" not in raw
    assert b"\x1b[9" not in raw
    assert "Ranking" in shown


@pytest.mark.parametrize("width", [60, 140])
def test_a_log_is_read_in_the_dialogue(tmp_path: Path, width: int) -> None:
    written_to(tmp_path, "seat-ring-missing")
    case = ("--case", "car.case.jsonl")
    with opened(tmp_path, "diagnose", *CAR, *case, width=width) as terminal:
        terminal.wait("What does it do wrong?", "Your answer:")
        terminal.type("log pul.csv", "pul.csv: there is no such file.", "Your answer:")
        terminal.type("log pull.csv", "is read as soon as it is known", "Target boost:")
        terminal.type("unknown", "Full-throttle pulls", CLOSED, "Your answer:")
        terminal.press("d")
        assert terminal.code() == 0
        assert max(map(len, terminal.lines())) <= width
        assert "Traceback" not in terminal.text()
    events = read(tmp_path / "car.case.jsonl").events
    assert Described("symptom", "lazy") in events
    assert Answered("zero-duty-log", ("below",), "log") in events


def test_an_interrupt_while_a_large_file_is_read_ends_with_one_message(tmp_path: Path) -> None:
    head, _, rest = text().partition("\n")
    lines = [line.partition(",")[2] for line in rest.splitlines()]
    with (tmp_path / "large.csv").open("w", encoding="utf-8") as stream:
        stream.write(f"{head}\n")
        for turn in range(400):
            first = turn * len(lines)
            stream.writelines(
                f"{(first + row) / 20:.2f},{line}\n" for row, line in enumerate(lines)
            )
    with opened(tmp_path, "log", "large.csv", *CAR) as terminal:
        # Reading it takes far longer than until the file is open.
        opened_by(terminal.child.pid, tmp_path / "large.csv")
        terminal.press("c")
        assert terminal.code() == 130
        assert terminal.text().removeprefix("^C") == "gatepost: Interrupted."


def opened_by(process: int, path: Path) -> None:
    """Wait until a process has opened a file, where the system tells."""
    import time

    folder = Path(f"/proc/{process}/fd")
    if not folder.is_dir():
        time.sleep(0.5)
        return
    limit = time.monotonic() + 15.0
    while time.monotonic() < limit:
        for one in folder.iterdir():
            try:
                if one.resolve() == path:
                    return
            except OSError:
                continue
    raise AssertionError(f"{path} was not opened")
