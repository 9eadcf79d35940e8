"""Ids made of titles."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.loading.forms import LONGEST_ID, identifier
from expert.workbench.add.naming import free_id, id_from


@pytest.mark.parametrize(
    ("title", "expected"),
    [
        ("Heat shield holds the gate rod", "heat-shield-holds-gate"),
        ("The clamp's bolt is loose", "clamps-bolt-loose"),
        ("Größe & Façade", "grosse-facade"),
        ("Unknown", "unknown-1"),
        ("???", "cause"),
        ("is it", "is-it"),
    ],
)
def test_an_id_is_made_of_the_telling_words(title: str, expected: str) -> None:
    assert id_from(title, (), "cause") == expected


def test_an_id_that_is_taken_gets_a_number() -> None:
    assert id_from("Rod off", {"rod-off", "rod-off-2"}) == "rod-off-3"
    assert free_id("x" * LONGEST_ID, {"x" * LONGEST_ID}) == "x" * (LONGEST_ID - 2) + "-2"


@given(st.text(), st.sets(st.text(alphabet="ab-1", max_size=3), max_size=5))
def test_every_title_has_an_id(title: str, taken: set[str]) -> None:
    name = id_from(title, taken)
    assert identifier(name) == name
    assert name not in taken
