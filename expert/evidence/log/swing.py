"""Whether boost swings at full throttle, how fast, how far, and whether duty moves first."""

from __future__ import annotations

import math
from typing import Final, NamedTuple

from expert.evidence.log.ranks import median, quantile
from expert.evidence.log.record import Measured
from expert.evidence.log.seen import Seen
from expert.evidence.log.slopes import Z95
from expert.evidence.log.smooth import boxed
from expert.evidence.log.told import missing

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from expert.evidence.log.record import Floats

# The slowest swing that is looked for, and how many must be in a pull.
SLOWEST_S: Final = 3.0
_FEWEST: Final = 3.0
# Rows for a swing below which its size is lost: assumed, a little above the two that Nyquist asks.
_ROWS_A_SWING: Final = 2.5
_LEAST_ROWS: Final = 16
_SHORTEST_S: Final = 1.5
# What is quicker than this is no course of boost; if it is larger than this it wants a reason.
_NERVOUS_S: Final = 1.0
_NERVOUS_KPA: Final = 6.0
# No sensor has so much noise, from top to bottom.
_MOST_NOISE_KPA: Final = 20.0
IRREGULAR: Final = (
    "boost moves about without a clear rhythm, or too quickly for the rows of the log"
)
_LEAST_KPA: Final = 2.0
# Swings explain at least this share of what boost does about its course, and noise alone does so
# with no more than this chance.
_SHARE: Final = 0.35
_CHANCE: Final = 1e-3
# Swings that die away leave less than this in the second half.
_KEEPS: Final = 0.4
_FINER: Final = 8.0


class Peak(NamedTuple):
    """The strongest line of a spectrum: frequency in 1/s, amplitude, and its share of variance.

    ``doubt_hz`` is half the width of the 95 % interval of the frequency.
    """

    hz: float
    amplitude: float
    share: float
    doubt_hz: float


class Swing(NamedTuple):
    """The time of a swing, its size from top to bottom, and by how much duty moves before boost."""

    period_s: Measured
    kpa: Measured
    duty_leads_s: Measured


def spectral_peak(time_s: Floats, values: Floats, low_hz: float, high_hz: float) -> Peak | None:
    """The strongest sine in uneven samples, by the spectrum of Lomb and Scargle.

    None of fewer than 16 rows, of values without variance and of an empty range of frequencies.
    The interval is that of Montgomery and O'Donoghue, A derivation of the errors for least squares
    fitting to time series data, Delta Scuti Star Newsletter 13 (1999).
    """
    import numpy as np
    from scipy.signal import lombscargle

    lasts = float(time_s[-1] - time_s[0])
    rest = values - float(np.mean(values))
    power = float(np.mean(rest**2))
    if time_s.size < _LEAST_ROWS or power <= 0.0 or high_hz <= low_hz:
        return None
    count = max(int((high_hz - low_hz) * lasts * _FINER), 2)
    hertz = np.linspace(low_hz, high_hz, count)
    from_start = time_s - time_s[0]
    spectrum = lombscargle(from_start, rest, math.tau * hertz, floating_mean=True)
    top = int(np.argmax(spectrum))
    found = float(hertz[top])
    near = np.linspace(
        max(found - (hertz[1] - hertz[0]), low_hz / 2.0), found + (hertz[1] - hertz[0]), 41
    )
    fine = lombscargle(from_start, rest, math.tau * near, floating_mean=True)
    found = float(near[int(np.argmax(fine))])
    turns = math.tau * found * from_start
    waves = np.column_stack((np.ones_like(turns), np.cos(turns), np.sin(turns)))
    fitted, *_ = np.linalg.lstsq(waves, rest, rcond=None)
    amplitude = float(np.hypot(fitted[1], fitted[2]))
    left = float(np.mean((rest - waves @ fitted) ** 2))
    doubt = math.sqrt(6.0 / time_s.size) * math.sqrt(left) / (math.pi * lasts * amplitude)
    return Peak(found, amplitude, 1.0 - left / power, Z95 * doubt)


def chance(peak: Peak, rows: int, frequencies: float) -> float:
    """The chance that white noise makes such a peak anywhere in the spectrum.

    After Baluev, Assessing the statistical significance of periodogram peaks, Monthly Notices of
    the Royal Astronomical Society 385 (2008): so many independent trials of a beta distribution.
    """
    alone = math.pow(max(1.0 - peak.share, 0.0), (rows - 3) / 2.0)
    return min(frequencies * alone, 1.0)


