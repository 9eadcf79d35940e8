"""Mixture, knock and intake air at full throttle."""

from __future__ import annotations

from collections.abc import Sequence

from expert.evidence.log.ranks import median, quantile
from expert.evidence.log.record import Measured, Recording
from expert.evidence.log.seen import Seen
from expert.evidence.log.told import NO_PULL, missing, surest


def under_load(recording: Recording, pulls: Sequence[Seen], channel: str, share: float) -> Measured:
    """A quantile of a channel at full throttle, the surest one of the pulls.

    ``share`` is 0 to 1; the uncertainty is the spread of a row.
    """
    import numpy as np

    values = recording.values.get(channel)
    if values is None:
        return missing(f"the log has no {channel}")
    if not pulls:
        return missing(NO_PULL)
    found = []
    for one in pulls:
        trace = one.trace
        span = trace.span(trace.begin, trace.end - 1)
        first, last = np.searchsorted(recording.time_s, (span.from_s, span.to_s))
        rows = values[first : last + 1]
        rows = rows[np.isfinite(rows)]
        if rows.size < 3:
            continue
        spread = 1.4826 * median(np.abs(rows - median(rows)))
        found.append(Measured(quantile(rows, share), spread, span))
    return surest(found, f"the log has no {channel} at full throttle")
