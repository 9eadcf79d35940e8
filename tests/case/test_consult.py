"""The one door: what it needs, and the car and its past that it looks up."""

from __future__ import annotations

import pytest

from expert.case.consult import Consultant
from expert.case.events import Answered, Mended, Persists
from expert.case.state import State
from expert.errors import UsageError
from tests.case.consulted import consulted
from tests.small import knowledge


def test_a_case_needs_a_setup_and_a_symptom() -> None:
    with pytest.raises(UsageError, match="needs a setup and a symptom"):
        Consultant(knowledge()).consult(State(setup="outer"))
    with pytest.raises(UsageError, match="no setup 'gone'"):
        Consultant(knowledge()).consult(State(setup="gone", symptoms=("lazy",)))
    with pytest.raises(UsageError, match="no symptom 'gone'"):
        Consultant(knowledge()).consult(State(setup="outer", symptoms=("gone",)))


def test_history_chooses_priors_and_is_no_evidence() -> None:
    fresh = consulted(Answered("what-changed", ("just-fitted",)), Answered("worked-on", ("gate",)))
    settled = consulted(Answered("what-changed", ("nothing",)))
    assert fresh.chance("ring-missing") > settled.chance("ring-missing")
    assert [item.check for item in fresh.evidence] == ["symptom"]
    touched = Answered("worked-on", ("pipes",))
    elsewhere = consulted(Answered("what-changed", ("just-fitted",)), touched)
    assert elsewhere.chance("ring-missing") < fresh.chance("ring-missing")


def test_a_repair_renews_what_it_touched() -> None:
    settled = (Answered("what-changed", ("nothing",)), Mended("ring-missing"), Persists())
    assert consulted(*settled).network.history.reworked == {"gate"}
    leak = consulted(*settled).network.prior.single
    before = consulted(settled[0]).network.prior.single
    column = consulted().network.column
    ring, pipe = column["ring-missing"], column["charge-leak"]
    assert leak[ring] / leak[pipe] > before[ring] / before[pipe]
