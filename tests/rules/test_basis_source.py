"""Where a claim comes from."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.rules.bench import lines


def _caution(basis: str) -> dict[str, str]:
    return {"cautions.yaml": f"hot-parts: {{signal: WARNING, text: It burns., basis: {basis}}}\n"}


@pytest.mark.parametrize("basis", ["everybody knows", "the internet", "see above"])
def test_a_basis_without_a_source_is_shown(basis: str, tmp_path: Path) -> None:
    assert lines("basis-source", tmp_path, _caution(basis)) == [
        "cautions.yaml:1:54: this names no source; cite one with its year, or write 'common"
        " practice', 'from memory', 'measured' or 'invented'"
    ]


@pytest.mark.parametrize(
    "basis", ["common practice", "Kent 1964", "Invented", "29 CFR 1910.242(b)", "rule of thumb"]
)
def test_sources_and_honest_words_are_fine(basis: str, tmp_path: Path) -> None:
    assert lines("basis-source", tmp_path, _caution(basis)) == []
