"""ASAM MDF files (version 3 and 4), read by asammdf, which the extra ``mdf`` installs.

Such a file may keep groups of channels, each with time stamps of its own. They are put side by
side at the time stamps of the longest group; a slower channel keeps its last value until the next.
"""

from __future__ import annotations

import gc
import logging
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Final

from expert.evidence.log.errors import LogError
from expert.evidence.log.headings import bare, distinct
from expert.evidence.log.record import Header
from expert.text import clean

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from expert.evidence.log.source import Source

    Floats = NDArray[np.float64]

_MOST_SAMPLED: Final = 20_000
_MOST_CHANNELS: Final = 20_000
_NUMBERS: Final = "buif"
_TIME: Final = Header("Time", "s")


class MdfSheet:
    """The channels of an MDF file as a table; see `Sheet`. The first column is the time."""

    def __init__(self, found: Source) -> None:
        self.file = clean(found.file)
        self._source = found
        self.notes: list[str] = []
        with self._open() as file:
            self._columns, headers, groups = _listed(file)
            if not self._columns:
                raise LogError(self.file, "holds no channel with values.")
            if len(self._columns) > _MOST_CHANNELS:
                count = len(self._columns)
                raise LogError(
                    self.file, f"has {count} channels; expected at most {_MOST_CHANNELS}."
                )
            self._times = _finite(file.get_master(max(groups, key=groups.__getitem__)))
        self.headers: Sequence[Header] = distinct([_TIME, *headers])
        if len(groups) > 1:
            self.notes.append(
                f"The file has {len(groups)} groups of channels with times of their own; "
                "slower channels keep their last value until the next."
            )

    def sample(self, column: int) -> Floats:
        """Values of a column from the whole file, at even steps."""
        values = self.columns([column])[0]
        return values[:: max(len(values) // _MOST_SAMPLED, 1)]

    def columns(self, wanted: Sequence[int]) -> list[Floats]:
        """The whole columns at the same time stamps."""
        with self._open() as file:
            return [self._column(file, column) for column in wanted]

    def _column(self, file: Any, column: int) -> Floats:
        import numpy as np

        if column == 0:
            return self._times
        group, index = self._columns[column - 1]
        signal = file.get(group=group, index=index)
        if np.asarray(signal.samples).dtype.kind not in _NUMBERS:
            # Words that stand for numbers, such as on for 1.
            signal = file.get(group=group, index=index, raw=True)
        values = _finite(signal.samples)
        invalid = signal.invalidation_bits
        if invalid is not None:
            values[np.asarray(invalid, bool)] = np.nan
        stamps = np.asarray(signal.timestamps, float)
        if len(values) != len(stamps):
            return np.full(len(self._times), np.nan)
        if np.array_equal(stamps, self._times):
            return values
        return held(stamps, values, self._times)

    @contextmanager
    def _open(self) -> Iterator[Any]:
        try:
            import asammdf
        except ImportError:
            raise LogError(
                self.file,
                "is an ASAM MDF file, and the library that reads it is not installed; "
                "pip install 'gatepost[mdf]' brings it. Or export the log as CSV.",
            ) from None
        # The library's own types ask for more of a stream than it uses.
        library: Any = asammdf
        with _quiet():
            problem = ""
            try:
                with self._source.opened() as stream, library.MDF(stream) as file:
                    yield file
            except LogError:
                raise
            except Exception as error:
                # The library lets through whatever a broken file leads it to.
                problem = clean(f"{type(error).__name__}: {error}", 120)
            if problem:
                raise LogError(self.file, f"is an ASAM MDF file that cannot be read ({problem}).")


@contextmanager
def _quiet() -> Iterator[None]:
    """Nothing on stderr of an object of the library that was never finished and is given up."""
    before = sys.unraisablehook
    sys.unraisablehook = lambda _: None
    logger = logging.getLogger("asammdf")
    level = logger.level
    logger.setLevel(logging.CRITICAL + 1)
    try:
        yield
    except LogError:
        # Such objects refer to themselves, so that they go only when they are looked for.
        gc.collect()
        raise
    finally:
        sys.unraisablehook = before
        logger.setLevel(level)


def held(stamps: Floats, values: Floats, times: Floats) -> Floats:
    """Values at other times: the last one known by then, NaN before the first."""
    import numpy as np

    if not len(stamps):
        return np.full(len(times), np.nan)
    at = np.searchsorted(stamps, times, side="right") - 1
    return np.where(at < 0, np.nan, values[np.maximum(at, 0)])


def _listed(file: Any) -> tuple[list[tuple[int, int]], list[Header], dict[int, int]]:
    """Channels with values by group and index, their headers, and the length of each group."""
    places, headers, groups = [], [], {}
    for group, content in enumerate(file.groups):
        count = int(content.channel_group.cycles_nr)
        if not count:
            continue
        master = file.masters_db.get(group)
        for index, channel in enumerate(content.channels):
            if index == master:
                continue
            unit = channel.unit
            if not unit and channel.conversion is not None:
                unit = getattr(channel.conversion, "unit", "")
            places.append((group, index))
            headers.append(Header(clean(channel.name, 120), clean(bare(unit or ""), 120)))
            groups[group] = count
    return places, headers, groups


def _finite(samples: Any) -> Floats:
    """Samples as numbers, NaN for infinity and for all that is text or a structure."""
    import numpy as np

    array = np.asarray(samples)
    if array.ndim != 1 or array.dtype.kind not in _NUMBERS:
        return np.full(len(array), np.nan)
    values = array.astype(np.float64)
    values[~np.isfinite(values)] = np.nan
    return values
