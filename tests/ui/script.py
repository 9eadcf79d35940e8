"""A scripted window and a small plumbed car for the tests of the dialogue."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path

from expert.case.consult import Consultant
from expert.case.events import Event
from expert.case.journal import Journal, read
from expert.model import Hose, Knowledge, Part, Plumbing
from expert.ui.layout import Look, lines_of
from expert.ui.protocol import Block, Leave
from expert.ui.talk import run
from tests import small

Line = str | type[Exception]


def plumbed() -> Knowledge:
    """The small knowledge, with hoses on the outer gate and on the bypass valve."""
    base = small.knowledge()
    basis = small.BASIS
    parts = {
        **base.parts,
        "turbo": Part(
            title="turbo", what="It.", ports={"nipple": "Spout on the housing."}, basis=basis
        ),
        "inlet": Part(title="inlet pipe", what="It.", ports={"tap": "Spout."}, basis=basis),
    }
    outer = Plumbing(
        title="Outer gate",
        what="One hose from the housing below the diaphragm.",
        parts=("turbo", "external-gate"),
        hoses={
            "source-hose": Hose(
                from_="turbo.nipple", to="external-gate.lower", why="It opens the gate."
            ),
            "vent-hose": Hose(from_="inlet.tap", to="external-gate.upper", why="Not on this car."),
        },
        open=("external-gate.upper",),
        capped=("inlet.tap",),
        basis=basis,
    )
    soft = replace(
        base.bypasses["soft"],
        hoses={"bypass-hose": Hose(from_="turbo.nipple", to="soft-bypass.signal", why="Shuts it.")},
    )
    return replace(
        base,
        parts=parts,
        setups={**base.setups, "outer": outer},
        bypasses={"soft": soft},
    )


class Script:
    """Types prepared lines, raises prepared exceptions, and keeps what was said.

    When the lines are used up it leaves. ``on_disk`` holds, for every question, the events that
    were in the journal file when it was asked.
    """

    def __init__(self, lines: Iterable[Line], path: Path | None = None) -> None:
        self._lines = iter(lines)
        self._path = path
        self.blocks: list[Block] = []
        self.prompts: list[str] = []
        self.completions: list[tuple[str, ...]] = []
        self.on_disk: list[tuple[Event, ...]] = []

    def tell(self, block: Block) -> None:
        self.blocks.append(block)

    def ask(self, prompt: str, completions: Sequence[str] = ()) -> str:
        self.prompts.append(prompt)
        self.completions.append(tuple(completions))
        if self._path is not None:
            self.on_disk.append(read(self._path).events)
        line = next(self._lines, Leave)
        if isinstance(line, str):
            return line
        raise line()

    def text(self, since: int = 0) -> str:
        """Everything that was said from a block on, as a wide plain window shows it."""
        return shown(self.blocks[since:])


def shown(blocks: Iterable[Block], width: int = 400) -> str:
    look = Look(width=width)
    lines = [line for block in blocks for line in lines_of(block, look)]
    return "\n".join("".join(span.text for span in line) for line in lines)


# The answers that bring a case on the outer gate to its first check.
INTAKE = ("outer", "none", "lazy", "no", "12 psi", "unknown")


def talked(
    path: Path,
    lines: Iterable[Line],
    knowledge: Knowledge | None = None,
    prefill: Sequence[Event] = (),
) -> tuple[int, Script]:
    """A dialogue on a case file; its exit code and what was said."""
    knowledge = knowledge or plumbed()
    script = Script(lines, path)
    with Journal.open(path, knowledge.digest) as journal:
        code = run(Consultant(knowledge), journal, script, prefill)
    return code, script
