"""docs/hookup.md: its file, its modules and its numbers."""

from __future__ import annotations

from pathlib import Path

from expert.bench import expect, rig
from expert.evidence.hookup import verdict
from tests.docs.conftest import Shell
from tests.docs.pages import HOOKUP, ROOT, blocks, code, rows, section, text_of


def test_the_file_of_the_page_is_judged(shell: Shell, scratch: Path) -> None:
    output = ""
    for mark, _, text in blocks(section(HOOKUP, "## A file")):
        if mark.startswith("write "):
            (scratch / mark.removeprefix("write ")).write_text(text, encoding="utf-8")
        elif mark == "run":
            output = shell(text).stdout
    assert "STOP" in output
    assert "Swap the two hoses" in output


def test_every_module_of_the_bench_is_in_the_table() -> None:
    named = {code(row[0])[0] for row in rows(section(HOOKUP, "## The physics"))}
    folder = ROOT / "expert" / "bench"
    modules = {path.stem for path in folder.glob("*.py") if path.stem != "__init__"}
    assert named <= modules
    assert {"air", "flow", "pneumatics", "gate", "rig", "expect"} <= named


def test_numbers_of_the_page() -> None:
    text = " ".join(text_of(HOOKUP).split())
    bores = [bore for bore, _, _ in expect.INSTALLATIONS]
    chambers = [round(1e6 * volume) for _, volume, _ in expect.INSTALLATIONS]
    pulses = [round(hertz) for _, _, hertz in expect.INSTALLATIONS]
    assert f"from {min(bores):g} to {max(bores):g} mm" in text
    assert f"{min(chambers)} to {max(chambers)} cm" in text
    assert f"{min(pulses)} to {max(pulses)} pulses a second" in text
    assert f"below {rig.MOST_BOOST_PA / 1000:.0f} kPa" in text
    assert f"more than {verdict._MARGIN_PA / 1000:.0f} kPa too high" in text
    assert f"within {expect._ROOM_PA / expect.SPRING_SLACK_PA:.0f} psi of the most" in text
