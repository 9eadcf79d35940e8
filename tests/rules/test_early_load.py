"""Runs before hoses and red flags."""

from __future__ import annotations

from pathlib import Path

from tests.rules.bench import check, lines

FIRST = {
    "checks/first.yaml": check(
        "hose-trace", "Does every hose match?", "{matches: all, bad: one is off}"
    )
    + check("red-flags", "Is there a red flag?", "{none: none, bad: one}")
}
HEAD = "title: Whistles\nwhat: A whistle.\ndanger: none\ncauses: {hose-off: probable}\n"


def _symptom(tree: str, subtrees: str = "") -> dict[str, str]:
    return {"symptoms/whistle.yaml": f"{HEAD}{tree}{subtrees}basis: invented\n", **FIRST}


MESSAGE = (
    "'spring-run' loads the engine, and a way here has not answered '{}' with '{}'; ask that before"
)


def test_a_run_without_either(tmp_path: Path) -> None:
    tree = "tree:\n  check: spring-run\n  then:\n    above: {suspect: [hose-off]}\n"
    place = "symptoms/whistle.yaml:6:10"
    assert lines("early-load", tmp_path, _symptom(tree)) == [
        f"{place}: {MESSAGE.format('hose-trace', 'matches')}",
        f"{place}: {MESSAGE.format('red-flags', 'none')}",
    ]


GOOD = """\
tree:
  check: red-flags
  then:
    none:
      check: hose-trace
      then:
        matches: run
subtrees:
  run:
    check: spring-run
    then:
      above: {suspect: [hose-off]}
"""


def test_a_run_behind_both_is_fine(tmp_path: Path) -> None:
    assert lines("early-load", tmp_path, _symptom(GOOD)) == []


def test_one_way_that_leaves_it_out_is_enough(tmp_path: Path) -> None:
    tree = GOOD.replace("subtrees:", "        unknown: run\nsubtrees:")
    assert lines("early-load", tmp_path, _symptom(tree)) == [
        f"symptoms/whistle.yaml:15:12: {MESSAGE.format('hose-trace', 'matches')}"
    ]
