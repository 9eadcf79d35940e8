"""A number becomes an answer: the bin of a check's measure that it falls into."""

from __future__ import annotations

from expert.errors import UsageError
from expert.model import Measure


class SpringUnknownError(UsageError):
    """The reading means something only against the spring pressure, which is not known."""


def measured_answer(measure: Measure, value: float, spring_kpa: float | None) -> str:
    """The answer for a reading.

    ``value`` is a gauge pressure in kPa, or a percentage where the measure is in percent against
    nothing; ``spring_kpa`` is the gauge pressure of the gate's spring. An upper edge belongs to
    its bin. Raises SpringUnknownError when the spring is needed and not known.
    """
    number = value
    if measure.against == "spring":
        if spring_kpa is None:
            raise SpringUnknownError(
                "A reading can be judged here only against the gate's spring, and its pressure is "
                "not known yet."
            )
        number = value - spring_kpa
        if measure.unit == "percent":
            number *= 100.0 / spring_kpa
    for answer, edge in measure.up_to.items():
        if number <= edge:
            return answer
    return measure.above


def reads_pressure(measure: Measure) -> bool:
    """Is the reading a pressure? Otherwise it is a percentage by itself."""
    return measure.unit == "kPa" or measure.against == "spring"
