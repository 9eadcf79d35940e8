"""``gatepost knowledge add`` in a real terminal, in a pipe, and when it is killed."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from expert.loading.folder import load_with_cases
from expert.workbench.add import journal
from tests.ui.terminal import LEFT_OUT, ROOT, SECONDS, Terminal
from tests.workbench.add import folders

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="needs a pseudo-terminal")

PROMPT = "Your answer:"
BEGIN = "What do you want to add?"
WRITE = "Shall it be written into"


class AddTerminal(Terminal):
    """A long session: it scrolls, so what is waited for is looked for in all that has come."""

    DRIVER = "tests.ui.add_driver"

    def __init__(self, *given: object, **more: str) -> None:
        super().__init__(*given, **more)  # type: ignore[arg-type]
        self._seen = 0

    def wait_for(self, question: str) -> None:
        """Read until the question and its prompt have come, after the one before."""
        # Escape sequences stand between words that are set apart, and lines end anywhere.
        wanted = question.split()
        limit = time.monotonic() + SECONDS
        while True:
            text = re.sub(rb"\x1b\[[0-9;?]*[a-zA-Z]", b"", self.raw).decode(errors="ignore")
            rest = " ".join(text.split())[self._seen :]
            place = rest.find(" ".join(wanted))
            prompt = rest.find(PROMPT, max(place, 0))
            if place >= 0 and (prompt >= 0 or question.startswith("Line dropped")):
                self._seen += max(prompt, place) + 1
                return
            assert time.monotonic() < limit, f"waited for {question!r} in:\n{self.text()}"
            self._read()


@pytest.fixture
def base(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    return folders.base(tmp_path, monkeypatch)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    return tmp_path / "shop"


def environ(base: Path) -> dict[str, str]:
    data = str(base.parent / "data")
    return {"XDG_DATA_HOME": data, "LOCALAPPDATA": data}


def opened(base: Path, *arguments: str, width: int = 80, **more: str) -> AddTerminal:
    return AddTerminal(base, width, arguments, **environ(base), **more)


def typed(shop: Path, answers: dict[str, tuple[str, ...]]) -> list[tuple[str, str]]:
    """Every line, and the question that comes after it."""
    _, _, setting = folders.opened(shop)
    draft = folders.draft(setting, answers)
    asked = []
    for count in range(1, len(draft.answers) + 1):
        now = folders.standing(
            lambda: folders.script(setting), folders.Draft(draft.answers[:count])
        )
        asked.append(WRITE if now.question is None else now.question.ask)
    lines = [", ".join(answer.value) for answer in draft.answers]
    return list(zip(lines, asked, strict=True))


def test_a_whole_session(base: Path, shop: Path) -> None:
    with opened(base, "--into", str(shop)) as terminal:
        terminal.wait(BEGIN, PROMPT)
        for line, question in typed(shop, folders.CHECK):
            terminal.child.send(f"{line}\r")
            # The screen scrolls; what was asked is looked for in all that came.
            terminal.wait_for(question)
        terminal.type("yes", "Written")
        assert terminal.code() == 0
    loaded = load_with_cases([base, shop])
    assert "ring-look" in loaded.knowledge.checks
    assert "no-ring" in loaded.cases


@pytest.mark.parametrize("place", range(1, len(folders.CHECK) + 1, 9))
@pytest.mark.parametrize("how", ["ctrl-c", "ctrl-d", "kill"])
def test_an_interrupt_and_then_the_rest(base: Path, shop: Path, how: str, place: int) -> None:
    steps = typed(shop, folders.CHECK)
    with opened(base, "--into", str(shop)) as terminal:
        terminal.wait(BEGIN, PROMPT)
        for line, question in steps[:place]:
            terminal.child.send(f"{line}\r")
            terminal.wait_for(question)
        if how == "kill":
            terminal.child.kill(signal.SIGKILL)
            terminal.child.wait()
        else:
            terminal.press(how[-1])
            if how == "ctrl-c":
                terminal.wait_for("Line dropped.")
                terminal.press("c")
            assert terminal.code() == (130 if how == "ctrl-c" else 0)
            assert "gatepost knowledge add --resume" in terminal.text()
    assert not shop.exists()
    (draft,) = journal.drafts(journal.drafts_folder())
    assert len(journal.read(draft).draft.answers) == place
    with opened(base, "--resume") as terminal:
        terminal.wait_for(steps[place - 1][1])
        for line, question in steps[place:]:
            terminal.child.send(f"{line}\r")
            terminal.wait_for(question)
        terminal.type("yes", "Written")
        assert terminal.code() == 0
    assert "no-ring" in load_with_cases([base, shop]).cases
    assert not draft.exists()


@pytest.mark.parametrize("width", [20, 40, 140])
def test_it_fits_windows_of_every_width(base: Path, shop: Path, width: int) -> None:
    with opened(base, "--into", str(shop), "cause", width=width) as terminal:
        terminal.wait("What is wrong, in a few words?", PROMPT)
        terminal.type("A lid", "Which id does the cause get?", PROMPT)
        lines = terminal.lines()
    start = next(k for k, line in enumerate(lines) if line.startswith("Your answer: A lid"))
    assert all(len(line) <= width for line in lines[start:])
    # No word is cut in two by the window's edge.
    words = {word for line in lines[start:] for word in line.split()}
    assert {"Small", "letters,", "digits,", "hyphens;"} <= words


def test_the_tab_key_completes(base: Path, shop: Path) -> None:
    with opened(base, "--into", str(shop)) as terminal:
        terminal.wait(BEGIN, PROMPT)
        terminal.child.send("ca\t")
        terminal.wait("Your answer: cause")
        terminal.type("", "What is wrong, in a few words?", PROMPT)


@pytest.mark.parametrize(
    "more", [{"TERM": "dumb"}, {"NO_COLOR": "1"}], ids=lambda one: next(iter(one))
)
def test_bare_terminals(base: Path, shop: Path, more: dict[str, str]) -> None:
    with opened(base, "--into", str(shop), **more) as terminal:
        terminal.wait(BEGIN, PROMPT)
        terminal.type("cause", "What is wrong", PROMPT)
        if "TERM" in more:
            assert b"\x1b" not in terminal.raw
        # 38 and 48 choose colours, 30 to 37 and 40 to 47 too (ECMA-48, 8.3.117).
        assert b"\x1b[3" not in terminal.raw
        terminal.press("d")
        assert terminal.code() == 0


def test_plain_lines(base: Path, shop: Path) -> None:
    with opened(base, "--into", str(shop), "--plain") as terminal:
        terminal.wait(BEGIN, PROMPT)
        terminal.type("2", "What is asked of the one who does it?", PROMPT)
        assert b"\x1b" not in terminal.raw


def piped(base: Path, text: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    kept = {name: value for name, value in os.environ.items() if name not in LEFT_OUT}
    return subprocess.run(
        [sys.executable, "-m", "tests.ui.add_driver", str(base), *arguments],
        cwd=ROOT,
        env={**kept, **environ(base), "PYTHONIOENCODING": "utf-8"},
        input=text,
        capture_output=True,
        encoding="utf-8",
        check=False,
    )


def test_a_pipe(base: Path, shop: Path) -> None:
    lines = [line for line, _ in typed(shop, folders.CAUSE)]
    done = piped(base, "\n".join([*lines, "yes", ""]), "--into", str(shop))
    assert (done.returncode, done.stderr) == (0, "")
    # What was read is repeated, so that the record can be followed.
    assert "Your answer: Lid blown off: gone\n" in done.stdout
    assert "\x1b" not in done.stdout
    assert "lid-in-boot" in load_with_cases([base, shop]).cases


def test_a_pipe_that_ends_early_leaves_a_draft(base: Path, shop: Path) -> None:
    done = piped(base, "cause\nA lid\n", "--into", str(shop))
    assert (done.returncode, done.stderr) == (0, "")
    assert "Kept as a draft" in done.stdout
    assert not shop.exists()
    assert len(journal.drafts(journal.drafts_folder())) == 1


def test_a_reader_that_goes_away(base: Path, shop: Path) -> None:
    kept = {name: value for name, value in os.environ.items() if name not in LEFT_OUT}
    child = subprocess.Popen(
        [sys.executable, "-m", "tests.ui.add_driver", str(base), "--into", str(shop)],
        cwd=ROOT,
        env={**kept, **environ(base)},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert child.stdin is not None
    assert child.stdout is not None
    assert child.stderr is not None
    child.stdout.close()
    child.stdin.write(b"cause\nA lid\n")
    child.stdin.close()
    assert child.stderr.read() == b""
    child.stderr.close()
    assert child.wait() in (0, 1)
    assert not shop.exists()


def test_one_message_for_a_folder_that_cannot_be(base: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    done = piped(base, "", "--into", str(tmp_path / "file"))
    assert done.returncode == 3
    assert done.stdout == ""
    assert "this is a file; expected a folder" in done.stderr
    (base / "causes" / "bad.yaml").write_text("x: {title: y}\n")
    done = piped(base, "cause\n", "--into", str(tmp_path / "shop"))
    assert done.returncode == 1
    assert done.stdout == ""
    assert "mistakes in the knowledge first" in done.stderr
