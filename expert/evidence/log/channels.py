"""Which column of a file is which channel, with how sure that is and why."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from expert.evidence.log.guess import guess, in_range
from expert.evidence.log.names import Fit, Lexicon, common_words
from expert.evidence.log.overrides import Chosen, Override, chosen
from expert.evidence.log.record import Channel, Header
from expert.evidence.log.units import BY_NAME, Unit, no_unit, parse_unit
from expert.model import LogChannel
from expert.text import clean

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from expert.evidence.log.record import Floats

TIME: Final = "time"
RPM: Final = "rpm"
BOOST: Final = "boost"
# A fit below this is none.
FLOOR: Final = 0.3
# A rival this close could be meant as well.
CLOSE: Final = 0.08
_MOST_SURE: Final = 0.99
_MISMATCH: Final = 0.02
_UNKNOWN_UNIT: Final = 0.8
_MOST_RIVALS: Final = 12
_SAME: Final = 0.98
_SHOWN: Final = 60
# A unit stuck to a name in capitals of its own, as in MAPkPa.
_STUCK: Final = re.compile(r"(?<=[A-Za-z])(kPa|hPa|mbar|mBar|Psi|PSI|Bar|Pct|DegC|Kph|Kmh|Mph)$")


@dataclass(frozen=True, slots=True)
class Pick:
    """A channel, the number of its column, and its unit; None where only the data can say."""

    channel: Channel
    column: int
    unit: Unit | None


@dataclass(frozen=True)
class Assigned:
    """The columns that were found, by channel id, and what there is to say about the rest."""

    picks: Mapping[str, Pick]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Candidate:
    channel: str
    column: int
    fit: Fit
    unit: Unit | None
    score: float
    because: str


@dataclass(frozen=True)
class _File:
    headers: Sequence[Header]
    sample: Callable[[int], Floats]
    channels: Mapping[str, LogChannel]
    lexicon: Lexicon
    samples: dict[int, Floats] = field(default_factory=dict)

    def values(self, column: int) -> Floats:
        if column not in self.samples:
            self.samples[column] = self.sample(column)
        return self.samples[column]


def assign(
    headers: Sequence[Header],
    sample: Callable[[int], Floats],
    channels: Mapping[str, LogChannel],
    asked: Mapping[str, Override] | None = None,
) -> Assigned:
    """Find the column of each channel.

    ``sample`` gives some values of a column, those of all columns from the same rows; it is called
    for columns that may be meant only. What a user ``asked`` for is done first. The order of the
    columns does not matter. Raises OverrideError where that cannot be done.
    """
    file = _File(headers, sample, channels, Lexicon(channels))
    known = [name for name, channel in channels.items() if not channel.aside]
    told = chosen(asked or {}, headers, known)
    picks = {name: _told(file, name, one) for name, one in told.items()}
    taken = {one.column for one in told.values()}
    candidates = _candidates(file, set(told), taken)
    first = _greedy(file, candidates, dict(picks))
    candidates = [_with_activity(file, one, first) for one in candidates]
    best = _greedy(file, candidates, dict(picks))
    notes: list[str] = []
    for name, candidate in best.items():
        rivals = _rivals(candidate, candidates, best, taken)
        pick, note = _picked(file, candidate, rivals)
        picks[name] = pick
        notes += note
    notes += _passed_over(file, picks, known)
    in_order = {name: picks[name] for name in channels if name in picks}
    return Assigned(in_order, tuple(notes))


def unit_of(header: Header) -> tuple[str, Unit | None, bool]:
    """The name of a column without a unit stuck to it, its unit, and whether one is written."""
    stuck = _STUCK.search(header.name)
    if no_unit(header.unit) and stuck is not None:
        return header.name[: stuck.start()], parse_unit(stuck[1]), True
    return header.name, parse_unit(header.unit), not no_unit(header.unit)


def _told(file: _File, name: str, one: Chosen) -> Pick:
    header = file.headers[one.column]
    unit = one.unit
    because = "you said so"
    if unit is None:
        unit = unit_of(header)[1]
        if unit is None:
            found = guess(file.values(one.column), file.channels[name])
            unit = found.unit
            because = f"you said so; {found.because}" if found.because else because
    return Pick(_channel(name, header, unit, 1.0, because), one.column, unit)


def _channel(name: str, header: Header, unit: Unit | None, sure: float, because: str) -> Channel:
    shown = clean(header.unit, 20) if unit is None else unit.name
    reference = None if unit is None else unit.reference
    return Channel(name, header.name, shown, sure, because, reference)


def _candidates(file: _File, done: set[str], taken: set[int]) -> list[_Candidate]:
    """All columns that fit a channel by name, with what unit and values say of them."""
    common = common_words([header.name for header in file.headers])
    by_channel: dict[str, list[tuple[Fit, int]]] = {}
    for column, header in enumerate(file.headers):
        if column not in taken:
            for fit in file.lexicon.fits(unit_of(header)[0], common):
                if fit.share >= FLOOR and fit.channel not in done:
                    by_channel.setdefault(fit.channel, []).append((fit, column))
    found = []
    for name, pairs in by_channel.items():
        channel = file.channels[name]
        pairs.sort(key=lambda pair: (-pair[0].share, *_label(file, pair[1])))
        for fit, column in pairs if channel.aside else pairs[:_MOST_RIVALS]:
            found.append(_candidate(file, channel, fit, column))
    return [one for one in found if one.score >= FLOOR]


def _label(file: _File, column: int) -> tuple[str, str]:
    header = file.headers[column]
    return header.name, header.unit


def _candidate(file: _File, channel: LogChannel, fit: Fit, column: int) -> _Candidate:
    header = file.headers[column]
    _, unit, written = unit_of(header)
    name = f"named like '{fit.name}'" if fit.exact else f"its name holds '{fit.name}'"
    if channel.aside:
        return _Candidate(fit.channel, column, fit, unit, fit.share, name)
    values = file.values(column)
    share, because = 1.0, name
    if unit is not None:
        share = _suits(unit, channel)
        because = f"{name}, in {unit.name}"
    else:
        found = guess(values, channel)
        unit, share = found.unit, found.certainty if found.because else 0.9
        if written and channel.quantity != "any":
            share *= _UNKNOWN_UNIT
            because += f"; its unit '{clean(header.unit, 20)}' is not known here"
        because += f"; {found.because}" if found.because else ""
    inside = in_range(values, unit, channel)
    if inside < 0.9:
        because += f"; {100 * (1 - inside):.0f} % of its values are out of range"
    share *= 0.4 + 0.6 * inside
    return _Candidate(fit.channel, column, fit, unit, fit.share * share, because)


def _suits(unit: Unit, channel: LogChannel) -> float:
    """How well a unit suits what a channel measures."""
    if channel.quantity == "any":
        return 1.0
    if unit.measures == channel.quantity:
        return 1.0
    if unit.measures == "angle" and "deg" in channel.units:
        return 0.95
    return _MISMATCH


def _with_activity(file: _File, one: _Candidate, best: Mapping[str, _Candidate]) -> _Candidate:
    """A manifold pressure follows the throttle; a column that does not is a little less likely."""
    guide = next((best[name] for name in ("throttle", "pedal", RPM) if name in best), None)
    if one.channel != BOOST or guide is None or guide.column == one.column:
        return one
    follows = abs(_correlation(file.values(one.column), file.values(guide.column)))
    return _Candidate(
        one.channel,
        one.column,
        one.fit,
        one.unit,
        one.score * (0.96 + 0.04 * follows),
        one.because,
    )


def _greedy(
    file: _File, candidates: Sequence[_Candidate], done: Mapping[str, Pick]
) -> dict[str, _Candidate]:
    """The best candidate of each channel; a column has one meaning, and asides may have many."""
    used: set[int] = {pick.column for pick in done.values()}
    best: dict[str, _Candidate] = {}
    for one in sorted(candidates, key=lambda one: _order(file, one)):
        aside = file.channels[one.channel].aside
        if one.column in used or (one.channel in best and not aside):
            continue
        used.add(one.column)
        if not aside:
            best[one.channel] = one
    return best


def _order(file: _File, one: _Candidate) -> tuple[object, ...]:
    values = file.values(one.column) if not file.channels[one.channel].aside else None
    # Two columns of one name: the fuller and then the larger one, whatever their order.
    return (
        -round(one.score, 3),
        one.fit.rank,
        *_label(file, one.column),
        -_count(values),
        -_total(values),
        one.channel,
    )


def _count(values: Floats | None) -> int:
    import numpy as np

    return 0 if values is None else int(np.isfinite(values).sum())


def _total(values: Floats | None) -> float:
    import numpy as np

    return 0.0 if values is None else float(np.sum(values[np.isfinite(values)]))


def _rivals(
    one: _Candidate,
    candidates: Sequence[_Candidate],
    best: Mapping[str, _Candidate],
    taken: set[int],
) -> list[_Candidate]:
    """Other columns that might be the channel as well, and have no better use."""
    used = {other.column for other in best.values()} | taken
    return [
        other
        for other in candidates
        if other.channel == one.channel
        and other.column not in used
        and other.score >= one.score - CLOSE
    ]


def _picked(
    file: _File, one: _Candidate, rivals: Sequence[_Candidate]
) -> tuple[Pick, tuple[str, ...]]:
    header = file.headers[one.column]
    sure = min(one.score, _MOST_SURE)
    because = one.because
    notes: tuple[str, ...] = ()
    values = file.values(one.column)
    other = [rival for rival in rivals if _correlation(values, file.values(rival.column)) < _SAME]
    if one.channel != TIME and other:
        sure *= 0.65
        names = ", ".join(f"'{clean(file.headers[one.column].name, _SHOWN)}'" for one in other[:3])
        because += f"; {names} could be meant as well"
        notes = (
            f"{file.channels[one.channel].title}: '{clean(header.name, _SHOWN)}' was taken, but "
            f"{names} differs from it and could be meant; "
            f"--channel {one.channel}=COLUMN decides.",
        )
    elif rivals and one.channel != TIME:
        because += "; another column says the same"
    return Pick(_channel(one.channel, header, one.unit, sure, because), one.column, one.unit), notes


def _correlation(one: Floats, other: Floats) -> float:
    """Pearson's correlation of two columns where both have values; 0 where one never changes."""
    import numpy as np

    both = np.isfinite(one) & np.isfinite(other) if len(one) == len(other) else np.zeros(0, bool)
    if int(both.sum()) < 3:
        return 0.0
    a, b = one[both], other[both]
    if np.ptp(a) == 0.0 or np.ptp(b) == 0.0:
        return 0.0
    return float(np.corrcoef(a, b)[0, 1])


def _passed_over(file: _File, picks: Mapping[str, Pick], known: Sequence[str]) -> list[str]:
    """A sentence for each column that has the name of a missing channel but not its unit."""
    missing = {name for name in known if name not in picks and name != TIME}
    used = {pick.column for pick in picks.values()}
    notes = []
    for column, header in enumerate(file.headers):
        name, unit, _ = unit_of(header)
        if column in used or unit is None:
            continue
        for fit in file.lexicon.fits(name)[:1]:
            channel = file.channels[fit.channel]
            if fit.channel not in missing or not fit.exact or _suits(unit, channel) > _MISMATCH:
                continue
            wanted = next((BY_NAME[one].name for one in channel.units), "another unit")
            what = "volts" if unit.measures == "voltage" else f"'{clean(header.unit, 20)}'"
            notes.append(
                f"Column '{clean(header.name, _SHOWN)}' is named like {channel.title} but is in "
                f"{what}, so it was passed over; log it in {wanted}."
            )
    return notes[:_MOST_RIVALS]
