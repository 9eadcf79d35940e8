"""The report of gaps: ``expert/workbench/gaps_report.py``."""

from __future__ import annotations

import json

import pytest

from expert.workbench.gaps import (
    APART,
    IMPLIED,
    NEVER_CHOSEN,
    NEVER_FOUND,
    SAME,
    Gap,
    IdleExcuse,
    Subject,
    Where,
)
from expert.workbench.gaps_report import gap_lines, gaps_json, place_words

EVERY = [("one", None), ("two", "internal"), ("two", "external")]
ONE = Where("one", None, ())
PAIR = Gap(Subject(APART, "cause", ("a", "b"), "look"), 1.25, 4.5, None, (ONE,), None)


def test_a_pair_with_its_best_check_and_its_cars() -> None:
    assert list(gap_lines([PAIR], EVERY)) == [
        "Causes that no check tells apart [no-telling-apart]",
        "  a / b  1.2 dB by look, 4.5 dB by all checks",
        "      on one",
        "",
        "1 gap; 1 without an explanation in the files.",
    ]


def test_an_excuse_stands_below_and_long_lines_are_broken() -> None:
    reason = "One repair mends both. " * 8
    gap = Gap(PAIR.subject, 1.25, 4.5, None, (ONE,), reason)
    lines = list(gap_lines([gap], EVERY))
    assert lines[3].startswith("      explained: One repair")
    assert max(map(len, lines)) <= 100
    assert " ".join(" ".join(lines[3:-2]).split()) == f"explained: {reason.strip()}"
    assert lines[-1] == "1 gap; none without an explanation in the files."


@pytest.mark.parametrize(
    ("subject", "value", "words"),
    [
        (Subject(APART, "cause", ("a", "b")), 0.0, "a / b  no check answers differently"),
        (Subject(NEVER_FOUND, "cause", ("a",)), 0.314, "a  31 % at most, and next to it b and c"),
        (Subject(NEVER_CHOSEN, "check", ("c",)), None, "c"),
        (Subject(SAME, "symptom", ("s", "t")), 0.02, "s / t  shares differ by 0.02 at most"),
        (
            Subject(IMPLIED, "cause", ("a",), "look"),
            0.51,
            "a  look uses 51 % of the words that confirm it",
        ),
        (
            Subject(IMPLIED, "cause", ("a",), "look", "lazy"),
            0.92,
            "a  look names 92 % of the causes of lazy",
        ),
    ],
)
def test_each_kind_says_what_was_measured(
    subject: Subject, value: float | None, words: str
) -> None:
    rival = ("b", "c") if subject.gap == NEVER_FOUND else None
    lines = list(gap_lines([Gap(subject, value, None, rival, (ONE,), None)], EVERY))
    assert lines[0].endswith(f"[{subject.gap}]")
    assert lines[1].strip() == words


@pytest.mark.parametrize(
    ("where", "words"),
    [
        ([ONE, Where("two", "internal", ()), Where("two", "external", ())], "every setup"),
        ([Where("two", "internal", ()), Where("two", "external", ())], "two"),
        ([ONE, Where("two", "external", ())], "one, two external"),
        ([Where("one", None, ("none", "soft"))], "one, with bypass none or soft"),
        (
            [Where("two", "internal", ("soft",)), Where("two", "external", ("soft",)), ONE],
            "two, with bypass soft; one",
        ),
        (
            [Where(setup, gate, ("soft",)) for setup, gate in EVERY],
            "every setup, with bypass soft",
        ),
    ],
)
def test_cars_in_words(where: list[Where], words: str) -> None:
    assert place_words(where, EVERY) == words


def test_the_only_setup_is_named() -> None:
    assert place_words([ONE], [("one", None)]) == "one"


def test_a_rival_that_is_not_listed() -> None:
    gap = Gap(Subject(NEVER_FOUND, "cause", ("a",)), 0.5, None, (), (ONE,), None)
    assert "next to it a cause that is not listed" in list(gap_lines([gap], EVERY))[1]
    assert gaps_json([gap])["gaps"][0]["rival"] == []


def test_without_gaps() -> None:
    assert list(gap_lines([], EVERY)) == ["No gaps."]


IDLE = [IdleExcuse("check", "look", SAME)]


def test_idle_excuses_come_last() -> None:
    assert list(gap_lines([], EVERY, IDLE)) == [
        "Excuses for gaps that are not there",
        "  check look: same-symptoms",
        "",
        "No gaps.",
    ]
    assert gaps_json([], IDLE)["idle_excuses"] == [
        {"kind": "check", "id": "look", "gap": "same-symptoms"}
    ]


def test_the_same_as_json() -> None:
    gap = Gap(PAIR.subject, 1.25, 4.5, None, (Where("two", "internal", ("none",)),), "It is meant.")
    one = gaps_json([PAIR, gap])
    assert json.loads(json.dumps(one)) == one
    assert one["unexplained"] == 1
    assert one["gaps"][1] == {
        "gap": "no-telling-apart",
        "kind": "cause",
        "ids": ["a", "b"],
        "check": "look",
        "symptom": None,
        "value": 1.25,
        "total": 4.5,
        "rival": None,
        "cars": [{"setup": "two", "gate": "internal", "bypasses": ["none"]}],
        "reason": "It is meant.",
    }
