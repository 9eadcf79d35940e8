"""Branches that nobody takes, and those that only look so."""

from __future__ import annotations

from pathlib import Path

from tests.rules.bench import lines

HEAD = "title: Whistles\nwhat: A whistle.\ndanger: none\ncauses: {hose-off: probable}\n"


def _symptom(tree: str, subtrees: str = "") -> dict[str, str]:
    return {"symptoms/whistle.yaml": f"{HEAD}{tree}{subtrees}basis: invented\n"}


def test_an_answer_that_was_fixed_further_up(tmp_path: Path) -> None:
    tree = """\
tree:
  check: flags
  then:
    none:
      check: flags
      then:
        none: {suspect: [hose-off]}
        knock: {suspect: [hose-off]}
        unknown: {suspect: [hose-off]}
    otherwise: {suspect: [hose-off]}
"""
    message = "the answer is known on every way here and never '{}'; delete this branch"
    assert lines("dead-branch", tmp_path, _symptom(tree)) == [
        f"symptoms/whistle.yaml:12:9: {message.format('knock')}",
        f"symptoms/whistle.yaml:13:9: {message.format('unknown')}",
    ]


def test_parts_that_no_car_has_there(tmp_path: Path) -> None:
    tree = """\
tree:
  has:
    external-gate:
      has:
        internal-gate: {suspect: [hose-off]}
        otherwise: {suspect: [hose-off]}
    internal-gate:
      has:
        manifold: {suspect: [hose-off]}
        otherwise: {suspect: [hose-off]}
"""
    assert lines("dead-branch", tmp_path, _symptom(tree)) == [
        "symptoms/whistle.yaml:9:9: no car that comes here has the part 'internal-gate'; delete"
        " this branch",
        "symptoms/whistle.yaml:14:9: every car that comes here has one of the parts; delete this"
        " branch",
    ]


def test_where_ways_meet_only_what_holds_on_all_of_them_counts(tmp_path: Path) -> None:
    tree = """\
tree:
  check: flags
  then:
    none: air
    otherwise: air
"""
    subtrees = """\
subtrees:
  air:
    check: flags
    then:
      none: {suspect: [hose-off]}
      smell: {suspect: [hose-off]}
      unknown: {suspect: [hose-off]}
"""
    (found,) = lines("dead-branch", tmp_path, _symptom(tree, subtrees))
    assert found.startswith("symptoms/whistle.yaml:16:7: the answer is known on every way here")


def test_a_second_flag_may_have_been_given_as_well(tmp_path: Path) -> None:
    tree = """\
tree:
  check: flags
  then:
    smell:
      check: flags
      then:
        knock: {suspect: [hose-off]}
        none: {suspect: [hose-off]}
"""
    # With the smell a knock may stand; none may not.
    (found,) = lines("dead-branch", tmp_path, _symptom(tree))
    assert "never 'none'" in found
