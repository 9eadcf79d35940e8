"""docs/bench.md: its command, its modules and its loggers."""

from __future__ import annotations

from pathlib import Path

from expert.bench.faults import FAULTS
from expert.bench.logger import DIALECTS
from tests.docs.conftest import Shell
from tests.docs.pages import BENCH, HOOKUP, ROOT, blocks, code, rows, section


def test_the_first_log(shell: Shell, scratch: Path) -> None:
    (text,) = [
        block.text for block in blocks(section(BENCH, "## A first log")) if block.mark == "run"
    ]
    done = shell(text)
    assert done.returncode == 0, done.stderr
    assert "of true boost" in done.stdout
    assert (scratch / "log.csv").stat().st_size > 10_000


def test_every_module_of_the_bench_is_in_one_of_the_tables() -> None:
    named = {
        code(row[0])[0] for page in (BENCH, HOOKUP) for row in rows(section(page, "## The physics"))
    }
    folder = ROOT / "expert" / "bench"
    assert named == {path.stem for path in folder.glob("*.py") if path.stem != "__init__"}


def test_the_loggers() -> None:
    table = {code(row[0])[0]: row[1] for row in rows(section(BENCH, "## The loggers"))}
    assert table == {name: dialect.about for name, dialect in DIALECTS.items()}


def test_the_faults_that_are_named() -> None:
    named = set(code(section(BENCH, "## A first log"))) | set(
        code(section(BENCH, "## What can be wrong"))
    )
    faults = {
        name for name in named if "-" in name and not name.startswith("-") and " " not in name
    }
    assert faults == {"map-offset", "map-hose-off", "map-clipped", "gauge-wrong"}
    assert faults <= set(FAULTS)
