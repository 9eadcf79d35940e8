from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from expert.evidence.log import record
from expert.evidence.log.record import Measured, Recording, Span


def test_records_cannot_be_changed() -> None:
    log = Recording("x.csv", np.arange(3.0), {}, ())
    with pytest.raises(dataclasses.FrozenInstanceError):
        log.file = "y.csv"  # type: ignore[misc]
    with pytest.raises(dataclasses.FrozenInstanceError):
        Span(0.0, 1.0).from_s = 2.0  # type: ignore[misc]


def test_what_a_log_cannot_show_has_no_value() -> None:
    missing = Measured(None, why="no pull at 0 % duty")
    assert (missing.value, missing.span, missing.uncertainty) == (None, None, 0.0)


def test_numpy_is_for_types_only() -> None:
    assert record.TYPE_CHECKING is False
    assert not hasattr(record, "np")
