"""Whether a recording can be what it should be: a petrol turbo car, logged well enough.

Each doubt is a plain sentence. Some make a log useless; the others are told, and held against what
is measured.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

from expert.evidence.log.ranks import finite, median, quantile
from expert.evidence.log.record import Recording
from expert.units import KPA_PER_PSI

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from expert.evidence.log.record import Floats

Kind = Literal[
    "no-boost",
    "no-rpm",
    "short",
    "slow",
    "units",
    "stuck",
    "never-over",
    "flat-top",
    "diesel",
    "standing",
]

# Common practice: twenty rows a second show a swing, four still show where boost stands.
_LEAST_ROWS_S: Final = 4.0
_HOPELESS_ROWS_S: Final = 1.0
_LEAST_S: Final = 3.0
# More than any road car makes; common practice. 350 kPa is about 50 psi.
_MOST_BOOST_KPA: Final = 350.0
# A sensor that reads but noise moves less than this from end to end of its middle 98 %.
_STUCK_KPA: Final = 4.0
_OVER_KPA: Final = 4.0
_WIDE_PCT: Final = 70.0
_RUNNING_RPM: Final = 500.0
_IDLE_RPM: Final = 1_300.0
_PULLING_RPM: Final = 3_000.0
# Where a petrol engine is let down, its throttle is shut and its manifold drawn down.
_DRAWN_KPA: Final = -20.0
_DIESEL_MOST_RPM: Final = 5_200.0
_FLAT_S: Final = 1.0
_FEWEST: Final = 10


@dataclass(frozen=True, slots=True)
class Doubt:
    """Something odd about a log; a ``fatal`` one makes it useless."""

    kind: Kind
    sentence: str
    fatal: bool = False


@dataclass(frozen=True, slots=True)
class Plausible:
    """Whether a log is usable, and all doubts about it, fatal ones first."""

    doubts: tuple[Doubt, ...]

    @property
    def usable(self) -> bool:
        """Can anything be measured in it?"""
        return not any(doubt.fatal for doubt in self.doubts)

    @property
    def reason(self) -> str:
        """Why it is not usable; empty where it is."""
        return next((doubt.sentence for doubt in self.doubts if doubt.fatal), "")


def plausible(recording: Recording) -> Plausible:
    """All doubts about a recording."""
    found = [*_amount(recording), *_boost(recording), *_engine(recording)]
    return Plausible(tuple(sorted(found, key=lambda doubt: not doubt.fatal)))


def _amount(recording: Recording) -> Iterator[Doubt]:
    """Rows and seconds."""
    import numpy as np

    time = recording.time_s
    length = float(time[-1] - time[0]) if len(time) else 0.0
    if length < _LEAST_S:
        sentence = f"The log lasts {length:.1f} s; a pull alone takes longer. Record a whole one."
        yield Doubt("short", sentence, fatal=True)
        return
    rate = 1.0 / median(np.diff(time))
    if rate < _HOPELESS_ROWS_S:
        sentence = (
            f"The log has a row every {1.0 / rate:.1f} s, too few to see a pull. Log fewer "
            "channels more often: ten rows a second or more."
        )
        yield Doubt("slow", sentence, fatal=True)
    elif rate < _LEAST_ROWS_S:
        sentence = (
            f"The log has {rate:.1f} rows a second. Short peaks and swings fall between them; log "
            "fewer channels more often."
        )
        yield Doubt("slow", sentence)


def _boost(recording: Recording) -> Iterator[Doubt]:
    """What the boost channel shows by itself."""
    boost = recording.values.get("boost")
    if boost is None:
        yield Doubt("no-boost", "The log has no boost that can be used.", fatal=True)
        return
    known = finite(boost)
    if len(known) < _FEWEST:
        yield Doubt("no-boost", "The boost channel has hardly any readings.", fatal=True)
        return
    low, high, top = (quantile(known, share) for share in (0.01, 0.99, 0.998))
    if top > _MOST_BOOST_KPA:
        yield Doubt("units", _too_much(recording, top), fatal=True)
        return
    if high - low < _STUCK_KPA and _driven(recording):
        sentence = (
            f"The boost sensor reads {median(known):.0f} kPa all the time, whatever the "
            "engine does: it is stuck, or its hose is off. Boost is not known from this log; it "
            "may be far higher than it reads."
        )
        yield Doubt("stuck", sentence)
        return
    yield from _never_over(recording, boost)
    yield from _flat(recording, boost, top)


def _too_much(recording: Recording, top_kpa: float) -> str:
    channel = next((one for one in recording.channels if one.id == "boost"), None)
    unit = channel.unit if channel is not None else "kPa"
    column = channel.column if channel is not None else "boost"
    return (
        f"Boost goes up to {top_kpa:.0f} kPa ({top_kpa / KPA_PER_PSI:.0f} psi) if '{column}' is in "
        f"{unit}; no road car makes that. The unit is wrong: say --channel 'boost={column}:kPa', "
        "or whichever it is."
    )


def _driven(recording: Recording) -> bool:
    """Does the engine go through its range while the throttle opens wide?"""
    import numpy as np

    rpm = recording.values.get("rpm")
    if rpm is None or not np.isfinite(rpm).any():
        return False
    return float(np.nanmax(rpm)) > _PULLING_RPM and float(np.nanmin(rpm)) < 0.6 * float(
        np.nanmax(rpm)
    )


def _wide(recording: Recording) -> NDArray[np.bool_] | None:
    """Which rows are at full throttle and above idle, as booleans; None if no channel can tell."""
    opened = recording.values.get("pedal", recording.values.get("throttle"))
    rpm = recording.values.get("rpm")
    if opened is None or rpm is None:
        return None
    wide: NDArray[np.bool_] = (opened > _WIDE_PCT) & (rpm > _PULLING_RPM)
    return wide


def _never_over(recording: Recording, boost: Floats) -> Iterator[Doubt]:
    import numpy as np

    wide = _wide(recording)
    if wide is None:
        return
    pulled = boost[wide & np.isfinite(boost)]
    if len(pulled) >= _FEWEST and quantile(pulled, 0.98) < _OVER_KPA:
        sentence = (
            "At full throttle boost never rises over outside air. Either the engine has no turbo, "
            "or the turbo does nothing, or its pressure does not reach the sensor."
        )
        yield Doubt("never-over", sentence)


def _flat(recording: Recording, boost: Floats, top: float) -> Iterator[Doubt]:
    """A top that is flat to the last digit, as the end of a sensor's range is."""
    import numpy as np

    if top < _OVER_KPA:
        return
    highest = float(np.nanmax(boost))
    at_top = np.concatenate(([False], boost >= highest - 1e-6 * max(abs(highest), 1.0), [False]))
    edges = np.flatnonzero(np.diff(at_top.astype(np.int8)))
    if len(edges) == 0:
        return
    starts, ends = edges[::2], edges[1::2] - 1
    longest = float(np.max(recording.time_s[ends] - recording.time_s[starts]))
    if longest >= _FLAT_S:
        sentence = (
            f"Boost reads exactly {highest:.0f} kPa for {longest:.1f} s: the sensor is at the end "
            "of its range. True boost may be higher."
        )
        yield Doubt("flat-top", sentence)


