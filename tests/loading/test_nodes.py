"""Text to nodes: ``expert/loading/nodes.py``."""

from __future__ import annotations

from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from expert.errors import KnowledgeError
from expert.loading import nodes
from expert.loading.nodes import TextOnly, parse
from expert.loading.syntax import DEEPEST


class PurePython(TextOnly, yaml.BaseLoader):
    """The loader of a PyYAML that was built without the C parser."""


@pytest.fixture(params=["c", "python"])
def loader(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """Both parsers of PyYAML, one after the other."""
    if request.param == "python":
        monkeypatch.setattr(nodes, "_Loader", PurePython)
    elif not yaml.__with_libyaml__:
        pytest.skip("this PyYAML has no C parser")
    return str(request.param)


def plain(node: yaml.Node | None) -> Any:
    """A node as lists of pairs, lists and texts."""
    if isinstance(node, yaml.MappingNode):
        return [(plain(key), plain(value)) for key, value in node.value]
    if isinstance(node, yaml.SequenceNode):
        return [plain(item) for item in node.value]
    return None if node is None else node.value


def refusals(text: str) -> list[str]:
    try:
        return [str(mistake) for mistake in parse(text, "f")[1]]
    except KnowledgeError as error:
        return [str(mistake) for mistake in error.mistakes]


@pytest.mark.usefixtures("loader")
def test_every_text_stays_a_text() -> None:
    # What YAML 1.1 would take for a boolean, a number in base 60, an octal number, a date or null.
    text = "[no, on, y, 1:30, 017, 2024-01-01, ~, null, .5, <<]"
    root, mistakes = parse(text, "f")
    assert mistakes == []
    assert plain(root) == ["no", "on", "y", "1:30", "017", "2024-01-01", "~", "null", ".5", "<<"]


@pytest.mark.usefixtures("loader")
def test_positions_count_characters() -> None:
    root, _ = parse("größe:\n  - ä: öü\n", "f")
    assert isinstance(root, yaml.MappingNode)
    item = root.value[0][1].value[0]
    value = item.value[0][1]
    assert (value.start_mark.line, value.start_mark.column) == (1, 7)


@pytest.mark.usefixtures("loader")
def test_comments_alone_give_no_node() -> None:
    assert parse("# nothing\n", "f") == (None, [])


@pytest.mark.usefixtures("loader")
@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a: &x b", ["f:1:4: the anchor &x is not allowed; delete it"]),
        ("a:\n  - &x [b]\n", ["f:2:5: the anchor &x is not allowed; delete it"]),
        (
            "a: &x b\nc: *x",
            [
                "f:1:4: the anchor &x is not allowed; delete it",
                "f:2:4: the alias *x is not allowed; write it out, or put a text that begins"
                " with a star in quotes",
            ],
        ),
        (
            "&x [*x]",
            [
                "f:1:1: the anchor &x is not allowed; delete it",
                "f:1:5: the alias *x is not allowed; write it out, or put a text that begins"
                " with a star in quotes",
            ],
        ),
        (
            "a: !!python/name:os.system b",
            [
                "f:1:4: the tag tag:yaml.org,2002:python/name:os.system is not allowed; put a text"
                " that begins with an exclamation mark in quotes"
            ],
        ),
        (
            "a: ! b",
            [
                "f:1:4: the tag ! is not allowed; put a text that begins with an exclamation"
                " mark in quotes"
            ],
        ),
        ("%YAML 1.1\n---\na: b", ["f:1:1: a directive (%) is not allowed; delete it"]),
        ("a: b\n---\nc: d", ["f:2:1: a second document begins here; a file holds one"]),
        ("a: b\n...\n---\nc: d", ["f:3:1: a second document begins here; a file holds one"]),
        ('a: "\\e[31m"', ["f:1:4: this text writes the invisible character U+001B; delete it"]),
        ('"a\\u202e": b', ["f:1:1: this text writes the invisible character U+202E; delete it"]),
        ('a: "\\t"', ["f:1:4: this text writes the invisible character U+0009; delete it"]),
    ],
)
def test_refused_parts_of_yaml(text: str, expected: list[str]) -> None:
    assert refusals(text) == expected


@pytest.mark.usefixtures("loader")
@pytest.mark.parametrize(
    "text",
    [
        "---\na: b\n",
        "a: nuts & bolts, 2 * 3, stop!\n",
        "a: 'C:\\dir'\n",
        "a: '*' # & !\n",
        'a: "caf\\u00e9"\n',
        "a: b\n...\n",
    ],
)
def test_what_only_looks_unusual_is_accepted(text: str) -> None:
    assert refusals(text) == []


