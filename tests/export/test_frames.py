"""Trees in pieces."""

from __future__ import annotations

from itertools import pairwise

from expert.case.walk import Path
from expert.export.frames import frames
from expert.export.outline import Branch, CheckSpot, Lane, Leaf, Outline, Spot

LANE = Lane(("yes",), "none", walked=False)
END = Leaf((), "ok", walked=False)


def spot(*targets: Path | Leaf | None) -> Spot:
    branches = tuple(Branch((LANE,), target) for target in targets)
    return CheckSpot("x", (), False, False, False, False, branches)


def made(spots: dict[str, list[str]], shared: str = "") -> Outline:
    by_path: dict[Path, Spot] = {
        (name,): spot(*[(target,) for target in targets], END) for name, targets in spots.items()
    }
    return Outline("s", ("a",), by_path, tuple((name,) for name in shared), 1, case=False)


def test_a_small_tree_is_one_frame() -> None:
    assert frames(made({"a": ["b", "c"], "b": [], "c": []})) == {("a",): 1}


def test_a_tree_that_is_a_leaf_has_no_frame() -> None:
    assert frames(Outline("s", END, {}, (), 1, case=False)) == {}


def test_shared_spots_begin_frames_in_reading_order() -> None:
    tree = {"a": ["b", "c"], "b": ["e"], "c": ["d", "e"], "d": [], "e": ["d"]}
    assert frames(made(tree, "de")) == {("a",): 1, ("e",): 2, ("d",): 3}


def test_a_long_chain_goes_on_in_another_frame_but_not_for_a_last_check() -> None:
    names = "abcdefghi"
    chain = {name: [after] for name, after in pairwise(names)} | {"i": []}
    assert frames(made(chain)) == {("a",): 1, ("e",): 2}


def test_a_wide_tree_goes_on_in_other_frames() -> None:
    first = [f"b{k}" for k in range(9)]
    tree = {"a": first} | {name: [f"c{name}"] for name in first}
    tree |= {f"c{name}": [f"d{name}"] for name in first} | {f"d{name}": [] for name in first}
    numbers = frames(made(tree))
    assert list(numbers.values()) == list(range(1, len(numbers) + 1))
    assert len(numbers) == 10
