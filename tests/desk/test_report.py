"""The JSON of a message: ``expert/desk/report.py``."""

from __future__ import annotations

import json

from expert.desk.report import message_report
from tests.desk.mails import triage


def test_the_object_says_what_was_understood() -> None:
    text = "external gate, 3 port solenoid, 7 psi spring. boost creeps to 16 psi. no codes"
    found = message_report(triage(text, id="a"))
    assert json.loads(json.dumps(found)) == found
    assert (found["kind"], found["symptoms"], found["setup"]) == (
        "complaint",
        ["creep"],
        "external-single",
    )
    assert (found["spring_kpa"], found["boost_kpa"], found["target_kpa"]) == (48.3, 110.3, None)
    (fact,) = found["facts"]
    assert (fact["check"], fact["answer"]) == ("stored-codes", "none")
    assert text[fact["start"] : fact["end"]] == fact["quote"] == "no codes"
    assert found["causes"][0]["probability"] >= found["causes"][-1]["probability"]
    assert len(found["questions"]) + len(found["intake"]) <= 3


def test_a_broken_message_has_the_same_fields() -> None:
    assert set(message_report(triage(""))) == set(message_report(triage("it creeps, turbo")))
