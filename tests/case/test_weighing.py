"""What the findings of a case amount to, against a general Bayesian-network library."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pyagrum as gum
import pytest

from expert.case.events import Answered, Described, Event, Mended, Persists
from expert.case.state import fold
from expert.case.weighing import counts, weighing
from expert.reasoning.belief import marginals, posterior
from expert.reasoning.network import History, Network
from tests.small import knowledge, policy

# Without slips, leaks of symptoms or an unlisted cause the tables below are those of the
# knowledge itself.
BOOK = knowledge(policy=policy(unlisted=1e-12, symptom_leak=0.0))
PARTS = frozenset({"turbo", "external-gate"})
SAID: list[Event] = [Described("symptom", "lazy")]


def network() -> Network:
    return Network(BOOK, PARTS, "lazy", History())


def believed(*events: Event) -> dict[str, float]:
    net = network()
    found = weighing(BOOK, fold([*SAID, *events]), net)
    belief = posterior(found.start, [item.evidence for item in found.items])
    return dict(zip(net.causes, marginals(belief), strict=True))


def slipped(p: float, answers: int) -> float:
    return 0.98 * p + 0.02 / answers


def test_persisting_complaint_equals_a_network_with_both_times() -> None:
    # The oracle has one node for the story of what is left beside the mended ring, the complaint
    # before the repair (with the ring), the plume seen before it, and the complaint after it.
    net = network()
    others = [cause for cause in net.causes if cause != "ring-missing"]
    start = net.prior
    column = net.column
    stories: list[tuple[str, ...]] = [(cause,) for cause in others]
    stories += list(combinations(others, 2))
    weight = [
        start.single[column[story[0]]]
        if len(story) == 1
        else start.pair[column[story[0]], column[story[1]]]
        for story in stories
    ]
    lazy = BOOK.symptoms["lazy"].causes
    smoke = BOOK.checks["smoke"].given

    def complains(causes: tuple[str, ...]) -> float:
        return 1.0 - float(np.prod([1.0 - lazy.get(cause, 0.0) for cause in causes]))

    def plume(causes: tuple[str, ...]) -> float:
        return 1.0 - float(
            np.prod([1.0 - smoke.get(cause, {}).get("plume", 0.0) for cause in causes])
        )

    oracle = gum.BayesNet()
    oracle.add(gum.LabelizedVariable("story", "", len(stories)))
    oracle.cpt("story").fillWith(weight).normalize()
    for name, chance, answers, with_ring in [
        ("before", complains, 2, True),
        ("plume", plume, 3, True),
        ("after", complains, 2, False),
    ]:
        oracle.add(gum.LabelizedVariable(name, "", 2))
        oracle.addArc("story", name)
        for row, story in enumerate(stories):
            p = slipped(chance((*story, "ring-missing") if with_ring else story), answers)
            oracle.cpt(name)[{"story": row}] = [1.0 - p, p]
    engine = gum.LazyPropagation(oracle)
    engine.setEvidence({"before": 1, "plume": 1, "after": 1})
    engine.makeInference()
    told = engine.posterior("story").toarray()

    found = believed(Answered("smoke", ("plume",)), Mended("ring-missing"), Persists())
    for cause in others:
        expected = sum(p for p, story in zip(told, stories, strict=True) if cause in story)
        assert found[cause] == pytest.approx(expected, abs=1e-9)
    assert found["ring-missing"] == 0.0


def test_under_test_the_partners_of_the_mended_cause_are_left() -> None:
    found = believed(Answered("smoke", ("plume",)), Mended("ring-missing"))
    before = believed(Answered("smoke", ("plume",)))
    assert found["ring-missing"] == 0.0
    assert found["charge-leak"] > before["ring-missing"]


def test_only_answers_that_mean_something_here_count() -> None:
    net = network()
    state = fold(
        [
            Answered("lamp", ("ring",)),
            Answered("lamp", ()),
            Answered("flap", ("stuck",)),
            Answered("what-changed", ("nothing",)),
            Answered("gone", ("yes",)),
            Answered("smoke", ("fog",)),
            Answered("shaft", ("broken",)),
        ]
    )
    kept = [finding.check for finding in state.findings if counts(BOOK, net, finding)]
    assert kept == ["shaft"]
