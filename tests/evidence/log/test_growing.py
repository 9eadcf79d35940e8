"""Columns that grow by blocks: ``expert/evidence/log/growing.py``."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.log.growing import Growing

blocks = st.lists(st.lists(st.floats(allow_nan=False), max_size=9), max_size=12)


@given(blocks, st.lists(st.floats(0.0, 2.0), min_size=12, max_size=12))
def test_blocks_come_out_one_below_the_other(parts: list[list[float]], shares: list[float]) -> None:
    columns = Growing(2)
    for part, share in zip(parts, shares, strict=False):
        columns.add([np.array(part), -np.array(part)], share)
    whole = [value for part in parts for value in part]
    one, other = columns.taken()
    assert one.tolist() == whole
    assert other.tolist() == [-value for value in whole]


def test_room_that_was_expected_is_made_once() -> None:
    columns = Growing(1)
    columns.add([np.arange(10.0)], 0.1)
    columns.add([np.arange(90.0)], 1.0)
    (column,) = columns.taken()
    assert column.size == 100
    assert column.base is not None
    assert column.base.size < 120


def test_no_columns_and_no_blocks() -> None:
    assert Growing(0).taken() == []
    assert [len(column) for column in Growing(3).taken()] == [0, 0, 0]
