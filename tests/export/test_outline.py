"""What the pieces of a drawing are called."""

from __future__ import annotations

from expert.export.outline import Outline

OUTLINE = Outline("lazy", None, {}, (), 1, case=False)


def test_a_spot_is_called_after_its_subtree() -> None:
    assert OUTLINE.name(("subtrees", "small-leak", "has", "coupler-tap")) == "small leak"
    assert OUTLINE.name(("tree", "then", "none")) == "start"
