"""A recording made up for the tests of pictures: two pulls, and findings in the first."""

from __future__ import annotations

import numpy as np

from expert.evidence.log.record import Features, LogFinding, Pull, Recording, Span

SPRING_KPA = 60.0


def recording(file: str = "run.csv", *, duty: bool = True, target: bool = True) -> Recording:
    """Two pulls from 2,000 to 6,000 rpm of four seconds each, ten rows a second."""
    time_s = np.arange(90) / 10.0
    rpm = np.concatenate([np.linspace(2000.0, 6000.0, 40), np.full(10, 900.0)])
    rpm = np.concatenate([rpm, np.linspace(2000.0, 6000.0, 40)])
    boost = np.clip((rpm - 2000.0) / 20.0, 0.0, 100.0)
    values = {"rpm": rpm, "boost": boost}
    if target:
        values["target"] = np.full(90, 110.0)
    if duty:
        values["duty"] = np.concatenate([np.zeros(50), np.full(40, 35.0)])
    return Recording(file, time_s, values, ())


PULLS = (
    Pull(0, 40, Span(0.0, 3.9), 3, 0.0, True),
    Pull(50, 90, Span(5.0, 8.9), 3, 35.0, False),
)
FEATURES = Features(PULLS, {})
FINDINGS = (LogFinding("zero-duty-log", "rising", Span(2.0, 3.9), "boost climbs with rpm"),)
