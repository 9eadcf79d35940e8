"""Where boost stops rising in a pull, and the level at which it settles."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from expert.evidence.log.ranks import median, quantile
from expert.evidence.log.slopes import middle, theil_sen
from expert.evidence.log.trace import Trace

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from expert.evidence.log.record import Floats

# Boost has stopped rising when its rate has fallen to this share of the fastest rise, or below
# this rate, which noise alone may make: assumed.
_STOPPED: Final = 0.15
_STILL_KPA_S: Final = 3.0
_SOON: Final = 0.4
_RATE_S: Final = 0.15
# A rise of less is none.
_RISE_KPA: Final = 8.0
# A plateau of less tells nothing.
_LEAST_S: Final = 0.6
# An overshoot is given this time to settle, or a third of the plateau if that is shorter; after it
# the level is taken over this time.
SETTLE_S: Final = 0.8
_LEVEL_S: Final = 1.5
# A plateau that ends no further than this from where it settled is one level throughout.
_SAME_KPA: Final = 4.0


@dataclass(frozen=True, slots=True)
class Plateau:
    """From ``knee``, the step at which boost stops rising, up to ``end``.

    From ``settled`` on an overshoot is over. ``level_kpa`` is where it settles, with half the
    width of its 95 % interval, found up to step ``until``. ``rate_kpa_s`` is the fastest rise.
    """

    knee: int
    settled: int
    until: int
    end: int
    level_kpa: float
    uncertainty_kpa: float
    rate_kpa_s: float


def plateau_of(trace: Trace) -> Plateau | None:
    """The plateau of a pull; None where boost rose until the end, or the rest is too short."""
    import numpy as np

    knee, rate = _knee(trace)
    if knee is None:
        return None
    end = trace.end
    lasts = (end - 1 - knee) * trace.step_s
    if lasts < _LEAST_S or end - knee < 4:
        return None
    settled = knee + round(min(SETTLE_S, lasts / 3.0) / trace.step_s)
    near = min(settled + max(round(_LEVEL_S / trace.step_s), 3), end)
    level, spread = middle(trace.level_kpa[settled:near], trace.independent(settled, near))
    whole, wide = middle(trace.level_kpa[settled:end], trace.independent(settled, end))
    last = median(trace.level_kpa[max(end - (near - settled), settled) : end])
    until = near
    if abs(last - level) <= _SAME_KPA or swings(trace.level_kpa[settled:end]):
        level, spread, until = whole, wide, end
    spread = max(spread, 2.0 * trace.noise_kpa / np.sqrt(trace.independent(settled, until)))
    return Plateau(knee, settled, until, end, level, float(spread), rate)


def _knee(trace: Trace) -> tuple[int | None, float]:
    """The step at which boost stops rising, and the fastest rise before it."""
    import numpy as np

    begin, end = trace.begin, trace.end
    level = trace.level_kpa[begin:end]
    if level.size < 4:
        return None, 0.0
    wide = max(round(_RATE_S / trace.step_s), 1)
    top = quantile(level, 0.95)
    rise = top - float(level[0])
    reach = min(wide, level.size // 2)
    rates = np.zeros(level.size)
    rates[reach:-reach] = (level[2 * reach :] - level[: -2 * reach]) / (2.0 * reach * trace.step_s)
    rates[:reach], rates[-reach:] = rates[reach], rates[-reach - 1]
    if rise < _RISE_KPA:
        return begin, 0.0
    most_at = int(np.argmax(level >= float(level[0]) + 0.9 * rise))
    fastest = int(np.argmax(rates[: most_at + 1]))
    most = float(rates[fastest])
    stopped = max(_STOPPED * most, min(_STILL_KPA_S, _SOON * most))
    still = np.flatnonzero(rates[fastest:] < stopped)
    if not still.size:
        return None, most
    return begin + fastest + int(still[0]), most


def swings(level: Floats) -> bool:
    """Does boost cross its own middle so often that no part of it stands for the whole?"""
    import numpy as np

    line = theil_sen(np.arange(float(level.size)), level)
    if line is None:
        return False
    rest = level - (line.intercept + line.slope * np.arange(float(level.size)))
    size = quantile(np.abs(rest), 0.8)
    beyond = np.where(np.abs(rest) > 0.5 * size, np.sign(rest), 0.0)
    signs = beyond[beyond != 0.0]
    return size > 3.0 and int(np.sum(np.diff(signs) != 0.0)) >= 6
