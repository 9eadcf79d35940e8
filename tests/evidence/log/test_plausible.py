"""Whether a recording can be what it should be: ``expert/evidence/log/plausible.py``."""

from __future__ import annotations

import numpy as np
import pytest

from expert.evidence.log.plausible import Doubt, plausible
from expert.evidence.log.record import Channel, Recording
from tests.evidence.log.sheets import Floats, drive


def recording(values: dict[str, Floats], step_s: float = 0.1) -> Recording:
    time = step_s * np.arange(len(next(iter(values.values()))))
    channels = (Channel("boost", "MAP", "psi", 0.9, "named like 'map'", "gauge"),)
    return Recording("x.csv", time, {k: v for k, v in values.items() if k != "time"}, channels)


def only(one: Recording) -> Doubt:
    (found,) = plausible(one).doubts
    return found


def test_a_good_log() -> None:
    found = plausible(recording(drive()))
    assert (found.doubts, found.usable, found.reason) == ((), True, "")


@pytest.mark.parametrize(("step_s", "fatal"), [(0.1, None), (0.5, False), (1.5, True)])
def test_rows_a_second(step_s: float, fatal: bool | None) -> None:
    found = plausible(recording(drive(), step_s)).doubts
    assert [(one.kind, one.fatal) for one in found] == ([] if fatal is None else [("slow", fatal)])


def test_too_short() -> None:
    one = only(recording({name: values[100:125] for name, values in drive().items()}))
    assert (one.kind, one.fatal) == ("short", True)
    assert "lasts 2.4 s" in one.sentence


def test_nothing_at_all() -> None:
    empty = recording({name: values[:0] for name, values in drive().items()})
    assert not plausible(empty).usable


def test_200_psi() -> None:
    one = drive()
    one["boost"] = one["boost"] * 6.894757
    doubt = only(recording(one))
    assert (doubt.kind, doubt.fatal) == ("units", True)
    assert "if 'MAP' is in psi" in doubt.sentence
    assert "--channel 'boost=MAP:kPa'" in doubt.sentence


def test_a_stuck_sensor() -> None:
    one = drive()
    one["boost"] = 0.5 * np.sin(np.arange(len(one["boost"])))
    doubt = only(recording(one))
    assert (doubt.kind, doubt.fatal) == ("stuck", False)
    assert "may be far higher than it reads" in doubt.sentence


def test_an_engine_that_only_idles_has_no_stuck_sensor() -> None:
    one = {name: values[35:69] for name, values in drive().items()}
    assert [doubt.kind for doubt in plausible(recording(one)).doubts] == []


def test_a_clipped_sensor() -> None:
    one = drive()
    one["boost"] = np.minimum(one["boost"], 60.0)
    doubt = only(recording(one))
    assert (doubt.kind, doubt.fatal) == ("flat-top", False)
    assert "exactly 60 kPa" in doubt.sentence


def test_never_over_outside_air() -> None:
    one = drive()
    one["boost"] = np.minimum(one["boost"], -1.0 + 0.3 * np.sin(np.arange(len(one["boost"]))))
    doubt = only(recording(one))
    assert (doubt.kind, doubt.fatal) == ("never-over", False)


def test_a_diesel() -> None:
    one = drive()
    one["rpm"] = np.minimum(one["rpm"], 4_400.0)
    one["throttle"] = np.full(len(one["rpm"]), 95.0)
    one["boost"] = np.maximum(one["boost"], 0.0)
    found = plausible(recording(one))
    assert not found.usable
    assert "looks like a diesel" in found.reason


def test_a_petrol_engine_that_turns_slowly_is_none() -> None:
    one = drive()
    one["rpm"] = np.minimum(one["rpm"], 4_400.0)
    assert plausible(recording(one)).usable


@pytest.mark.parametrize(("channel", "kind"), [("boost", "no-boost"), ("rpm", "no-rpm")])
def test_a_channel_that_must_be_there(channel: str, kind: str) -> None:
    one = drive()
    del one[channel]
    doubts = plausible(recording(one)).doubts
    assert (doubts[0].kind, doubts[0].fatal) == (kind, True)
    blank = drive()
    blank[channel] = np.full(len(blank["time"]), np.nan)
    assert plausible(recording(blank)).doubts[0].kind == kind


def test_an_engine_that_stands() -> None:
    one = {name: values[:35] for name, values in drive().items()}
    one["rpm"] = np.zeros(35)
    assert "does not run" in plausible(recording(one)).reason