def swing_of(one: Seen) -> Swing:
    """The swings of boost about its course, once it has come up."""
    import numpy as np

    trace, plateau = one.trace, one.plateau
    if plateau is None:
        return Swing(*(missing("boost was still rising when the pull ended"),) * 3)
    begins, ends = float(trace.time_s[plateau.knee]), float(trace.time_s[plateau.end - 1])
    rows = (trace.logged_s >= begins) & (trace.logged_s <= ends)
    time, boost = trace.logged_s[rows], trace.boost_kpa[rows]
    if time.size < _LEAST_ROWS:
        return Swing(*(missing("too few rows with steady full throttle"),) * 3)
    lasts = float(time[-1] - time[0])
    if lasts < _SHORTEST_S:
        return Swing(*(missing("boost was steady for too short a time to see swings"),) * 3)
    rest = boost - _course(time, boost)
    size = quantile(rest, 0.95) - quantile(rest, 0.05)
    half = time.size // 2
    early, late = (float(np.std(part)) for part in (rest[:half], rest[half:]))
    quick = rest - boxed(time, rest, time, _NERVOUS_S)
    nervous = quantile(quick, 0.95) - quantile(quick, 0.05)
    span = trace.span(plateau.knee, plateau.end - 1)
    calm = Measured(0.0, max(nervous, _LEAST_KPA), span)
    none = missing("boost does not swing")
    if size < _LEAST_KPA:
        return Swing(none, calm, none)
    irregular = Swing(*(missing(IRREGULAR),) * 3)
    quiet = Swing(none, calm, none)
    if (
        nervous > min(max(_NERVOUS_KPA, 6.0 * trace.noise_kpa), _MOST_NOISE_KPA)
        and late >= _KEEPS * early
    ):
        quiet = irregular
    low, high = _FEWEST / lasts, 1.0 / (_ROWS_A_SWING * trace.row_s)
    low = max(low, 1.0 / SLOWEST_S)
    peak = spectral_peak(time, rest, low, high)
    if peak is None or peak.share < _SHARE:
        return quiet
    if chance(peak, time.size, (high - low) * lasts) > _CHANCE:
        return quiet
    if late < _KEEPS * early:
        gone = missing("boost swings at first, and comes to rest")
        return Swing(gone, calm, gone)
    period, doubt = 1.0 / peak.hz, peak.doubt_hz / peak.hz**2
    doubt = max(doubt, _spread(time, rest, peak.hz))
    swing = Measured(size, max(Z95 * trace.noise_kpa, 0.1 * size), span)
    return Swing(Measured(period, doubt, span), swing, _leads(one, peak))


def _course(time: Floats, boost: Floats) -> Floats:
    """What boost does but for the swings: a cubic of time."""
    import numpy as np

    across = (time - time[0]) / max(float(time[-1] - time[0]), 1e-9) * 2.0 - 1.0
    powers = np.vander(across, 4)
    fitted, *_ = np.linalg.lstsq(powers, boost, rcond=None)
    course: Floats = powers @ fitted
    return course


def _spread(time: Floats, rest: Floats, hz: float) -> float:
    """Half the width of the 95 % interval of the mean time from swing to swing."""
    import numpy as np

    smooth = boxed(time, rest, time, 0.3 / hz)
    up = np.flatnonzero((smooth[:-1] < 0.0) & (smooth[1:] >= 0.0))
    if up.size < 4:
        return 0.0
    share = -smooth[up] / (smooth[up + 1] - smooth[up])
    crossings = time[up] + share * (time[up + 1] - time[up])
    gaps = np.diff(crossings)
    spread = 1.4826 * median(np.abs(gaps - median(gaps)))
    return Z95 * spread / math.sqrt(gaps.size)


def _leads(one: Seen, peak: Peak) -> Measured:
    """How long duty moves before boost, by the shift at which they go together best.

    Negative: boost moves first. Within half a swing, since a shift by a whole one looks the same.
    """
    import numpy as np

    trace, plateau = one.trace, one.plateau
    if trace.duty_pct is None or plateau is None:
        return missing("the log has no duty")
    steps = slice(plateau.knee, plateau.end)
    time = trace.time_s[steps]
    turns = math.tau * peak.hz * time
    waves = np.column_stack((np.cos(turns), np.sin(turns)))
    phases, sizes, shares = [], [], []
    for values in (trace.duty_pct[steps], trace.quick_kpa[steps]):
        rest = values - _course(time, values)
        fitted, *_ = np.linalg.lstsq(waves, rest, rcond=None)
        phases.append(math.atan2(float(fitted[1]), float(fitted[0])))
        sizes.append(float(np.hypot(fitted[0], fitted[1])))
        power = float(np.mean(rest**2))
        shares.append(float(np.mean((waves @ fitted) ** 2)) / power if power > 0.0 else 0.0)
    if sizes[0] < 1.0 or shares[0] < 0.2:
        return missing("duty does not swing with boost")
    period = 1.0 / peak.hz
    later = (phases[1] - phases[0] + math.pi) % math.tau - math.pi
    doubt = period / math.tau * math.sqrt(max(2.0 - shares[0] - shares[1], 0.0))
    span = trace.span(plateau.knee, plateau.end - 1)
    return Measured(later / math.tau * period, doubt + trace.row_s / 2.0, span)


def duty_swing_pct(one: Seen) -> float | None:
    """How far duty moves between top and bottom once boost has come up; None without duty."""

    trace, plateau = one.trace, one.plateau
    if trace.duty_pct is None or plateau is None:
        return None
    duty = trace.duty_pct[plateau.knee : plateau.end]
    return quantile(duty, 0.95) - quantile(duty, 0.05)
