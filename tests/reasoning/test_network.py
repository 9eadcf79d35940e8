"""Ids become columns: priors by history, channels by kind, and what `unlisted` would show."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from expert.model import Seen
from expert.reasoning.belief import marginals, posterior
from expert.reasoning.network import (
    History,
    Network,
    applicable,
    channel,
    seen_weight,
)
from tests.small import CAUSES, CHECKS, LAZY, knowledge, policy

OUTER = frozenset({"turbo", "external-gate"})
BOOK = knowledge()


def network(history: History | None = None, complaint: str = "lazy") -> Network:
    return Network(BOOK, OUTER, complaint, history or History())


def test_only_what_fits_the_car() -> None:
    assert "flap-stuck" not in applicable(BOOK, OUTER)
    assert "lamp" in network().checks
    assert "what-changed" not in network().checks
    assert "flap" not in network().checks


@pytest.mark.parametrize(
    ("history", "weight"),
    [
        (History("just-fitted"), 9.0),
        (History("just-fitted", frozenset({"gate"})), 9.0),
        (History("just-fitted", frozenset({"pipes"})), 3.0),
        (History("nothing"), 3.0),
        (History("nothing", reworked=frozenset({"gate"})), 9.0),
        (History("earlier"), 6.0),
        (History(), 6.0),
    ],
)
def test_history_chooses_how_often_a_cause_is_seen(history: History, weight: float) -> None:
    # The ring is common when just fitted (9) and occasional when settled (3); work on the gate.
    assert seen_weight(CAUSES["ring-missing"], policy(), history) == weight


def test_second_faults_are_likelier_on_a_fresh_car() -> None:
    for changed, share in [("just-fitted", 0.3), ("nothing", 0.1), (None, 0.1)]:
        prior = network(History(changed)).prior
        listed = prior.single.sum() + prior.pair.sum() / 2
        assert prior.pair.sum() / 2 / listed == pytest.approx(share)
        assert prior.unlisted == pytest.approx(0.05)


def test_as_designed_is_never_part_of_a_pair() -> None:
    net = network()
    assert net.prior.pair[net.column["as-designed:base-map"]].sum() == 0.0


def test_a_symptom_is_explained_by_its_causes_and_by_an_unlisted_one() -> None:
    net = network()
    evidence = net.symptom("lazy")
    shows = evidence.terms.of_single()
    # A leaky noisy-OR: 1 - (1 - .93) * (1 - .01).
    assert shows[net.column["ring-missing"]] == pytest.approx(1 - 0.07 * 0.99)
    assert shows[net.column["hose-off"]] == pytest.approx(0.01)
    assert evidence.unlisted == 0.75
    assert set(LAZY.causes) >= {"ring-missing"}


def test_a_second_symptom_is_as_likely_under_unlisted_as_given_the_complaint() -> None:
    net = network()
    given = marginals(net.given_complaint)[net.column["hose-off"]]
    assert net.symptom("overboost").unlisted == pytest.approx(0.01 + 0.99 * 0.93 * given, abs=1e-3)


def test_unlisted_answers_like_a_sound_car_but_reads_boost_like_the_complaint() -> None:
    net = network()
    assert net.finding("lamp", ("ring",), "asked").unlisted == pytest.approx(0.01)
    below = net.finding("run", ("below",), "asked").unlisted
    assert below > 0.5
    answers = CHECKS["run"].answers
    total = sum(net.finding("run", (answer,), "asked").unlisted for answer in answers)
    assert total == pytest.approx(1.0)


def test_the_slip_follows_the_origin() -> None:
    net = network()
    slips = {origin: net.finding("lamp", ("ring",), origin).slip for origin in ("asked", "mail")}
    assert slips == {"asked": 0.02, "mail": 0.15}


def test_several_flags_are_one_finding() -> None:
    net = network()
    both = net.finding("red-flags", ("knock", "metal-noise"), "asked")
    wheel = net.column["wheel-broken"]
    # Both leaks and the wheel's own noise: .01 * (1 - .25 * .99).
    assert both.terms.of_single()[wheel] == pytest.approx(0.01 * (1 - 0.25 * 0.99))
    assert both.unlisted == pytest.approx(0.01 * 0.01)


def test_channels_keep_the_order_of_the_answers() -> None:
    for name, check in CHECKS.items():
        if check.kind == "history":
            continue
        made = channel(check, tuple(CAUSES))
        assert made.answers == tuple(check.answers)
        assert len(made.terms) == len(made.answers)
        if check.kind != "nominal":
            total = sum(term.of_single() for term in made.terms)
            assert total == pytest.approx(np.ones(len(CAUSES))), name
            assert made.sound.sum() == pytest.approx(1.0)


def test_a_two_sided_check_reads_both_faults_as_stated() -> None:
    made = channel(CHECKS["run"], ("ring-missing", "hose-off"))
    by_answer = dict(zip(made.answers, made.terms, strict=True))
    pair = {answer: term.of_pair()[0, 1] for answer, term in by_answer.items()}
    assert sum(pair.values()) == pytest.approx(1.0)
    assert pair["below"] > pair["above"] > pair["on-spring"]


def test_the_complaint_alone_moves_the_belief_it_is_compared_with() -> None:
    net = network()
    start = posterior(net.prior, [net.symptom("lazy")])
    listed = marginals(start) / (1 - start.unlisted)
    assert marginals(net.given_complaint) == pytest.approx(listed)


def test_a_weight_stands_for_itself() -> None:
    learned = replace(CAUSES["ring-missing"], seen=Seen(just_fitted=4.5, settled="rare"))
    weights = [
        seen_weight(learned, policy(), History(changed))
        for changed in ("just-fitted", "nothing", "earlier")
    ]
    assert weights == [4.5, 1.0, (4.5 + 1.0) / 2.0]


def test_a_set_of_flags_is_a_rarer_slip_than_one_flag() -> None:
    both = ["hose-loose", "wrong-port"]
    one, two = (network().finding("hose-trace", both[:n], "asked") for n in (1, 2))
    # Three answers; of two flags there is one set of two.
    assert (one.outcomes, two.outcomes) == (3, 3)
    flags = {f"f{k}": "a flag" for k in range(5)}
    wide = replace(CHECKS["hose-trace"], answers={"none": "none", **flags}, given={}, healthy={})
    book = replace(BOOK, checks={**BOOK.checks, "hose-trace": wide})
    wide_network = Network(book, OUTER, "lazy", History())
    sets = [wide_network.finding("hose-trace", list(flags)[:n], "asked") for n in range(1, 6)]
    # Binomial coefficients of 5: 5, 10, 10, 5, 1; a single flag counts as one of six answers.
    assert [one.outcomes for one in sets] == [6, 60, 60, 30, 6]
    assert all(float(one.mixed(np.zeros(1))[0]) > 0.0 for one in sets)