def _engine(recording: Recording) -> Iterator[Doubt]:
    """Whether it is an engine of the kind that all this is about."""
    import numpy as np

    rpm = recording.values.get("rpm")
    if rpm is None or not np.isfinite(rpm).any():
        yield Doubt("no-rpm", "The log has no engine speed, so no pull can be told in it.", True)
        return
    most = quantile(rpm[~np.isnan(rpm)], 0.999)
    if most < _RUNNING_RPM:
        yield Doubt("standing", "The engine does not run in this log.", fatal=True)
        return
    boost, throttle = recording.values.get("boost"), recording.values.get("throttle")
    pedal = recording.values.get("pedal")
    if boost is None or throttle is None or most > _DIESEL_MOST_RPM:
        return
    eased = (rpm > _RUNNING_RPM) & (rpm < _IDLE_RPM)
    if pedal is not None:
        eased |= (rpm > _RUNNING_RPM) & (pedal < 2.0)
    opened = throttle[eased & np.isfinite(throttle)]
    drawn = boost[eased & np.isfinite(boost)]
    if min(len(opened), len(drawn)) < _FEWEST:
        return
    if median(opened) > _WIDE_PCT and quantile(drawn, 0.1) > _DRAWN_KPA:
        sentence = (
            f"The throttle stands open at idle, the manifold is never drawn down, and the engine "
            f"turns no faster than {most:.0f} rpm: this looks like a diesel, which works by other "
            "rules. Nothing here was made for one."
        )
        yield Doubt("diesel", sentence, fatal=True)
