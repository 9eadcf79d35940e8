"""Helpers: what a graph holds, as read back by an outside program and an outside parser."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Sequence
from dataclasses import replace
from typing import Any
from xml.etree import ElementTree

from expert.case.consult import Consultant
from expert.case.state import Finding, State
from expert.export.cars import cars_for
from expert.export.graph import graph
from expert.export.render import Renderer, render, renderers
from expert.export.sketch import sketch
from expert.model import Cause, Check, Knowledge, Symptom
from tests.small import knowledge

SVG = "{http://www.w3.org/2000/svg}"
TITLE = "{http://www.w3.org/1999/xlink}title"
LINK = "{http://www.w3.org/1999/xlink}href"

RENDERERS = renderers()
OUTER = State(setup="outer")


def found(*answers: tuple[str, str | None], setup: str = "outer") -> State:
    """A case of the small knowledge with these answers; None for one that is not known."""
    findings = tuple(
        Finding(check, () if answer is None else (answer,), "asked") for check, answer in answers
    )
    return State(setup=setup, symptoms=("lazy",), findings=findings)


def source(
    book: Knowledge | None = None,
    symptom: str = "lazy",
    cars: Sequence[State] | None = None,
    case: State | None = None,
) -> str:
    """The DOT text of a symptom's tree; for every car unless told otherwise."""
    book = book or knowledge()
    outline = sketch(Consultant(book), symptom, cars or cars_for(book), case)
    return str(graph(book, outline, "a car").source)


def svg(text: str, renderer: Renderer = RENDERERS[0]) -> ElementTree.Element:
    """The picture, parsed as XML."""
    return ElementTree.fromstring(render(text, "svg", [renderer]))


def words(root: ElementTree.Element) -> list[str]:
    """Every line of text in the picture."""
    return ["".join(item.itertext()) for item in root.iter(f"{SVG}text")]


def parsed(text: str, renderer: Renderer = RENDERERS[0]) -> tuple[list[Any], list[Any]]:
    """Nodes and edges of a DOT text with their attributes, as the renderer reads them."""
    done = subprocess.run(
        [renderer.program, "-Tdot_json"], input=text.encode(), capture_output=True, check=True
    )
    book = json.loads(done.stdout)
    nodes = [item for item in book["objects"] if "nodes" not in item and "shape" in item]
    return nodes, book.get("edges", [])


def spoiled(text: str) -> Knowledge:
    """The small knowledge with ``text`` in everything that a drawing shows."""
    book = knowledge()

    def check(entry: Check) -> Check:
        answers = dict.fromkeys(entry.answers, text)
        return replace(entry, ask=text, how=(text, text), answers=answers)

    def cause(entry: Cause) -> Cause:
        return replace(entry, title=text, what=text)

    def symptom(entry: Symptom) -> Symptom:
        return replace(entry, title=text)

    return replace(
        book,
        checks={key: check(entry) for key, entry in book.checks.items()},
        causes={key: cause(entry) for key, entry in book.causes.items()},
        symptoms={key: symptom(entry) for key, entry in book.symptoms.items()},
        parts={key: replace(entry, title=text, what=text) for key, entry in book.parts.items()},
        cautions={key: replace(entry, text=text) for key, entry in book.cautions.items()},
        preparations={key: replace(entry, title=text) for key, entry in book.preparations.items()},
    )
