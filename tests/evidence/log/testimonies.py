"""Testimonies of made-up logs, for tests of what is done with them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from expert.evidence.log.findings import Shown, Unsure
from expert.evidence.log.read import Testimony
from expert.evidence.log.record import (
    Channel,
    Features,
    LogFinding,
    Measured,
    Pull,
    Span,
)

SEEN = Span(12.0, 15.5)
PULL = Pull(100, 200, Span(10.0, 16.0), 3, 0.0, True)
MEASURED = {
    "peak_boost_kpa": Measured(75.0, 1.0, SEEN),
    "boost_over_spring_kpa": Measured(-20.0, 2.0, SEEN),
    "throttle_closed": Measured(0.0, 0.0, SEEN),
    "onset_rpm": Measured(None, why="boost never settles"),
}
CHANNELS = (
    Channel("rpm", "Engine speed", "rpm", 0.99, "by its name"),
    Channel("boost", "MAP", "kPa", 0.9, "by its name; near 100 at key-on", "absolute"),
)


def told(**changes: Any) -> Testimony:
    """The testimony of a lazy car."""
    lazy = Testimony(
        file="pull.csv",
        usable=True,
        channels=CHANNELS,
        features=Features((PULL,), MEASURED, ("Record one pull in fourth gear.",)),
        symptoms=(Shown("lazy", SEEN, "steady boost is low"),),
        findings=(LogFinding("zero-duty-log", "below", SEEN, "steady boost is low"),),
        unsure=(Unsure(("gears-and-cold",), (), "Only one gear is in the log."),),
        advice=("Record one pull in fourth gear.",),
    )
    return replace(lazy, **changes)


def shows(symptom: str, *answers: tuple[str, str], file: str = "pull.csv") -> Testimony:
    """A testimony with a symptom and some answers."""
    return told(
        file=file,
        symptoms=(Shown(symptom, SEEN, "it is so"),),
        findings=tuple(LogFinding(check, answer, SEEN, "it is so") for check, answer in answers),
    )


HEALTHY = told(symptoms=(), findings=(), unsure=(), advice=())
BROKEN = Testimony("none.csv", False, "there is no such file.", code=3)
