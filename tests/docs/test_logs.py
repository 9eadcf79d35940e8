"""docs/logs.md: its commands, and the checks that it says a log can answer."""

from __future__ import annotations

from pathlib import Path

from expert.model import Knowledge
from tests.docs.conftest import Shell
from tests.docs.pages import LOGS, blocks, code, rows, section


def test_the_first_log(shell: Shell, scratch: Path) -> None:
    (lines,) = [
        block.text for block in blocks(section(LOGS, "## A first log")) if block.mark == "run"
    ]
    done = shell(lines)
    assert done.returncode == 0, done.stderr
    for words in (
        "Channels",
        "Full-throttle pulls",
        "Measured",
        "Symptom",
        "Ranking",
        "Next check",
    ):
        assert words in done.stdout
    assert "Won't build boost" in done.stdout
    assert (scratch / "pull.svg").read_text(encoding="utf-8").count("<svg") == 1


def test_the_checks_that_a_log_can_answer(shipped: Knowledge) -> None:
    named = {code(row[0])[0] for row in rows(section(LOGS, "## From values to answers"))}
    assert named == {one.check for one in shipped.readings.values() if one.check is not None}
