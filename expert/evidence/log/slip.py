"""Rpm that rises without road speed: a clutch that slips."""

from __future__ import annotations

from typing import Final

from expert.evidence.log.ranks import median
from expert.evidence.log.record import Measured, Span
from expert.evidence.log.slopes import Z95
from expert.evidence.log.smooth import boxed, noise
from expert.evidence.log.told import missing
from expert.evidence.log.trace import Trace

_WIDTH_S: Final = 0.4
_LEAST_KM_H: Final = 15.0
_LEAST_S: Final = 1.0
# Where so much of the rise has come about, it has begun.
_BEGINS: Final = 0.1


def slip_of(trace: Trace) -> Measured:
    """By how much per cent rpm rises over road speed within a pull, from its lowest before.

    Only a rise counts: a speed that lags behind makes the ratio fall as the car gains speed.
    """
    import numpy as np

    if trace.rpm is None or trace.speed_km_h is None:
        return missing("the log has no rpm" if trace.rpm is None else "the log has no road speed")
    speed, rpm = (values[trace.begin : trace.end] for values in (trace.speed_km_h, trace.rpm))
    rolling = np.flatnonzero((speed >= _LEAST_KM_H) & (rpm > 0.0))
    if rolling.size * trace.step_s < _LEAST_S:
        return missing("the car hardly moved")
    time = trace.time_s[trace.begin : trace.end][rolling]
    rough = rpm[rolling] / speed[rolling]
    ratio = boxed(time, rough, time, _WIDTH_S)
    risen = ratio / np.minimum.accumulate(ratio) - 1.0
    most = int(np.argmax(risen))
    least = int(np.flatnonzero(risen[: most + 1] <= _BEGINS * risen[most])[-1])
    smoothed = max(_WIDTH_S / max(trace.row_s, trace.step_s), 1.0)
    doubt = Z95 * 1.5 * noise(rough) / median(ratio) / np.sqrt(smoothed) + 0.005
    span = Span(float(time[least]), float(time[most]))
    return Measured(100.0 * float(risen[most]), 100.0 * float(doubt), span)
