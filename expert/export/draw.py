"""The command `draw`: trees to files, in whatever form this machine can make."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from expert.case.consult import Consultant
from expert.case.known import known
from expert.case.state import State
from expert.errors import UsageError
from expert.export.cars import cars_for
from expert.export.files import write_whole
from expert.export.graph import graph
from expert.export.render import HINT, PICTURES, Renderer, render, renderers
from expert.export.sketch import sketch
from expert.export.texttree import text_tree
from expert.export.wording import car_words

ALL: Final = "all"
SOURCE: Final = "gv"
FORMATS: Final = (SOURCE, *PICTURES)


@dataclass(frozen=True, slots=True)
class Drawn:
    """What was drawn: the files, text for stdout (or none), and a note for stderr (or none)."""

    paths: tuple[Path, ...]
    text: str = ""
    note: str = ""


def draw(
    consultant: Consultant,
    symptom: str | None,
    out: Path,
    fmt: str | None = None,
    *,
    setup: str | None = None,
    gate: str | None = None,
    bypass: str | None = None,
    case: State | None = None,
    find: Callable[[], Sequence[Renderer]] = renderers,
) -> Drawn:
    """Draw the tree of a symptom, or of all of them, into files in the folder ``out``.

    ``symptom`` is an id, "all", or None: the complaint of the case, else all. A setup, gate or
    bypass that is named goes before that of the case; without either, the drawing is for every
    car. Without ``fmt`` it is SVG, or, where nothing can draw that, DOT text and a tree in text.

    Raises UsageError for an unknown id or format, MissingError when a format that was asked for
    cannot be drawn or a file cannot be written.
    """
    if fmt is not None:
        known("format", fmt, FORMATS)
    names = _symptoms(consultant, symptom, case)
    if case is not None:
        setup, gate, bypass = setup or case.setup, gate or case.gate, bypass or case.bypass
        case = replace(case, setup=setup, gate=gate, bypass=bypass) if setup else None
    cars = (case,) if case else cars_for(consultant.knowledge, setup, gate, bypass)
    available = find() if fmt != SOURCE else ()
    chosen = fmt or ("svg" if any("svg" in one.formats for one in available) else SOURCE)

    car = car_words(consultant.knowledge, cars)
    paths, texts = [], []
    for name in names:
        outline = sketch(consultant, name, cars, case)
        source = graph(consultant.knowledge, outline, car).source
        data = source.encode() if chosen == SOURCE else render(source, chosen, available)
        path = out / f"{_stem(name, setup, gate, bypass)}.{chosen}"
        write_whole(path, data)
        paths.append(path)
        if fmt is None and chosen == SOURCE:
            texts.append(text_tree(consultant.knowledge, outline, car))
    note = f"There is no program here that draws pictures. {HINT}" if texts else ""
    return Drawn(tuple(paths), "\n".join(texts), note)


def _symptoms(consultant: Consultant, symptom: str | None, case: State | None) -> list[str]:
    everything = list(consultant.knowledge.symptoms)
    if symptom is None and case is not None and case.symptoms:
        symptom = case.symptoms[0]
    if symptom is None or symptom == ALL:
        if not everything:
            raise UsageError("The knowledge holds no symptom, so there is nothing to draw.")
        return everything
    known("symptom", symptom, everything)
    return [symptom]


def _stem(*named: str | None) -> str:
    """The name of the file: the symptom, and what was named of the car."""
    return re.sub(r"[^A-Za-z0-9-]+", "-", "-".join(part for part in named if part))
