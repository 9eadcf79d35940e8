"""What is known of a case, in words."""

from __future__ import annotations

import shlex
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import cast

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.case.car import parts_of
from expert.case.events import (
    Answered,
    Confirmed,
    Described,
    Event,
    Mended,
    Noted,
    Opened,
    Persists,
    RuledOut,
    SetAside,
)
from expert.case.state import State, fold
from expert.ui import show_case
from expert.ui.protocol import Verbatim
from tests.ui.script import plumbed, shown

KNOWLEDGE = plumbed()


@pytest.mark.parametrize(
    ("event", "words"),
    [
        (Described("setup", "outer"), "Setup: Outer gate."),
        (Described("gate", "internal"), "Gate: inner gate."),
        (Described("bypass", "none"), "Bypass valve: none."),
        (Described("bypass", "soft"), "Bypass valve: Soft."),
        (Described("bypass", None), "Bypass valve: not known."),
        (Described("symptom", "lazy"), "Complaint: Won't build boost."),
        (Described("symptom", None), "No other complaint."),
        (Described("spring_kpa", 82.737), "Spring pressure: 83 kPa (12 psi)."),
        (Described("target_kpa", None), "Target boost: not known."),
        (Described("setup", "gone"), "Setup: gone."),
        (Answered("lamp", ("ring",)), "lamp: A ring of light."),
        (SetAside("lamp"), "lamp: skipped for now."),
        (RuledOut("hose-off"), "It is not this: Signal hose off."),
        (Mended("hose-off"), "Mended: Signal hose off."),
        (Persists(), "The complaint is still there."),
        (Confirmed("hose-off"), "The trouble is gone with this mended: Signal hose off."),
        (Confirmed("gone"), "The trouble is gone with this mended: gone."),
        (Noted("cold day"), "Note: cold day"),
        (Opened("digest"), ""),
    ],
)
def test_every_step_in_a_sentence(event: Event, words: str) -> None:
    assert show_case.told(KNOWLEDGE, event).replace("\N{NO-BREAK SPACE}", " ") == words


CASE: list[Event] = [
    Described("setup", "outer"),
    Described("bypass", "soft"),
    Described("symptom", "lazy"),
    Described("symptom", "overboost"),
    Described("spring_kpa", 82.737),
    Described("target_kpa", None),
    Answered("red-flags", ("none",)),
    Answered("smoke", (), "asked"),
    Answered("run", ("below",), "log"),
    SetAside("lamp"),
    RuledOut("charge-leak"),
    Noted("cold day"),
]


def test_status_tells_everything() -> None:
    text = shown(show_case.status(KNOWLEDGE, fold(CASE)))
    for words in (
        "Outer gate",
        "Soft",
        "Won't build boost",
        "Overboosts",
        "83 kPa (12 psi)",
        "not known",
        "Nothing",
        "Less (from a log)",
        "skipped for now",
        "Charge pipe off",
        "cold day",
    ):
        assert words in text


def test_status_of_an_empty_case() -> None:
    assert "Nothing yet." in shown(show_case.status(KNOWLEDGE, State()))


def test_what_to_hand_over_leaves_out_what_is_not_known() -> None:
    sentences = show_case.car_sentences(KNOWLEDGE, fold(CASE))
    assert "run: Less." in sentences
    assert "Sound: Charge pipe off." in sentences
    assert not any(text.startswith("smoke") for text in sentences)


def test_what_was_seen_before_a_repair_says_so() -> None:
    after = fold([*CASE, Mended("ring-missing"), Answered("red-flags", ("knock",))])
    text = shown(show_case.status(KNOWLEDGE, after))
    assert "Nothing (before the repair)" in text
    assert "A knock\n" in text
    assert "Mended" in text
    assert "Ring left out" in text
    sentences = show_case.car_sentences(KNOWLEDGE, after)
    assert "Mended: Ring left out." in sentences
    assert "run: Less. (before the repair)" in sentences


def test_a_case_that_is_done() -> None:
    assert "It was this: Ring left out." in shown(show_case.closed(KNOWLEDGE, "ring-missing"))
    assert "hoses" in shown(show_case.mended())


def hoses(setup: str, bypass: str | None, full: bool = False) -> str:
    state = fold([Described("setup", setup), Described("bypass", bypass)])
    parts = parts_of(KNOWLEDGE, setup, None, bypass)
    return shown(show_case.hoses(KNOWLEDGE, state, parts, full))


def test_the_hoses_are_those_of_the_car() -> None:
    text = hoses("outer", "soft")
    rows = [line.split("  ") for line in text.splitlines()]
    assert ["source-hose", "turbo, nipple", "outer gate, lower"] in [
        [cell.strip() for cell in row if cell.strip()] for row in rows
    ]
    assert "bypass-hose" in text
    # A hose to a part that this car does not have is left out, and its port with it.
    assert "vent-hose" not in text
    assert "Capped" not in text
    assert "Open to the air" in text
    assert "bypass-hose" not in hoses("outer", None)


def test_the_full_table_says_why_and_how_to_tell_the_ports() -> None:
    short, full = hoses("outer", "soft"), hoses("outer", "soft", full=True)
    assert "It opens the gate." in full
    assert "Spout on the housing." in full
    assert "It opens the gate." not in short
    assert full.count("Spout on the housing.") == 1


def test_a_car_without_a_table() -> None:
    assert hoses("inner", None) == "No table of hoses is known for this car."


def command(path: str, platform: str) -> str:
    pure = PureWindowsPath(path) if platform == "win32" else PurePosixPath(path)
    blocks = show_case.case_place(cast(Path, pure), platform)
    commands = [block.text for block in blocks if isinstance(block, Verbatim)]
    assert commands[0] == str(pure)
    return commands[1]


@given(st.text(st.characters(codec="ascii", exclude_characters="\0/"), min_size=1, max_size=30))
def test_the_command_brings_back_the_same_file(name: str) -> None:
    # shlex splits as a POSIX shell does.
    path = str(PurePosixPath("/cases") / name)
    assert shlex.split(command(path, "linux")) == ["gatepost", "diagnose", "--case", path]


def test_the_command_on_windows() -> None:
    assert command("C:\\my cases\\a.jsonl", "win32") == (
        'gatepost diagnose --case "C:\\my cases\\a.jsonl"'
    )
