"""Invented cars answer as the knowledge says that cars with their cause do."""

from __future__ import annotations

import numpy as np
import pytest

from expert.case.consult import Consultant, Consultation
from expert.case.events import Described
from expert.case.state import fold
from expert.workbench.cars import answer_shares, drawn, likely_causes, typical
from tests.small import knowledge


def consultation() -> Consultation:
    return Consultant(knowledge()).consult(
        fold([Described("setup", "outer"), Described("symptom", "lazy")])
    )


def test_causes_are_as_likely_as_the_complaint_makes_them() -> None:
    shares = likely_causes(consultation().network)
    assert sum(shares.values()) == pytest.approx(1.0)
    assert "as-designed:base-map" not in shares
    assert shares["ring-missing"] > shares["hose-off"]


def test_shares_of_answers_are_those_of_the_knowledge() -> None:
    network = consultation().network
    # The leak of .01 may show a ring on any car: 1 - .07 * .99.
    assert answer_shares(network, "lamp", "ring-missing") == pytest.approx([0.0693, 0.9307])
    assert answer_shares(network, "lamp", "charge-leak") == pytest.approx([0.99, 0.01])


def test_drawn_answers_fall_as_often_as_they_should() -> None:
    now = consultation()
    reply = drawn("ring-missing", np.random.default_rng(5))
    rings = sum(reply(now, "lamp") == ("ring",) for _ in range(2000))
    assert rings / 2000 == pytest.approx(0.9307, abs=0.02)


def test_a_typical_car_tells_its_likelier_past() -> None:
    now = consultation()
    reply = typical("ring-missing")
    assert reply(now, "what-changed") == ("just-fitted",)
    assert reply(now, "worked-on") == ("gate",)
    assert reply(now, "lamp") == ("ring",)
    assert typical("charge-leak")(now, "lamp") == ("dark",)
