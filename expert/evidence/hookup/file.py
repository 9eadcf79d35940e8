"""A small YAML file that says what was found under the bonnet."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from expert.errors import GatepostError, KnowledgeError, MissingError, Mistake, Place
from expert.loading.decode import decoder
from expert.loading.document import Document
from expert.loading.nodes import parse
from expert.loading.reading import Reading
from expert.loading.source import read_bytes, shown_path, to_text
from expert.model import Gate, Prose, explained

Restrictor = Literal["right", "missing", "blocked"]


class DescriptionError(GatepostError):
    """A description that cannot be used, with every mistake found in one pass."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Description:
    """What was found, in the words of the options of gatepost hookup."""

    setup: str = explained("The setup that it is, or is meant to be.")
    gate: Gate | None = explained("The gate, where the setup leaves it open.", default=None)
    bypass: str | None = explained("The bypass layout, or none.", default=None)
    spring: Prose | None = explained("Pressure of the gate's spring, with its unit.", default=None)
    hoses: tuple[Prose, ...] = explained("PORT=PORT, PORT=air or PORT=cap.", default=())
    tees: tuple[Prose, ...] = explained("PORT=PORT, joined by a tee besides.", default=())
    split: tuple[Prose, ...] = explained("Hoses that leak, by one end or by both.", default=())
    pinched: tuple[Prose, ...] = explained("Hoses that are pinched or kinked.", default=())
    checks: tuple[Prose, ...] = explained("Check valves, PORT=PORT as air may pass.", default=())
    restrictor: Restrictor = explained("The restrictor of a bleed controller.", default="right")
    plugged: bool = explained("Is the boost solenoid plugged in?", default=True)


def read_description(path: Path) -> Description:
    """The description in a file.

    Raises MissingError when it cannot be read, DescriptionError with every mistake and its place.
    """
    shown = shown_path(path)
    try:
        data = read_bytes(path, shown)
    except KnowledgeError as error:
        said = error.mistakes[0].message
        raise MissingError(f"{shown}: {said}. Name the file that says what you found.") from None
    try:
        return _described(to_text(data, shown), shown)
    except KnowledgeError as error:
        raise DescriptionError(f"{error}\nMend the file, then ask again.") from None


def _described(text: str, shown: str) -> Description:
    root, mistakes = parse(text, shown)
    if root is None:
        raise KnowledgeError(mistakes or [Mistake(Place(shown, 1, 1), "the file says nothing")])
    reading = Reading(Document(shown, text))
    described: Description = decoder(Description).read(root, reading)
    if mistakes or reading.mistakes:
        raise KnowledgeError([*mistakes, *reading.mistakes])
    return described
