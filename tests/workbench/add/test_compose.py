"""Entries as text: they load back to what went in, and look like the shipped ones."""

from __future__ import annotations

import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from expert.loading.entries import Entries, Source
from expert.loading.kinds import KINDS
from expert.workbench.add.compose import WIDTH, entry_text, folded, row_text, scalar, tidy

# Everything that YAML could take for something else, and much that nobody types on purpose.
NASTY = st.sampled_from(
    [
        *"-?:,[]{}#&*!|>'\"%@`~=<.",
        "---",
        "...",
        "- ",
        ": ",
        " #",
        "null",
        "no",
        "~",
        "0x1F",
        "1e3",
        ".5",
        "2026-01-01",
        "<<",
        "\\",
        "\n",
        "\t",
        "\r",
        "\u2028",
        "\ufeff",
        "\u200b",
        "\x1b[31m",
        "é",
        "日本語",
        "word " * 40,
        "w" * 120,
    ]
)
TEXTS = st.lists(st.one_of(NASTY, st.text(max_size=12)), max_size=12).map("".join)
PROSE = TEXTS.map(tidy).filter(bool)


@settings(max_examples=300, deadline=None)
@given(title=PROSE, what=PROSE, steps=st.lists(PROSE, min_size=1, max_size=4), look=PROSE)
def test_any_text_loads_back(title: str, what: str, steps: list[str], look: str) -> None:
    text = entry_text(
        "one",
        {
            "ask": title,
            "how": tuple(steps),
            "minutes": "2.5",
            "answers": {"well": what, "ill": look},
            "healthy": {"ill": ".05"},
            "basis": what,
        },
    )
    entries = Entries()
    entries.begin_folder()
    entries.add(Source(KINDS["check"], "any", "any.yaml"), text)
    assert entries.mistakes == []
    assert all(reading.mistakes == [] for reading in entries.readings)
    check = entries.values("check")["one"]
    assert (check.ask, check.how, check.basis) == (title, tuple(steps), what)
    assert check.answers == {"well": what, "ill": look}
    assert (check.minutes, check.healthy) == (2.5, {"ill": 0.05})


@settings(max_examples=200, deadline=None)
@given(text=PROSE)
def test_other_parsers_read_the_same(text: str) -> None:
    # PyYAML's own loader, which asks what a text looks like; as a text it must come back.
    made = entry_text("one", {"text": text, "list": (text, "b"), "row": {"a": text}})
    assert yaml.load(made, Loader=yaml.BaseLoader) == {
        "one": {"text": text, "list": [text, "b"], "row": {"a": text}}
    }


@settings(max_examples=200, deadline=None)
@given(text=PROSE)
def test_no_line_is_wider_than_the_page_unless_a_word_is(text: str) -> None:
    made = entry_text("one", {"what": text})
    longest = max(len(word) for word in text.split(" "))
    for line in made.splitlines():
        assert len(line) <= max(WIDTH, longest + len("  what: ") + 2 * text.count("'") + 2)


def test_the_style_of_the_house() -> None:
    long = "A long text " + "that goes on " * 8 + "to its end."
    made = entry_text(
        "one",
        {
            "title": "Short",
            "what": long,
            "needs": ("internal-gate",),
            "how": ("Look.", long),
            "answers": {"a": "x", "b": "y"},
            "given": {"as-designed:it": {"a": ".5", "b": "probable"}},
        },
    )
    assert made.splitlines() == [
        "one:",
        "  title: Short",
        "  what: >-",
        *folded(long, 4),
        "  needs: [internal-gate]",
        "  how:",
        "    - Look.",
        "    - >-",
        *folded(long, 6),
        "  answers:",
        "    a: x",
        "    b: y",
        "  given:",
        "    as-designed:it: {a: .5, b: probable}",
    ]


def test_long_lists_stand_in_lines_of_their_own() -> None:
    items = tuple(f"item-number-{number}" for number in range(12))
    lines = entry_text("one", {"tools": items}).splitlines()
    assert lines == ["one:", "  tools:", *(f"    - {item}" for item in items)]


def test_quotes_only_where_they_are_needed() -> None:
    for text in ["A lamp", "5 mm", "don't", "a:b", "C#", ".5", "Größe"]:
        assert scalar(text) == text
    for text in [
        "a: b",
        "a #b",
        "- a",
        "a:",
        "'a'",
        '"a"',
        "*a",
        "[a",
        "#",
        "!a",
        "@a",
        "%a",
        "&a",
    ]:
        assert scalar(text) == "'" + text.replace("'", "''") + "'"


def test_a_row() -> None:
    assert (
        row_text({"held": "almost-certain", "rubs": ".05"}) == "{held: almost-certain, rubs: .05}"
    )


def test_tidy_leaves_one_line_of_visible_text() -> None:
    assert tidy("  a\tb\r\nc\u200b\x1b[31md\x00 ") == "a b cd"
