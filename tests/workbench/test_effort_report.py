"""The report names its columns and the branches that waste most, with their place."""

from __future__ import annotations

from dataclasses import replace

from expert.loading.folder import load_with_places, shipped_folder
from expert.workbench.effort import Effort, Row
from expert.workbench.effort_report import effort_json, footer, header, lines

ROW = Row(
    symptom="lazy",
    setup="internal-nipple",
    gate=None,
    tree=Effort(120.4, 9.5, 0.9),
    value=Effort(100.0, 8.0, 1.0),
    bound_checks=1.5,
    waste={("tree",): 12.0, ("subtrees", "no-such"): 3.0, ("tree", "then"): 0.2},
)


def test_a_row_and_its_worst_branches() -> None:
    _, places = load_with_places([shipped_folder()])
    row, *worst = lines(ROW, places)
    assert " ".join(row.split()) == "lazy internal-nipple 120 9.5 0.90 100 8.0 1.00 1.20 1.5"
    assert len(worst) == 2
    assert "lazy.yaml:" in worst[0]
    assert worst[0].endswith("12.0")


def test_a_gate_that_was_left_open_is_named() -> None:
    _, places = load_with_places([shipped_folder()])
    row, *_ = lines(replace(ROW, setup="direct", gate="external"), places)
    assert row.split()[1:3] == ["direct", "e"]


def test_the_head_and_foot_say_what_is_printed() -> None:
    assert "20 invented cars" in header(20)
    for word in ("ratio", "bound", "workshop", "tree", "value"):
        assert word in header(1) + footer()


def test_the_same_as_json() -> None:
    _, places = load_with_places([shipped_folder()])
    (row,) = effort_json([ROW], places)["rows"]
    assert row["ratio"] == 1.204
    assert row["tree"] == {"minutes": 120.4, "checks": 9.5, "found": 0.9}
    assert [item["minutes"] for item in row["waste"]] == [12.0, 3.0, 0.2]
