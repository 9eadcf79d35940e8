"""A sheet made into a recording: columns with a meaning, in rising time and the units inside."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from expert.evidence.log.channels import BOOST, RPM, TIME, Pick, assign
from expert.evidence.log.errors import LogError
from expert.evidence.log.ordered import Ordered, ordered, time_unit
from expert.evidence.log.overrides import Override
from expert.evidence.log.pressures import BAROMETER, TARGET, Manifold, manifold
from expert.evidence.log.ranks import finite, quantile
from expert.evidence.log.record import Channel, Header, Recording, Sheet
from expert.evidence.log.units import FULL_TURN_DEG, Unit
from expert.model import LogChannel
from expert.text import clean

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from expert.evidence.log.ordered import Rows
    from expert.evidence.log.record import Floats

# So few readings out of range are slips of the logger; more of them are the log.
_FEW: Final = 0.02
_LEAST_FULL_DEG: Final = 60.0
_MOST_SEARCHED: Final = 40
_PRESSURES: Final = (BOOST, TARGET, BAROMETER)
_NO_TIME: Final = (
    "no column holds the time of the rows. Export the log with its time, or name the column with "
    "--channel time=COLUMN"
)


def record(
    sheet: Sheet,
    channels: Mapping[str, LogChannel],
    asked: Mapping[str, Override] | None = None,
) -> Recording:
    """The recording in a sheet, by the channels of the knowledge and what a user ``asked`` for.

    Raises OverrideError for what cannot be followed of that, and LogError where there is no time.
    """
    found = assign(sheet.headers, sheet.sample, channels, asked)
    picks = dict(found.picks)
    if TIME not in picks:
        picks[TIME] = _time_by_steps(sheet, picks)
    names = list(picks)
    columns = sheet.columns([picks[name].column for name in names])
    raw = dict(zip(names, columns, strict=True))
    # Only `raw` may hold the columns, so that each goes as soon as it is made anew.
    columns.clear()
    unit, because = _unit_of_time(picks[TIME], raw)
    order = ordered(raw.pop(TIME), unit) if unit is not None else None
    if unit is None or order is None or order.why:
        why = because if order is None else order.why
        raise LogError(
            sheet.file,
            f"its column {_quoted(picks[TIME].channel.column)} is no time: {why}. Name the column "
            "and its unit with --channel time=COLUMN:UNIT, such as time=Time:ms",
        )
    values, made, notes = _values(picks, raw, order, channels)
    told = {
        **{name: pick.channel for name, pick in picks.items()},
        **{channel.id: channel for channel in made},
        TIME: _told_time(picks[TIME], unit, because),
    }
    return Recording(
        sheet.file,
        order.time_s,
        values,
        tuple(told.values()),
        (*sheet.notes, *found.notes, *order.notes, *notes),
    )


def _told_time(pick: Pick, unit: Unit, because: str) -> Channel:
    channel = replace(pick.channel, unit=unit.name)
    if because:
        channel = replace(channel, because=f"{channel.because}; {because}")
    return channel


def _unit_of_time(pick: Pick, raw: Mapping[str, Floats]) -> tuple[Unit | None, str]:
    if pick.unit is not None:
        return pick.unit, ""
    return time_unit(raw[TIME], raw.get(RPM))


def _time_by_steps(sheet: Sheet, picks: Mapping[str, Pick]) -> Pick:
    """The column that rises in the most even steps. Raises LogError where none rises."""
    used = {pick.column for pick in picks.values()}
    best: tuple[float, str, int] | None = None
    free = [column for column in range(len(sheet.headers)) if column not in used]
    for column in free[:_MOST_SEARCHED]:
        spread = _spread_of_steps(sheet.sample(column))
        key = (spread, sheet.headers[column].name, column)
        if spread < 1.0 and (best is None or key < best):
            best = key
    if best is None:
        raise LogError(sheet.file, _NO_TIME)
    header: Header = sheet.headers[best[2]]
    channel = Channel(TIME, header.name, header.unit, 0.7, "it rises from row to row in even steps")
    return Pick(channel, best[2], None)


def _spread_of_steps(values: Floats) -> float:
    """How uneven the steps of values are against their middle; infinite where they do not rise."""
    import numpy as np

    steps = np.diff(values[np.isfinite(values)])
    if len(steps) < 10 or float(np.mean(steps > 0.0)) < 0.9 or float(np.mean(steps < 0.0)) > 0.01:
        return float("inf")
    low, middle, high = (quantile(steps, share) for share in (0.1, 0.5, 0.9))
    return (high - low) / middle if middle > 0.0 else float("inf")


def _values(
    picks: Mapping[str, Pick],
    raw: dict[str, Floats],
    order: Ordered,
    channels: Mapping[str, LogChannel],
) -> tuple[dict[str, Floats], list[Channel], list[str]]:
    """The values of all channels in the units inside, pressures above outside air."""
    values: dict[str, Floats] = {}
    notes: list[str] = []
    rows = order.rows if _moved(order, raw) else None
    for name in [name for name in raw if name not in _PRESSURES]:
        pick = picks[name]
        inside = _in_order(raw.pop(name), rows)
        if pick.unit is not None and channels[name].quantity != "any":
            inside, note = _converted(inside, pick.unit, pick)
            notes += note
        values[name] = inside
    pressures = {name: _in_order(raw.pop(name), rows) for name in list(raw)}
    throttle = values.get("throttle", values.get("pedal"))
    made: Manifold = manifold(picks, pressures, channels, values.get(RPM), throttle)
    values.update(made.values)
    for name in list(values):
        values[name], note = _without_slips(values[name], channels[name])
        notes += note
    in_order = {name: values[name] for name in channels if name in values}
    return in_order, list(made.channels), [*notes, *made.notes]


def _moved(order: Ordered, raw: Mapping[str, Floats]) -> bool:
    """Whether rows were left out, or stand in another order than in the file."""
    if any(len(column) != len(order.rows) for column in raw.values()):
        return True
    return not bool((order.rows[1:] > order.rows[:-1]).all())


def _in_order(column: Floats, rows: Rows | None) -> Floats:
    if rows is None:
        return column
    picked: Floats = column[rows]
    return picked


def _converted(column: Floats, unit: Unit, pick: Pick) -> tuple[Floats, list[str]]:
    if unit.measures != "angle":
        return unit.inside(column), []
    known = finite(column)
    most = quantile(known, 0.999) if len(known) else FULL_TURN_DEG
    full = most if most >= _LEAST_FULL_DEG else FULL_TURN_DEG
    note = f"{_quoted(pick.channel.column)} is in degrees; {full:.0f} were taken as fully open."
    return column * (100.0 / full), [note]


def _without_slips(column: Floats, channel: LogChannel) -> tuple[Floats, list[str]]:
    """The column with a few impossible readings taken out, and a note of them."""
    import numpy as np

    if channel.least is None or channel.most is None:
        return column, []
    if not column.size or (column.min() >= channel.least and column.max() <= channel.most):
        return column, []
    out = (column < channel.least) | (column > channel.most)
    count = int(out.sum())
    if count == 0 or count > _FEW * len(column):
        return column, []
    readings = "1 impossible reading" if count == 1 else f"{count} impossible readings"
    return np.where(out, np.nan, column), [f"{readings} of {channel.title} left out."]


def _quoted(name: str) -> str:
    return f"'{clean(name, 60)}'"
