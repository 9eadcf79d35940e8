"""The cars that a drawing is for."""

from __future__ import annotations

import pytest

from expert.errors import UsageError
from expert.export.cars import cars_for
from tests.small import knowledge


def shape(**named: str) -> list[tuple[str | None, str | None, str | None]]:
    return [(car.setup, car.gate, car.bypass) for car in cars_for(knowledge(), **named)]


def test_nothing_named_is_every_car() -> None:
    assert len(shape()) == 8
    assert ("either", "external", "soft") in shape()
    assert ("outer", None, "none") in shape()


def test_what_is_named_is_fixed() -> None:
    assert shape(setup="outer", bypass="none") == [("outer", None, "none")]
    assert shape(setup="either", gate="internal") == [
        ("either", "internal", "soft"),
        ("either", "internal", "none"),
    ]


def test_a_gate_alone_leaves_the_setups_that_have_it() -> None:
    assert {setup for setup, _, _ in shape(gate="external")} == {"outer", "either"}


@pytest.mark.parametrize(
    ("named", "said"),
    [
        ({"setup": "outr"}, "no setup 'outr'"),
        ({"bypass": "sofft"}, "no bypass 'sofft'"),
        ({"setup": "outer", "gate": "internal"}, "has no internal gate"),
        ({"gate": "sideways"}, "No setup has a gate called sideways"),
    ],
)
def test_what_does_not_fit_is_said(named: dict[str, str], said: str) -> None:
    with pytest.raises(UsageError, match=said):
        cars_for(knowledge(), **named)
