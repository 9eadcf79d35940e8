"""What the modules of this package hand to each other; arrays are numpy's, one value a row.

A file becomes a `Sheet` (columns as written), its columns become channels with a meaning, and those
a `Recording` in the units used inside: seconds, rpm, kPa above outside air, per cent.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal, Protocol

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

Reference = Literal["gauge", "absolute"]


@dataclass(frozen=True, slots=True)
class Header:
    """A column of a file: its name and its unit as written, empty where none is."""

    name: str
    unit: str


class Sheet(Protocol):
    """An opened log file, whose columns are read only when they are asked for."""

    @property
    def file(self) -> str:
        """The name to show."""

    @property
    def headers(self) -> Sequence[Header]:
        """The columns in the order of the file."""

    @property
    def notes(self) -> Sequence[str]:
        """What was unusual about the file, in sentences."""

    def sample(self, column: int) -> Floats:
        """The values of a column in a bounded share of the file, from its whole length."""

    def columns(self, wanted: Sequence[int]) -> list[Floats]:
        """The whole columns, all of the same length.

        Clock times come as seconds since midnight, unwrapped; other numbers as written. Words for a
        switch, such as on and off, are 1 and 0; blank cells and all other words are NaN.
        """


@dataclass(frozen=True, slots=True)
class Channel:
    """What a column was taken for.

    ``id`` is that of the knowledge (boost, rpm, ...), ``certainty`` 0 to 1, ``because`` says in
    words why: the name, the unit, the data, or that the user said so. ``reference`` is for
    pressures only.
    """

    id: str
    column: str
    unit: str
    certainty: float
    because: str
    reference: Reference | None = None


@dataclass(frozen=True)
class Recording:
    """A log with its meaning: ``time_s`` strictly increasing, each array of ``values`` as long.

    ``values`` are by channel id in the units of the package: ``rpm`` 1/min; ``boost`` and
    ``target`` kPa above outside air; ``barometer`` kPa absolute; ``duty``, ``throttle``,
    ``pedal`` per cent; ``speed`` km/h; ``gear`` as a number; ``mixture`` as lambda;
    ``intake`` degrees Celsius; ``knock`` as written. Missing cells are NaN; a channel that the
    file does not have is not in ``values``.
    """

    file: str
    time_s: Floats
    values: Mapping[str, Floats]
    channels: tuple[Channel, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of time that shows something."""

    from_s: float
    to_s: float


@dataclass(frozen=True, slots=True)
class Measured:
    """A value with its uncertainty (half the width of a 95 % interval) and where it shows.

    ``value`` is None where the log cannot show it; ``why`` then says what is missing.
    """

    value: float | None
    uncertainty: float = 0.0
    span: Span | None = None
    why: str = ""


@dataclass(frozen=True, slots=True)
class Pull:
    """A full-throttle pull: rows ``first`` up to but not including ``last`` of the recording.

    ``lowest``: the boost control was at its lowest setting. ``inferred``: no pedal or throttle was
    logged, so rising rpm and boost had to do. ``rpm_per_km_h`` is alike for pulls in one gear.
    """

    first: int
    last: int
    span: Span
    gear: int | None
    duty_pct: float | None
    lowest: bool
    inferred: bool = False
    rpm_per_km_h: float | None = None


@dataclass(frozen=True)
class Features:
    """All that was measured in one recording, by the names of `expert.evidence.log.features`."""

    pulls: tuple[Pull, ...]
    measured: Mapping[str, Measured]
    advice: tuple[str, ...] = field(default=())


@dataclass(frozen=True, slots=True)
class LogFinding:
    """An answer to a check and the seconds that show it."""

    check: str
    answer: str
    span: Span
    because: str
