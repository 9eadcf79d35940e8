"""The knowledge and the car that a command line asks for: ``expert/asked.py``."""

from __future__ import annotations

from pathlib import Path

import pytest

from expert.asked import folders_of, knowledge_of, told_of
from expert.case.events import Answered, Described
from expert.errors import MissingError
from expert.loading.folder import load, shipped_folder
from expert.options import parse


def test_folders_come_after_the_shipped_one_in_order() -> None:
    line = ["rank", "--knowledge", "a", "--knowledge", "b"]
    assert folders_of(parse(line)) == [shipped_folder(), Path("a"), Path("b")]
    assert folders_of(parse(["rank"])) == [shipped_folder()]


def test_the_knowledge_is_that_of_the_folders(tmp_path: Path) -> None:
    assert knowledge_of(parse(["rank"])) == load([shipped_folder()])
    with pytest.raises(MissingError, match="nowhere"):
        knowledge_of(parse(["rank", "--knowledge", str(tmp_path / "nowhere")]))


def test_what_the_options_say_of_a_car() -> None:
    options = parse(["rank", "--setup", "direct", "--gate", "external", "--spring", "100kPa",
                     "--symptom", "lazy", "--answer", "hose-trace=matches@mail"])  # fmt: skip
    assert told_of(options, knowledge_of(options)) == [
        Described("setup", "direct"),
        Described("gate", "external"),
        Described("symptom", "lazy"),
        Described("spring_kpa", 100.0),
        Answered("hose-trace", ("matches",), "mail"),
    ]
