"""How cold the air was that day: the coldest intake air of a log."""

from __future__ import annotations

from typing import Final

from expert.evidence.log.ranks import quantile
from expert.evidence.log.record import Measured, Recording, Span
from expert.evidence.log.told import missing

# Every row of a few is colder than this one of them, so that a lone row does not make a frost.
_SHARE: Final = 0.02
_LEAST_ROWS: Final = 20


def coldest(recording: Recording) -> Measured:
    """The coldest intake air in degrees Celsius, bar one row in fifty.

    Air gets no colder under the bonnet, so outside air was this cold or colder. Engines warm the
    sensor, and the uncertainty is the spread of the coldest rows.
    """
    import numpy as np

    intake = recording.values.get("intake")
    if intake is None:
        return missing("the log has no intake temperature")
    rows = np.flatnonzero(np.isfinite(intake))
    if rows.size < _LEAST_ROWS:
        return missing("the log has next to no intake temperature")
    cold = intake[rows]
    found, above = (quantile(cold, share) for share in (_SHARE, 2.0 * _SHARE))
    near = rows[cold <= above]
    span = Span(float(recording.time_s[near[0]]), float(recording.time_s[near[-1]]))
    return Measured(found, above - found + 0.5, span)
