"""Blocks are frozen data, and every kind of block can be laid out."""

from __future__ import annotations

import dataclasses
from typing import get_args

import pytest

from expert.ui.layout import Look, lines_of
from expert.ui.protocol import (
    Banner,
    Bar,
    Bars,
    Block,
    Cautions,
    Choice,
    Choices,
    Fact,
    Heading,
    Paragraph,
    Plot,
    Steps,
    Table,
    Talker,
    Verbatim,
    Warned,
)
from tests.ui.script import Script

EXAMPLES: list[Block] = [
    Heading("Heading"),
    Paragraph("Running text."),
    Fact("Label", "text"),
    Steps("Title", ("one", "two")),
    Choices((Choice("dark", "No light"), Choice("ring", "A ring"))),
    Bars("Title", (Bar("Ring left out", 0.6, 0.2), Bar("Pipe off", 0.1))),
    Cautions((Warned("DANGER", "It falls."), Warned("NOTICE", "Read this."))),
    Banner("stop", "Do not drive.", ("Because.",)),
    Table("Title", ("What", "Answer"), (("lamp", "dark"),)),
    Plot("Title", "kPa", "rpm", "boost", ((1.0, 2.0), (2.0, 3.0))),
    Verbatim("/a/path"),
]


def test_there_is_an_example_of_every_block() -> None:
    assert {type(block) for block in EXAMPLES} == set(get_args(Block))


@pytest.mark.parametrize("block", EXAMPLES, ids=lambda block: type(block).__name__)
def test_blocks_are_frozen_and_shown(block: Block) -> None:
    name = dataclasses.fields(block)[0].name
    with pytest.raises(dataclasses.FrozenInstanceError):
        setattr(block, name, "")
    assert any(line for line in lines_of(block, Look()))


def test_the_scripted_window_is_a_talker() -> None:
    talker: Talker = Script(["typed"])
    assert talker.ask("prompt") == "typed"
