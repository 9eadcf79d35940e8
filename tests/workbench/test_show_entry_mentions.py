"""Where entries name others: every reference that the loader resolves, and no text."""

from __future__ import annotations

from collections import Counter

import pytest

from expert.loading.entries import Entries, Source
from expert.loading.folder import load_with_cases, shipped_folder
from expert.loading.kinds import ALL_KINDS, KINDS
from expert.model import Ask, Fork, Suspect
from expert.workbench.changes import entries_of
from expert.workbench.show_entry_mentions import Named, named_in
from tests import small
from tests.loading.folders import SMALL, SYMPTOM


@pytest.mark.parametrize("name", [name for name in SMALL if "/" in name])
def test_what_the_loader_must_resolve_is_named(name: str) -> None:
    kind = next(one for one in KINDS.values() if one.home == name.partition("/")[0])
    entries = Entries()
    entries.begin_folder()
    entries.add(Source(kind, "x", name), SMALL[name])
    (reading,) = entries.readings
    expected = Counter(
        (kind_, node.value) for kind_, nodes in reading.refs.items() for node in nodes
    )
    found = Counter(
        (one.kind, one.id)
        for entry in entries.values(kind.name).values()
        for one in named_in(entry)
        # Ports and branches are no references of the loader: other rules look after them.
        if "hoses" not in one.path and one.path[0] not in ("open", "capped")
        if not (one.kind == "part" and "has" in one.path)
    )
    assert found == expected


def test_ports_name_their_part() -> None:
    entries = Entries()
    entries.begin_folder()
    entries.add(Source(KINDS["setup"], "external", "f"), SMALL["setups/external.yaml"])
    named = list(named_in(entries.values("setup")["external"]))
    assert Named("part", "manifold", ("hoses", "signal", "from_")) in named
    assert Named("part", "external-gate", ("open", 0)) in named


def test_forks_name_parts_and_lead_on() -> None:
    leaf = Suspect(("ring-missing",))
    tree = Ask("lamp", {"ring": Fork({"external-gate": leaf, "otherwise": leaf})})
    named = set(named_in(tree))
    way = ("then", "ring", "has")
    assert named == {
        Named("check", "lamp", ("check",)),
        Named("part", "external-gate", (*way, "external-gate")),
        Named("cause", "ring-missing", (*way, "external-gate", "suspect", 0)),
        Named("cause", "ring-missing", (*way, "otherwise", "suspect", 0)),
    }


def test_texts_and_answers_name_nothing() -> None:
    assert list(named_in(small.policy())) == []
    check = small.check("ring-missing?", {"ring-missing": "hot"}, {}, kind="nominal")
    assert list(named_in(check)) == []


def test_all_that_is_named_is_there() -> None:
    loaded = load_with_cases([shipped_folder()])
    there = {kind.name: entries_of(loaded, kind) for kind in ALL_KINDS}
    named = {
        (one.kind, one.id)
        for kind in ALL_KINDS
        for entry in there[kind.name].values()
        for one in named_in(entry)
    }
    assert len(named) > 100
    # A car without a bypass has `none`, which is no layout.
    assert {(kind, name) for kind, name in named if name not in there[kind]} <= {("bypass", "none")}


def test_the_tree_of_the_small_symptom() -> None:
    entries = Entries()
    entries.begin_folder()
    entries.add(Source(KINDS["symptom"], "lazy", "f"), SYMPTOM)
    named = list(named_in(entries.values("symptom")["lazy"]))
    asked = [one.path for one in named if (one.kind, one.id) == ("check", "spring-run")]
    assert asked == [
        ("tree", "then", "none", "has", "otherwise", "check"),
        ("subtrees", "run", "check"),
    ]
