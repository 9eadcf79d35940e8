"""The JSON object of a ranking, on the small knowledge of the tests."""

from __future__ import annotations

import json

import pytest

from expert.case.consult import Consultant, Consultation
from expert.case.events import Answered, Described, Event
from expert.case.state import fold
from expert.export.report import joined, next_offers, rank_report
from tests.small import knowledge

FRESH = (
    Answered("red-flags", ("none",)),
    Answered("what-changed", ("just-fitted",)),
    Answered("hose-trace", ("matches",)),
)


def consulted(*events: Event) -> Consultation:
    said = [Described("setup", "outer"), Described("symptom", "lazy"), *events]
    return Consultant(knowledge()).consult(fold(said))


def test_a_report_is_plain_json_and_adds_up() -> None:
    report = json.loads(json.dumps(rank_report(consulted(*FRESH, Answered("lamp", ("ring",))))))
    assert report["format"] == 1
    assert (report["setup"], report["symptom"]) == ("outer", "lazy")
    top = report["causes"][0]
    assert top["id"] == "ring-missing"
    assert top["why"][0]["check"] == "lamp"
    in_pairs = {name for pair in report["pairs"] for name in pair["ids"]}
    assert in_pairs <= {cause["id"] for cause in report["causes"]}
    assert report["drive"] == "caution"
    assert report["because"]
    assert report["load_allowed"] == (report["load_because"] == [])
    assert 0.0 <= report["firmness"]["top_stays"] <= 1.0


def test_answers_are_told_one_by_one_and_weighed_together() -> None:
    report = rank_report(consulted(Answered("red-flags", ("knock", "metal-noise"), "mail")))
    assert report["answers"] == [
        {"check": "red-flags", "answer": "knock", "origin": "mail"},
        {"check": "red-flags", "answer": "metal-noise", "origin": "mail"},
    ]
    weighed = {item["answer"] for item in report["causes"][0]["why"]}
    assert "knock+metal-noise" in weighed
    assert joined(("knock", "metal-noise")) == "knock+metal-noise"


def test_an_unknown_answer_is_told_as_unknown() -> None:
    report = rank_report(consulted(Answered("lamp", ())))
    assert report["answers"] == [{"check": "lamp", "answer": "unknown", "origin": "asked"}]


def test_the_check_of_the_step_comes_first_and_none_comes_twice() -> None:
    offers = next_offers(consulted(*FRESH), most=5)
    assert offers[0].id == "lamp"
    names = [offer.id for offer in offers]
    assert len(names) == len(set(names))
    assert [offer.value for offer in offers[1:]] == sorted(
        (offer.value for offer in offers[1:]), reverse=True
    )


@pytest.mark.parametrize("most", [0, 1, 2])
def test_no_more_offers_than_asked_for(most: int) -> None:
    assert len(next_offers(consulted(*FRESH), most)) <= most
