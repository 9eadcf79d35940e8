"""Trouble codes named in the knowledge, against a general-purpose table of their titles.

The table is that of the library `obd` from the registry, which prints the titles of SAE J2012 /
ISO 15031-6; the standard's own text was not seen. It is read here and nowhere else.
"""

from __future__ import annotations

import importlib.util
import re
import runpy
from functools import cache
from pathlib import Path

import pytest

from expert.loading.folder import load, shipped_folder
from expert.model import Check

CODE = re.compile(r"P\d{4}")
RANGE = re.compile(r"(P\d{4})(?: to (P\d{4}))?")


@cache
def titles() -> dict[str, str]:
    """The table alone; the library's own package would open serial ports."""
    found = importlib.util.find_spec("obd")
    assert found is not None
    assert found.submodule_search_locations
    table = runpy.run_path(str(Path(found.submodule_search_locations[0]) / "codes.py"))["DTC"]
    return {code: title.casefold() for code, title in table.items()}


@cache
def stored_codes() -> Check:
    return load([shipped_folder()]).checks["stored-codes"]


def codes_in(text: str) -> list[str]:
    """Every code that a text names, ranges filled in."""
    found = []
    for first, last in RANGE.findall(text):
        numbers = range(int(first[1:]), int(last[1:] if last else first[1:]) + 1)
        found += [f"P{number:04}" for number in numbers]
    return found


@pytest.mark.parametrize(
    ("answer", "words"),
    [
        ("boost-sensor", "boost sensor 'a'"),
        ("underboost", "underboost"),
        ("wastegate-solenoid", "wastegate solenoid 'a'"),
        ("overboost", "overboost condition"),
    ],
)
def test_the_codes_of_an_answer_are_what_their_titles_say(answer: str, words: str) -> None:
    codes = codes_in(stored_codes().answers[answer])
    assert codes
    for code in codes:
        assert words in titles()[code], code


def test_every_code_of_such_a_title_is_in_its_answer() -> None:
    for answer, words in [
        ("boost-sensor", "boost sensor 'a' circuit"),
        ("wastegate-solenoid", "wastegate solenoid 'a'"),
    ]:
        titled = sorted(code for code, title in titles().items() if words in title)
        assert codes_in(stored_codes().answers[answer]) == titled


@pytest.mark.parametrize(
    ("codes", "words"),
    [
        ("P0045 to P0048", "boost control solenoid"),
        ("P0105 to P0109", "manifold absolute pressure"),
        ("P0033 to P0035", "bypass valve"),
        ("P2261", "bypass valve"),
    ],
)
def test_codes_named_in_the_steps_are_what_is_said_of_them(codes: str, words: str) -> None:
    steps = " ".join(stored_codes().how)
    assert set(codes_in(codes)) <= set(codes_in(steps)), steps
    for code in codes_in(codes):
        assert words in titles()[code], code


def test_no_code_is_named_that_the_table_does_not_know() -> None:
    files = shipped_folder().rglob("*.yaml")
    named = {code for file in files for code in CODE.findall(file.read_text(encoding="utf-8"))}
    assert named
    assert named <= titles().keys()
