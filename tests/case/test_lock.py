"""A second writer is refused; the lock goes with the file."""

from __future__ import annotations

from pathlib import Path

import pytest

from expert.case.lock import lock_exclusively
from expert.errors import GatepostError


def test_one_writer_at_a_time(tmp_path: Path) -> None:
    path = tmp_path / "a"
    with path.open("a+b") as first:
        lock_exclusively(first, path)
        with (
            path.open("a+b") as second,
            pytest.raises(GatepostError, match="another Gatepost has this case open"),
        ):
            lock_exclusively(second, path)
    with path.open("a+b") as third:
        lock_exclusively(third, path)
        third.write(b"still usable")
    assert path.read_bytes() == b"still usable"
