"""From the command's options to files."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from expert.case.consult import Consultant
from expert.case.state import State
from expert.errors import EXIT_MISSING, EXIT_USAGE, MissingError, UsageError
from expert.export.draw import Drawn, draw
from expert.export.render import Renderer, extra_dot
from expert.export.wording import HERE
from expert.model import Knowledge
from tests.export.pictures import found, words
from tests.small import knowledge


def none() -> list[Renderer]:
    return []


def extra() -> list[Renderer]:
    here = extra_dot()
    return [here] if here else []


def made(out: Path, symptom: str | None = "lazy", fmt: str | None = None, **named: Any) -> Drawn:
    return draw(Consultant(knowledge()), symptom, out, fmt, **{"find": extra, **named})


def names(drawn: Drawn) -> list[str]:
    return [path.name for path in drawn.paths]


def picture(path: Path) -> str:
    return " ".join(words(ElementTree.parse(path).getroot()))


def test_without_a_format_it_is_svg(tmp_path: Path) -> None:
    drawn = made(tmp_path)
    assert drawn == Drawn((tmp_path / "lazy.svg",))
    assert "any setup · any bypass" in picture(drawn.paths[0])


def test_without_a_renderer_it_is_dot_and_text_and_a_note(tmp_path: Path) -> None:
    drawn = made(tmp_path, find=none)
    assert names(drawn) == ["lazy.gv"]
    assert (tmp_path / "lazy.gv").read_text(encoding="utf-8").startswith("digraph lazy {")
    assert drawn.text.startswith("Won't build boost\nany setup")
    assert re.search("no program here that draws pictures.*images extra", drawn.note)


def test_an_explicit_picture_without_a_renderer_is_refused(tmp_path: Path) -> None:
    for fmt in ("svg", "png", "pdf"):
        with pytest.raises(MissingError) as caught:
            made(tmp_path, fmt=fmt, find=none)
        assert caught.value.exit_code == EXIT_MISSING
    assert list(tmp_path.iterdir()) == []


def test_dot_text_needs_no_renderer_and_brings_no_text_tree(tmp_path: Path) -> None:
    def never() -> list[Renderer]:
        raise AssertionError("nobody needs a renderer for DOT text")

    assert made(tmp_path, fmt="gv", find=never) == Drawn((tmp_path / "lazy.gv",))


def test_png_is_written(tmp_path: Path) -> None:
    drawn = made(tmp_path, fmt="png")
    assert names(drawn) == ["lazy.png"]
    assert drawn.paths[0].read_bytes().startswith(b"\x89PNG")


def test_all_symptoms_and_the_names_of_files(tmp_path: Path) -> None:
    assert names(made(tmp_path, "all")) == ["lazy.svg", "overboost.svg"]
    assert names(made(tmp_path, None)) == ["lazy.svg", "overboost.svg"]
    assert names(made(tmp_path, setup="outer")) == ["lazy-outer.svg"]
    named = {"setup": "either", "gate": "internal", "bypass": "soft"}
    assert names(made(tmp_path, **named)) == ["lazy-either-internal-soft.svg"]


def test_a_setup_resolves_its_forks(tmp_path: Path) -> None:
    text = picture(made(tmp_path, setup="outer").paths[0])
    assert "What light passes?" in text
    assert "Does the flap swing?" not in text


def test_a_case_is_drawn_for_its_complaint_and_car(tmp_path: Path) -> None:
    case = replace(found(("red-flags", "none"), setup="inner"), bypass="soft")
    drawn = made(tmp_path, None, case=case)
    assert names(drawn) == ["lazy-inner-soft.svg"]
    assert HERE in picture(drawn.paths[0])
    assert "Does the flap swing?" in picture(drawn.paths[0])


def test_a_setup_that_is_named_goes_before_that_of_the_case(tmp_path: Path) -> None:
    drawn = made(tmp_path, None, case=found(), setup="outer")
    assert names(drawn) == ["lazy-outer.svg"]


def test_a_case_without_a_setup_is_drawn_for_every_car(tmp_path: Path) -> None:
    drawn = made(tmp_path, None, case=State(symptoms=("overboost",)))
    assert names(drawn) == ["overboost.svg"]
    assert HERE not in picture(drawn.paths[0])


@pytest.mark.parametrize(
    ("symptom", "named", "said"),
    [
        ("lasy", {}, "no symptom 'lasy'. Did you mean lazy"),
        ("lazy", {"setup": "out"}, "no setup 'out'"),
        ("lazy", {"setup": "either", "gate": "outer"}, "no gate 'outer'"),
        ("lazy", {"fmt": "jpeg"}, "no format 'jpeg'"),
    ],
)
def test_what_is_not_known_is_said(
    tmp_path: Path, symptom: str, named: dict[str, str], said: str
) -> None:
    with pytest.raises(UsageError, match=said) as caught:
        made(tmp_path, symptom, **named)
    assert caught.value.exit_code == EXIT_USAGE
    assert list(tmp_path.iterdir()) == []


def test_knowledge_without_symptoms_has_nothing_to_draw(tmp_path: Path) -> None:
    empty = Consultant(replace(knowledge(), symptoms={}))
    with pytest.raises(UsageError, match="nothing to draw"):
        draw(empty, "all", tmp_path)


def test_a_place_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("a file")
    with pytest.raises(MissingError, match="cannot be written"):
        made(tmp_path / "out")


def test_strange_ids_of_a_tuner_make_harmless_names(tmp_path: Path) -> None:
    book = knowledge()
    strange = replace(book, symptoms={"../../up": book.symptoms["lazy"]})
    drawn = draw(Consultant(strange), "../../up", tmp_path, find=extra)
    assert [path.parent for path in drawn.paths] == [tmp_path]


def test_the_shipped_trees_are_drawn_and_name_their_suspects(
    tmp_path: Path, shipped: Knowledge
) -> None:
    drawn = draw(
        Consultant(shipped), "all", tmp_path, setup="external-single", bypass="none", find=extra
    )
    assert len(drawn.paths) == len(shipped.symptoms)
    lazy = next(path for path in drawn.paths if path.name.startswith("lazy"))
    assert "Seat ring left out" in picture(lazy)
