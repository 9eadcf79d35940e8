"""How often a ranking stays when every number behind it is shaken."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from expert.case.consult import Consultant, Consultation
from expert.case.events import Answered, Described, Event
from expert.case.firmness import firmness, shaken_knowledge
from expert.case.state import fold
from expert.model import Seen
from tests.small import knowledge, policy


def consulted(*events: Event, shake: float = 0.5) -> Consultation:
    book = knowledge(policy=policy(shake=shake))
    said = [Described("setup", "outer"), Described("symptom", "lazy"), *events]
    return Consultant(book).consult(fold(said))


LAMP = Answered("lamp", ("ring",))


def test_near_proof_is_firm_and_a_bare_complaint_is_not() -> None:
    proven, bare = firmness(consulted(LAMP)), firmness(consulted())
    assert proven.top_stays == 1.0
    assert bare.top_stays < proven.top_stays
    assert 0.0 <= bare.verdict_stays <= 1.0
    assert proven.draws == 24


def test_no_noise_changes_nothing() -> None:
    still = firmness(consulted(LAMP, shake=1e-12), draws=5)
    assert (still.top_stays, still.verdict_stays) == (1.0, 1.0)


def test_the_same_seed_gives_the_same_answer() -> None:
    assert firmness(consulted(), draws=7, seed=3) == firmness(consulted(), draws=7, seed=3)


def test_shaken_numbers_are_still_probabilities() -> None:
    answers = [LAMP, Answered("run", ("below",)), Answered("red-flags", ("none",))]
    consultation = consulted(*answers, shake=3.0)
    for seed in range(20):
        shaken = shaken_knowledge(consultation, np.random.default_rng(seed))
        for check in shaken.checks.values():
            for row in [*check.given.values(), check.healthy]:
                assert all(0.0 <= share <= 1.0 for share in row.values())
                if check.kind == "graded":
                    assert sum(row.values()) <= 1.0 + 1e-12
        assert shaken.checks["lamp"] != knowledge().checks["lamp"]
        assert shaken.checks["smoke"] == knowledge().checks["smoke"]


def test_the_noise_has_the_spread_that_the_policy_states() -> None:
    consultation = consulted(LAMP)
    odds = []
    for seed in range(400):
        shaken = shaken_knowledge(consultation, np.random.default_rng(seed))
        share = shaken.checks["lamp"].given["ring-missing"]["ring"]
        odds.append(np.log(share / (1 - share)))
    assert np.std(odds) == pytest.approx(0.5, rel=0.15)
    assert np.mean(odds) == pytest.approx(np.log(0.93 / 0.07), abs=0.1)


def test_a_weight_of_its_own_is_shaken_as_the_words_are() -> None:
    plain = knowledge()
    learned = replace(plain.causes["charge-leak"], seen=Seen(just_fitted=4.0, settled="rare"))
    book = replace(plain, causes={**plain.causes, "charge-leak": learned})
    state = fold([Described("setup", "outer"), Described("symptom", "lazy")])
    shaken = shaken_knowledge(Consultant(book).consult(state), np.random.default_rng(1))
    seen = shaken.causes["charge-leak"].seen
    assert seen.just_fitted != 4.0
    assert seen.settled == "rare"
    assert shaken.causes["ring-missing"] is plain.causes["ring-missing"]
