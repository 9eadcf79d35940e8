"""The labelled messages of tests/mail, and how well those that were built on are understood."""

from __future__ import annotations

import pytest

from tests.mail_eval import PARTS, Labelled, figures, knowledge, labelled, table, triaged

KINDS = {"complaint", "vague", "unrelated"}


@pytest.mark.parametrize("part", PARTS)
def test_labels_are_those_of_the_knowledge(part: str) -> None:
    messages = labelled(part)
    assert len(messages) >= 30
    for one in messages:
        assert one.kind in KINDS
        assert set(one.symptoms) <= set(knowledge().symptoms)
        assert one.setup is None or one.setup in knowledge().setups
        for fact in one.facts:
            check, _, answer = fact.partition("=")
            assert answer in knowledge().checks[check].answers, fact
        if one.kind == "unrelated":
            assert not (one.symptoms or one.facts or one.stop)


def test_the_parts_share_no_message() -> None:
    texts = [one.text for part in PARTS for one in labelled(part)]
    assert len(texts) == len(set(texts)) >= 120


@pytest.mark.parametrize("part", [part for part in PARTS if part != "untouched"])
def test_what_was_built_on_stays_understood(part: str) -> None:
    found = figures(part)
    assert found.main_right >= 0.88 * found.complaints
    assert found.stops_right >= 0.85 * found.stops
    assert found.stops_right >= 0.75 * found.stops_found
    assert found.found_right >= 0.75 * found.found
    assert found.found_right >= 0.5 * found.wanted
    assert found.false_on_unrelated <= 5
    assert found.inexact == 0


def test_the_kit_counts_what_is_wrong() -> None:
    wrong = Labelled("it overboosts, no codes", "vague", ["creep"], frozenset({"seat-ring=none"}))
    (triage,) = triaged([wrong])
    assert triage.read.understanding.symptoms == ("overboost",)
    assert "| messages |" in table(["build"])
