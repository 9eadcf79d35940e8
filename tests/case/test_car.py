"""The parts of a car follow from its setup, gate and bypass."""

from __future__ import annotations

import pytest

from expert.case.car import gate_missing, parts_of
from expert.errors import UsageError
from tests.small import knowledge


def test_parts_of_setup_gate_and_bypass() -> None:
    assert parts_of(knowledge(), "outer", None, None) == {"turbo", "external-gate"}
    assert parts_of(knowledge(), "outer", "external", "none") == {"turbo", "external-gate"}
    assert parts_of(knowledge(), "either", "internal", "soft") == {
        "turbo",
        "internal-gate",
        "soft-bypass",
    }


def test_a_gate_is_missing_only_where_the_setup_leaves_it_open() -> None:
    assert gate_missing(knowledge(), "either", None)
    assert not gate_missing(knowledge(), "either", "internal")
    assert not gate_missing(knowledge(), "outer", None)


def test_a_setup_that_leaves_the_gate_open_asks_for_it() -> None:
    with pytest.raises(UsageError, match="--gate internal or external"):
        parts_of(knowledge(), "either", None, None)
