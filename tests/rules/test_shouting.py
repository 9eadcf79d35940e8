"""Words in capitals and exclamation marks."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.rules.bench import lines


@pytest.mark.parametrize("loud", ["a lamp!", "a lamp, ALWAYS lit", "NOT a lamp", "a BIG RED lamp"])
def test_loud_texts_are_shown(loud: str, tmp_path: Path) -> None:
    found = lines("shouting", tmp_path, {"tools.yaml": f"lamp:\n  title: '{loud}'\n"})
    assert len(found) == 1
    assert found[0].startswith("tools.yaml:2:10: found '")
    assert found[0].endswith("'; say it plainly, and warn with a caution")


@pytest.mark.parametrize("calm", ["a MAP sensor of 12 V", "an ECU, I think", "a Bourdon gauge"])
def test_abbreviations_are_fine(calm: str, tmp_path: Path) -> None:
    assert lines("shouting", tmp_path, {"tools.yaml": f"lamp: {{title: '{calm}'}}\n"}) == []


def test_a_basis_may_cite_in_capitals(tmp_path: Path) -> None:
    text = "hot-parts: {signal: WARNING, text: It burns., basis: 'ANSIZ 535!'}\n"
    assert lines("shouting", tmp_path, {"cautions.yaml": text}) == []