# In YAML these nest as deep as the file is long; composing them would overflow the C stack.
BOTTOMLESS = {
    "flow lists": "[" * 100_000,
    "closed flow lists": "[" * 100_000 + "]" * 100_000,
    "flow mappings": "{a: " * 100_000,
    "lists on one line": "- " * 100_000,
    "keys on one line": "? " * 100_000,
    "flow lists hidden by comments": "[ # ]\n" * 100_000,
    "flow lists hidden by quotes": '["\n]", ' * 100_000,
    "indented lists": "".join(" " * depth + "-\n" for depth in range(1000)),
    "indented mappings": "".join(" " * depth + "a:\n" for depth in range(1000)),
    "lists at the indent of mappings": "".join(
        " " * depth + "- a:\n" + " " * (depth + 2) + "- b\n" for depth in range(0, 1000, 2)
    ),
}


@pytest.mark.usefixtures("loader")
@pytest.mark.parametrize("shape", BOTTOMLESS)
def test_bottomless_nesting_is_refused(shape: str, loader: str) -> None:
    text = BOTTOMLESS[shape]
    if loader == "python":
        # The same thousands of levels, in a size that the slow parser looks ahead through.
        text = text[:20_000]
    (mistake,) = refusals(text)
    assert mistake.endswith(f"nested deeper than {DEEPEST} levels")


@pytest.mark.usefixtures("loader")
@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("[" * 21 + "]" * 21, "f:1:21"),
        ("- " * 21 + "x", "f:1:41"),
        ("".join("  " * depth + "a:\n" for depth in range(22)), "f:21:41"),
        ("a: " + "[{a: " * 10 + "1" + "}]" * 10, "f:1:50"),
    ],
)
def test_the_first_level_too_deep_is_pointed_at(text: str, place: str) -> None:
    assert refusals(text) == [f"{place}: nested deeper than 20 levels"]


@pytest.mark.usefixtures("loader")
@pytest.mark.parametrize(
    "text",
    [
        "[" * 20 + "]" * 20,
        "- " * 20 + "x",
        "".join("  " * depth + "a:\n" for depth in range(20)),
        "a: " + "[{a: " * 9 + "[1]" + "}]" * 9,
    ],
)
def test_twenty_levels_are_accepted(text: str) -> None:
    assert refusals(text) == []


YAML_LIKE = st.lists(
    st.sampled_from(
        [
            "a",
            "b: c",
            ": ",
            "- ",
            "? ",
            "[",
            "]",
            "{",
            "}",
            ", ",
            "\n",
            "\n  ",
            "\n    ",
            "#",
            " ",
            "'",
            '"',
            "&x ",
            "*x",
            "!t ",
            "|",
            ">-",
            "%",
            "---\n",
            "...\n",
            "\\",
            "@",
            "0",
            "é",
        ]
    ),
    max_size=40,
).map("".join)


@given(YAML_LIKE)
def test_yaml_like_text_gives_nodes_or_mistakes_inside_it(text: str) -> None:
    if not text.strip():
        return
    try:
        root, mistakes = parse(text, "f")
    except KnowledgeError as error:
        mistakes = error.mistakes
        assert mistakes
    else:
        # The reference: PyYAML's own composer. It has the same parser, since the C parser takes
        # some texts ("|#") that the Python parser does not.
        reference = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
        assert plain(root) == plain(yaml.compose(text, Loader=reference))
    lines = text.split("\n")
    for mistake in mistakes:
        assert 1 <= mistake.place.line <= len(lines)
        assert 1 <= mistake.place.column <= len(lines[mistake.place.line - 1]) + 1


NESTED = st.recursive(
    st.sampled_from(["x", "'[a'", '"]}"', "b # [\n"]),
    lambda inner: st.one_of(
        st.lists(inner, min_size=1, max_size=3).map(lambda items: "[" + ",\n".join(items) + "\n]"),
        inner.map(lambda item: f"{{k: {item}\n}}"),
    ),
    max_leaves=40,
)


@given(NESTED)
def test_the_bound_is_never_below_the_depth(text: str) -> None:
    depth = deepest = 0
    for event in yaml.parse(text, Loader=yaml.BaseLoader):
        depth += isinstance(event, yaml.CollectionStartEvent)
        depth -= isinstance(event, yaml.CollectionEndEvent)
        deepest = max(deepest, depth)
    assert nodes._depth_bound(f"\n{text}") >= deepest
