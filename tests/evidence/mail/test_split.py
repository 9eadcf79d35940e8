"""Own words apart from quoted ones and signatures: ``expert/evidence/mail/split.py``."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.mail.split import own_text, parts_of


def own(text: str) -> str:
    return "|".join(piece.strip() for _, piece in own_text(text, parts_of(text)) if piece.strip())


@pytest.mark.parametrize(
    ("text", "mine"),
    [
        ("no boost\n\n> does it click?\nyes it clicks", "no boost|yes it clicks"),
        ("it creeps\n\nOn Mon, 2 Mar 2026, Desk wrote:\n> which gate?", "it creeps"),
        ("it creeps\n\n-----Original Message-----\nFrom: Desk\nwhich gate?", "it creeps"),
        ("it creeps\n\nFrom: Desk\nSent: Monday\nTo: me\n\nwhich gate?", "it creeps"),
        ("it creeps\n-- \nRobin\novertuned", "it creeps"),
        ("it creeps\n\nCheers\nRobin", "it creeps"),
        ("it creeps\n\nSent from my telephone", "it creeps"),
        ("thanks for that\nit creeps now", "thanks for that\nit creeps now"),
        (
            "please answer\n\n---- Forwarded message ----\nFrom: A\nSubject: b\n\nit creeps",
            "please answer|it creeps",
        ),
    ],
)
def test_what_is_written_now(text: str, mine: str) -> None:
    assert own(text) == mine


@given(
    st.lists(st.sampled_from(["> a", "b", "", "-- ", "From: x", "Cheers", "To: y"]), max_size=12)
)
def test_the_parts_are_the_whole_text(lines: list[str]) -> None:
    text = "\n".join(lines)
    parts = parts_of(text)
    assert "".join(text[part.start : part.end] for part in parts) == text


@given(st.text(">-_ \nFrom:onwrote0123", max_size=300))
def test_any_text_has_parts(text: str) -> None:
    for start, piece in own_text(text, parts_of(text)):
        assert text[start : start + len(piece)] == piece


@pytest.mark.parametrize("line", ["_" * 50_000, "on " * 20_000, "> " * 20_000, "-" * 50_000])
def test_endless_lines_are_looked_at_only_at_their_beginning(line: str) -> None:
    assert parts_of(f"{line}\n{line}")
