"""The picture of a tree, as outside programs and an XML parser read it.

Every renderer that this machine has is tried: the one of the `images` extra is always there, since
the test extra brings it.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from expert.export import wording
from expert.export.render import Renderer
from expert.model import Ask, Suspect
from expert.text import clean
from tests.export.pictures import (
    LINK,
    RENDERERS,
    SVG,
    TITLE,
    found,
    parsed,
    source,
    spoiled,
    svg,
    words,
)
from tests.export.test_markup import HOSTILE
from tests.small import LAZY, knowledge

each_renderer = pytest.mark.parametrize("renderer", RENDERERS, ids=lambda one: one.program)


def test_the_renderer_of_the_extra_is_here() -> None:
    assert any("graphviz-pure" in one.program for one in RENDERERS)


@each_renderer
def test_questions_answers_suspects_and_cautions_are_in_the_picture(renderer: Renderer) -> None:
    lines = words(svg(source(), renderer))
    text = " ".join(" ".join(lines).split())
    for said in (
        "Won't build boost",
        "a car",
        "What light passes?",
        "first: Take the gate off (45 min)",
        "WARNING hot",
        "CAUTION heavy",
        "DANGER road",
        wording.LOADS_ENGINE,
        "One hangs loose",
        "Ring left out",
        "STOP: DO NOT DRIVE",
        wording.FORK,
        "outer gate",
        "30 min",
    ):
        assert said in text, said
    assert sum(bool(re.search(r"\d %$", line.strip())) for line in lines) >= 6


@each_renderer
def test_it_runs_left_to_right(renderer: Renderer) -> None:
    root = svg(source(), renderer)
    where = {"".join(item.itertext()): float(item.attrib["x"]) for item in root.iter(f"{SVG}text")}
    assert (
        where["What have you noticed?"] < where["What changed?"] < where["Does every hose match?"]
    )


@each_renderer
def test_the_first_answer_is_on_top(renderer: Renderer) -> None:
    root = svg(source(), renderer)
    where = {"".join(item.itertext()): float(item.attrib["y"]) for item in root.iter(f"{SVG}text")}
    assert where["All match"] < where["One hangs loose"] < where["A wrong port"]
    assert where["What have you noticed?"] < where["Where does smoke come out?"]


@each_renderer
def test_tooltips_hold_the_steps_and_the_whole_cautions(renderer: Renderer) -> None:
    tips = [item.attrib[TITLE] for item in svg(source(), renderer).iter() if TITLE in item.attrib]
    assert (
        "Follow each hose.\nCompare with the table.\nWARNING: Hot parts burn. Let them cool."
        in tips
    )
    assert "Ring left out, and what it does." in tips


@each_renderer
def test_a_shared_place_is_drawn_once_and_referred_to(renderer: Renderer) -> None:
    root = svg(source(), renderer)
    lines = [line.strip() for line in words(root)]
    assert lines.count("Where does smoke come out?") == 1
    assert lines.count("2 · air") == 3  # the frame, and a reference from either gate
    links = {item.attrib[LINK] for item in root.iter() if LINK in item.attrib}
    ids = {f"#{item.attrib['id']}" for item in root.iter() if "id" in item.attrib}
    inner = {link for link in links if link.startswith("#")}
    assert len(inner) == 1
    assert all(any(one.endswith(link[1:]) for one in ids) for link in inner)


def test_dangerous_answers_and_leaves_are_drawn_with_double_lines() -> None:
    nodes, edges = parsed(source())
    stops = [edge for edge in edges if "STOP" in edge["label"]]
    assert stops
    assert all(edge["color"].count(":") == 2 for edge in stops)
    assert not any(":" in edge.get("color", "") for edge in edges if "STOP" not in edge["label"])
    leaves = [node for node in nodes if "DO NOT DRIVE" in node["label"]]
    assert leaves
    assert all(node["peripheries"] == "2" for node in leaves)
    assert all("peripheries" not in node for node in nodes if node not in leaves)


def test_the_way_of_a_case_is_thick_and_nothing_else() -> None:
    case = found(("red-flags", "none"), ("what-changed", "nothing"), ("hose-trace", "matches"))
    text = source(cars=[case], case=case)
    nodes, edges = parsed(text)
    thick = [node for node in nodes if node.get("penwidth") == "3"]
    assert len(thick) == 4
    assert [wording.HERE in node["label"] for node in thick].count(True) == 1
    (here,) = (node for node in thick if wording.HERE in node["label"])
    assert "What light passes?" in here["label"]
    assert len([edge for edge in edges if edge.get("penwidth") == "3"]) == 3
    nodes, edges = parsed(source())
    assert not any("penwidth" in item for item in [*nodes, *edges])


def test_each_kind_of_node_has_its_shape() -> None:
    nodes, _ = parsed(source())
    shapes = Counter(node["shape"] for node in nodes)
    assert shapes["hexagon"] == 1
    assert shapes["cds"] == 2
    assert shapes["box"] > 8


def test_a_tree_of_one_leaf_is_a_picture_too() -> None:
    book = knowledge()
    leaf = replace(LAZY, tree=Suspect(("charge-leak",)), subtrees={})
    lines = words(svg(source(replace(book, symptoms={"lazy": leaf}))))
    assert "Charge pipe off" in " ".join(lines)


def test_a_tree_that_no_car_can_walk_says_so() -> None:
    book = knowledge()
    tree = Ask("smoke", {"otherwise": Suspect(("flap-stuck",))})
    lone = replace(LAZY, tree=tree, subtrees={})
    case = found()
    lines = words(svg(source(replace(book, symptoms={"lazy": lone}), cars=[case])))
    assert "No suspect fits this car" in " ".join(lines)


@each_renderer
@pytest.mark.parametrize("hostile", HOSTILE)
def test_hostile_text_is_shown_and_changes_nothing(hostile: str, renderer: Renderer) -> None:
    shown(f"x{hostile}", renderer)


# Drawing takes milliseconds, not microseconds: fewer examples than usual, and no deadline.
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.text(min_size=1, max_size=60))
def test_any_text_is_shown_and_changes_nothing(hostile: str) -> None:
    for renderer in RENDERERS:
        shown(f"x{hostile}", renderer)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.text(alphabet='\\<>"&;{}|lrnNGELT[]=-/ #', min_size=1, max_size=40))
def test_any_text_of_the_signs_of_dot_and_html_is_shown(hostile: str) -> None:
    for renderer in RENDERERS:
        shown(f"x{hostile}", renderer)


@cache
def harmless(renderer: Renderer) -> tuple[list[Any], list[Any]]:
    return parsed(source(spoiled("harmless")), renderer)


def shown(hostile: str, renderer: Renderer) -> None:
    """The text is in the picture as it is, and the graph is that of harmless text."""
    text = source(spoiled(hostile))
    nodes, edges = parsed(text, renderer)
    plain_nodes, plain_edges = harmless(renderer)
    assert len(nodes) == len(plain_nodes)
    assert [(edge["tail"], edge["head"]) for edge in edges] == [
        (edge["tail"], edge["head"]) for edge in plain_edges
    ]
    root = svg(text, renderer)
    assert {item.tag for item in root.iter()} <= {
        f"{SVG}{tag}"
        for tag in ("svg", "g", "title", "polygon", "path", "text", "a", "polyline", "ellipse")
    }
    expected = "".join(clean(hostile).split())
    assert expected in "".join("".join(words(root)).split())
    tips = [item.attrib[TITLE] for item in root.iter() if TITLE in item.attrib]
    squeezed = {"".join(tip.split()) for tip in tips}
    assert expected + expected in squeezed
