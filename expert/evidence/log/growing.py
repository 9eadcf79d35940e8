"""Columns that grow by blocks of rows, without a copy of what is there already."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from expert.evidence.log.record import Floats

# Room for so much more than expected; what is never written takes no memory.
_SPARE: Final = 1.05


class Growing:
    """So many columns, with room for an expected share of rows; see `add`."""

    def __init__(self, columns: int) -> None:
        import numpy as np

        self._columns: list[Floats] = [np.empty(0) for _ in range(columns)]
        self._rows = 0

    def add(self, parts: Sequence[Floats], share: float) -> None:
        """Put a block of rows below; with it about a ``share`` of all rows, 0 to 1, is there."""
        import numpy as np

        if not parts:
            return
        rows = self._rows + len(parts[0])
        for number, part in enumerate(parts):
            column = self._columns[number]
            if len(column) < rows:
                room = max(int(rows * _SPARE / min(max(share, 1e-3), 1.0)), rows)
                wider = np.empty(room)
                wider[: self._rows] = column[: self._rows]
                self._columns[number] = column = wider
            column[self._rows : rows] = part
        self._rows = rows

    def taken(self) -> list[Floats]:
        """The columns, all of the same length; nothing can be added to them any more."""
        whole = [column[: self._rows] for column in self._columns]
        self._columns.clear()
        return whole
