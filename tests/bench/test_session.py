"""What is driven: ``expert/bench/session.py``."""

from __future__ import annotations

import pytest

from expert.bench.session import (
    AGAIN,
    IDLE,
    KEY_ON,
    LIFT,
    PULL,
    SHIFT,
    drive,
    of_pull,
    session,
)
from tests.bench.cars import boost_kpa, car

CAR = car("internal")


def test_the_parts_of_a_session() -> None:
    names = [part.name for part in session(CAR, [0.0, None])]
    assert names == [
        *(KEY_ON, IDLE, "roll", PULL, LIFT, "roll", PULL, SHIFT, AGAIN, LIFT, IDLE),
    ]
    assert [part.duty for part in session(CAR, [0.2, None]) if part.name == PULL] == [0.2, None]
    assert SHIFT not in [part.name for part in session(CAR, [0.0], gear=5)]


def test_a_session_driven() -> None:
    parts = session(CAR, [0.0, 0.4])
    rows = drive(CAR, [0.0, 0.4])
    times = [row.time_s for row in rows]
    assert times == sorted(times)
    assert {row.segment for row in rows} == set(range(len(parts)))
    key_on = [row for row in rows if parts[row.segment].name == KEY_ON]
    assert all(row.rpm == 0.0 for row in key_on)
    assert key_on[-1].read_pa == pytest.approx(CAR.place.ambient_pa, abs=500.0)
    idle = [row for row in rows if row.segment == 1]
    # A sound engine idles at 30 to 60 kPa absolute: common practice, no source.
    assert 30e3 < idle[-1].manifold_pa < 60e3
    first, second = of_pull(rows, parts, 0), of_pull(rows, parts, 1)
    assert max(map(boost_kpa, second)) > max(map(boost_kpa, first)) + 10.0
    assert {row.duty for row in second[1:]} == {0.4}
    assert first[-1].rpm == pytest.approx(CAR.engine.limit_rpm, abs=60.0)
