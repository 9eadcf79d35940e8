"""The actions of gatepost knowledge as they are read."""

from __future__ import annotations

import argparse

import pytest

from expert.errors import UsageError
from expert.knowledge_options import ACTIONS, count, decibans, folder, seed, strength
from expert.options import parse


@pytest.mark.parametrize("action", ACTIONS)
def test_every_action_has_a_summary_and_examples(action: str) -> None:
    summary, examples, _ = ACTIONS[action]
    assert summary
    lines = [line.strip() for line in examples.splitlines()]
    assert lines[0].startswith(f"gatepost knowledge {action}")


def test_an_action_is_needed_and_must_be_known() -> None:
    with pytest.raises(UsageError, match="required: ACTION"):
        parse(["knowledge"])
    with pytest.raises(UsageError, match="invalid choice: 'chek'"):
        parse(["knowledge", "chek"])


def test_an_empty_name_is_no_folder() -> None:
    assert folder("our shop").name == "our shop"
    for words in (
        ["knowledge", "check", "--knowledge", ""],
        ["knowledge", "add", "--into", " "],
        ["knowledge", "learn", ""],
        ["knowledge", "learn", "cases", "--out", ""],
    ):
        with pytest.raises(UsageError, match="found an empty name; expected a folder"):
            parse(words)


def test_whole_numbers_have_limits() -> None:
    assert count("1") == 1
    assert seed("0") == 0
    for text in ("0", "-1", "1.5", "", "1" * 30, "\u0663"):
        with pytest.raises(argparse.ArgumentTypeError, match="expected a whole number"):
            count(text)


def test_the_strength_is_a_number_over_0() -> None:
    assert strength("20") == 20.0
    assert strength(".5") == 0.5
    for text in ("0", "-1", "1e3", "", "nan", "inf", "2000000", "1" * 30, "."):
        with pytest.raises(argparse.ArgumentTypeError, match="expected a number over 0"):
            strength(text)


def test_decibans_are_a_number_over_0() -> None:
    assert decibans("3") == 3.0
    assert decibans("0.5") == 0.5
    for text in ("0", "-3", "101", "3dB", "nan"):
        with pytest.raises(argparse.ArgumentTypeError, match="over 0, at most 100"):
            decibans(text)
