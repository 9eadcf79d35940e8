"""Hose table and verdict as blocks: ``expert/ui/show_hookup.py``."""

from __future__ import annotations

from expert.ui.protocol import Banner, Block, Paragraph, Steps, Table
from expert.ui.show_hookup import (
    STOP,
    UNUSUAL,
    WORKS,
    findings_fact,
    hose_table,
    verdict_blocks,
)
from expert.units import shown_kpa
from tests.evidence.hookup.rigs import judged, layout, shipped

SWAPPED = (
    "housing-nipple.nipple=three-port.normally-closed",
    "three-port.normally-open=inlet-pipe.tap",
)


def tables(blocks: list[Block]) -> list[Table]:
    return [block for block in blocks if isinstance(block, Table)]


def test_the_table_names_every_hose_with_its_reason() -> None:
    one = layout("external-single", None, "manifold")
    blocks = hose_table(shipped(), one, "A title")
    (table,) = tables(blocks)
    assert [row[0] for row in table.rows] == list(one.hoses)
    titles = [block.title for block in blocks if isinstance(block, Steps)]
    assert titles == ["What for", "Open to the air", "Capped", "How to tell the ports"]


def test_a_stop_says_so_first_with_the_reason_and_the_moves() -> None:
    blocks = verdict_blocks(shipped(), judged("internal-nipple", *SWAPPED), True)
    first = blocks[0]
    assert isinstance(first, Banner)
    assert (first.danger, first.text) == ("stop", STOP)
    assert len(first.because) == 1
    moves = next(b for b in blocks if isinstance(b, Steps) and b.title == "To mend it")
    assert len(moves.items) == 1
    shares = tables(blocks)[-1]
    assert [row[0] for row in shares.rows] == ["0 %", "50 %", "100 %"]
    assert shares.rows[0][2] == "nothing limits it"


def test_what_works_and_what_only_looks_unusual() -> None:
    right = verdict_blocks(shipped(), judged("external-single"), True)
    assert right[0] == Paragraph(WORKS, strong=True)
    unusual = judged("external-single", "three-port.normally-closed=air", "inlet-pipe.tap=cap")
    assert verdict_blocks(shipped(), unusual, True)[0] == Paragraph(UNUSUAL, strong=True)


def test_ports_that_were_not_seen_keep_the_engine_off() -> None:
    first = verdict_blocks(shipped(), judged("external-single"), True, ("three-port.common",))[0]
    assert isinstance(first, Banner)
    assert first.danger == "stop"
    assert "three-port.common" in first.because[-1]


def test_without_a_spring_boost_is_told_by_it() -> None:
    blocks = verdict_blocks(shipped(), judged("internal-nipple"), False)
    assert tables(blocks)[-1].rows[0][2] == "about the spring"
    direct = verdict_blocks(shipped(), judged("direct", gate="internal"), False)
    assert len(tables(direct)[-1].rows) == 1
    assert findings_fact(["a=b@hookup"]).text == "--answer a=b@hookup"  # type: ignore[union-attr]


def test_a_tee_is_called_one() -> None:
    ends = ("external-gate.lower", "external-gate.upper")
    blocks = verdict_blocks(shipped(), judged("external-single", tees=("=".join(ends),)), True)
    assert tables(blocks)[0].rows == ((ends[1], f"a tee to {ends[0]}", "nothing, open"),)
    # Nothing is not less than nothing.
    assert [row[1] for row in tables(blocks)[-1].rows] == [shown_kpa(0.0)] * 3


def test_what_to_expect_says_at_which_duty() -> None:
    def told(*hoses: str, setup: str = "internal-nipple", **more: str) -> tuple[str, ...]:
        one = judged(setup, *hoses, **more)  # type: ignore[arg-type]
        blocks = verdict_blocks(shipped(), one, True)
        steps = [b for b in blocks if isinstance(b, Steps) and "What to expect" in b.title]
        return steps[0].items if steps else ()

    high, low = told(*SWAPPED)
    assert high.endswith(("(at 0 % duty)", "(at 0 and 50 % duty)"))
    assert low.endswith("(at 100 % duty)")
    off = told("internal-gate.nipple=air", setup="direct", gate="internal")
    assert off == (shipped().symptoms["overboost"].title,)


def test_repairs_stand_before_moves() -> None:
    one = judged("internal-nipple", *SWAPPED, split=("three-port.common",))
    blocks = verdict_blocks(shipped(), one, True)
    moves = next(b for b in blocks if isinstance(b, Steps) and b.title == "To mend it")
    assert [text.split()[0] for text in moves.items] == ["Replace", "Swap"]
