"""Logs as a JSON object: the contract, null for what is missing, and the gate before advice."""

from __future__ import annotations

import json
from dataclasses import replace

from expert.case.consult import Consultant, Consultation
from expert.case.events import Answered, Described, Event
from expert.case.logged import drive_of, log_events
from expert.case.safety import Verdict
from expert.case.state import fold
from expert.evidence.log.record import Features, Measured
from expert.export.log_report import log_report
from expert.loading.folder import load, shipped_folder
from tests.evidence.log.testimonies import BROKEN, HEALTHY, told

KNOWN = load([shipped_folder()])
CONSULTANT = Consultant(KNOWN)
CAR: list[Event] = [Described("setup", "external-single"), Described("spring_kpa", 69.0)]
SAFE = (Answered("hose-trace", ("matches",)), Answered("red-flags", ("none",)))


def consulted(*more: Event) -> tuple[Consultation, Verdict]:
    state = fold([*CAR, *more, *log_events(KNOWN, [told()])])
    return CONSULTANT.consult(state), drive_of(CONSULTANT, state)


def test_a_usable_log_and_one_that_is_not() -> None:
    consultation, verdict = consulted()
    found = log_report([told(), BROKEN], [verdict, None], consultation, verdict)
    assert json.loads(json.dumps(found)) == found
    first, second = found["files"]
    assert first["features"] == {
        "peak_boost_kpa": 75.0,
        "boost_at_zero_duty_kpa": None,
        "steady_boost_kpa": None,
        "onset_rpm": None,
        "overshoot_pct": None,
        "creep_kpa_per_1000rpm": None,
        "hunting_period_s": None,
        "falls_kpa": None,
        "throttle_closed": False,
    }
    assert first["pulls"][0]["start_s"] == 10.0
    assert first["pulls"][0]["end_s"] == 16.0
    assert (first["symptoms"], first["drive"]) == (["lazy"], verdict.drive)
    assert first["findings"] == [
        {
            "check": "zero-duty-log",
            "answer": "below",
            "from_s": 12.0,
            "to_s": 15.5,
            "because": "steady boost is low",
        }
    ]
    assert first["channels"]["boost"]["reference"] == "absolute"
    assert first["measured"]["onset_rpm"]["why"] == "boost never settles"
    assert (second["usable"], second["reason"]) == (False, "there is no such file.")
    assert second["drive"] is None
    assert set(second["features"]) == set(first["features"])
    assert set(second["features"].values()) == {None}


def test_no_pull_is_asked_for_while_the_gate_is_shut() -> None:
    closed, verdict = consulted()
    assert not closed.gate.allowed
    assert log_report([told()], [verdict], closed, verdict)["files"][0]["advice"] == []
    opened, verdict = consulted(*SAFE)
    assert opened.gate.allowed
    assert log_report([told()], [verdict], opened, verdict)["files"][0]["advice"]


def test_without_a_complaint_nothing_is_ranked() -> None:
    found = log_report([HEALTHY], [Verdict("ok", ())], None, Verdict("ok", ()))
    assert found["case"] is None
    assert found["load_allowed"] is False
    assert found["files"][0]["drive"] == "ok"


def test_numbers_that_json_does_not_have_are_null() -> None:
    odd = Features((), {"peak_boost_kpa": Measured(float("nan"), float("inf"))})
    found = log_report([replace(HEALTHY, features=odd)], [None], None, Verdict("ok", ()))
    assert found["files"][0]["measured"]["peak_boost_kpa"]["value"] is None
    assert found["files"][0]["measured"]["peak_boost_kpa"]["uncertainty"] is None
