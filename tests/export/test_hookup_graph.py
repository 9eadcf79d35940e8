"""The plumbing as a graph: ``expert/export/hookup_graph.py``."""

from __future__ import annotations

import re

import pytest

from expert.export.hookup_graph import hookup_graph
from tests.evidence.hookup.rigs import judged, layout, shipped


@pytest.mark.parametrize("setup", sorted(shipped().setups))
@pytest.mark.parametrize("bypass", [None, "manifold", "recirculating"])
def test_every_hose_and_part_is_drawn(setup: str, bypass: str | None) -> None:
    gates = ["internal", "external"] if shipped().setups[setup].gates else [None]
    for gate in gates:
        one = layout(setup, gate, bypass)
        source = hookup_graph(shipped(), one, "A title").source
        assert source.count(" -- ") + source.count(" -> ") == len(one.hoses)
        for name, hose in one.hoses.items():
            ends = {port.partition(".")[0] for port in (hose.from_, hose.to)}
            # A hose that stays at one part is told in the rows of its ports.
            told = f"hose to {hose.to.partition('.')[2].replace('-', ' ')}"
            assert (told if len(ends) == 1 else f'label=" {name} "') in source
        for part in {port.partition(".")[0] for pair in one.pairs for port in pair}:
            assert shipped().parts[part].title.split()[0] in source
        assert "WRONG" not in source


def test_what_is_wrong_is_said_in_words_and_by_the_line() -> None:
    one = judged(
        "external-single",
        "three-port.common=external-gate.upper",
        "external-gate.spare-lower=air",
        "three-port.normally-closed=air",
    )
    source = hookup_graph(shipped(), one.layout, "A title", one.found).source
    assert len(re.findall(r'label=" WRONG "[^\]]*style=dashed', source)) == 1
    assert "gate-hose belongs here" in source
    assert "open: WRONG, capped is right" in source
    assert "open: WRONG, hose missing" in source


def test_a_tee_is_drawn_as_what_it_is_not() -> None:
    one = judged("external-single", tees=("three-port.normally-closed=housing-nipple.nipple",))
    source = hookup_graph(shipped(), one.layout, "A title", one.found).source
    assert len(re.findall(r'label=" WRONG "[^\]]*style=dashed', source)) == 1
    assert "belongs here" not in source


def test_a_part_that_nothing_uses_is_left_out() -> None:
    source = hookup_graph(shipped(), layout("direct", "internal"), "A title").source
    assert "inlet pipe" not in source
    assert "charge path" in source


def test_a_title_is_text_and_nothing_else() -> None:
    source = hookup_graph(shipped(), layout("internal-nipple"), '<b>&"\\n').source
    assert "<b>&" not in source.replace("<b><", "")
    assert "&lt;b&gt;" in source
