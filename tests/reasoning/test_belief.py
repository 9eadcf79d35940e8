"""Exact belief against published networks and a general Bayesian-network library."""

from __future__ import annotations

from itertools import combinations, product

import numpy as np
import pyagrum as gum
import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.reasoning.belief import (
    Belief,
    Evidence,
    Question,
    any_of,
    best_story,
    chance_under,
    marginals,
    normalised,
    posterior,
    predict,
    prior,
    updated,
    without,
)
from expert.reasoning.channels import Floats, Terms, graded


def table_terms(single: list[float]) -> Terms:
    """A likelihood given cause by cause, for beliefs without pairs."""
    return Terms(np.ones(1), np.array([single]))


def alone(odds: list[float], unlisted: float = 0.0) -> Belief:
    """A belief over single causes only."""
    return prior(np.array(odds), np.zeros(len(odds), bool), 0.0, unlisted)


def exact(likelihood: list[float]) -> Evidence:
    return Evidence(table_terms(likelihood), 0.0, 0.0, 2)


def test_burglary_posterior() -> None:
    # Russell and Norvig, Artificial Intelligence: A Modern Approach, the burglary network.
    # Tables seen in a stored source; the two priors .001 and .002 are from memory. The four
    # hypotheses are the joint states of burglary and earthquake.
    burglary, earthquake = 0.001, 0.002
    states = list(product([True, False], repeat=2))
    weight = [
        (burglary if b else 1 - burglary) * (earthquake if e else 1 - earthquake) for b, e in states
    ]
    alarm = {(True, True): 0.95, (True, False): 0.94, (False, True): 0.29, (False, False): 0.001}
    both_call = [alarm[s] * 0.90 * 0.70 + (1 - alarm[s]) * 0.05 * 0.01 for s in states]
    belief = posterior(alone(weight), [exact(both_call)])
    p = belief.single
    assert p[0] + p[1] == pytest.approx(0.284171835, abs=1e-9)
    assert p[0] + p[2] == pytest.approx(0.176067, abs=1e-6)

    rings = posterior(alone(weight), [exact([alarm[s] for s in states])]).single
    assert rings[0] + rings[1] == pytest.approx(0.373551, abs=1e-6)
    assert rings[0] / (rings[0] + rings[2]) == pytest.approx(0.003268, abs=1e-6)


def test_asia_posterior() -> None:
    # S. L. Lauritzen and D. J. Spiegelhalter, "Local computations with probabilities on graphical
    # structures", JRSS B 1988: the chest-clinic network. Hypotheses are the joint states of
    # tuberculosis, lung cancer and bronchitis for a visitor to Asia.
    states = list(product([True, False], repeat=3))

    def smoking_mix(yes: float, no: float) -> float:
        return 0.5 * yes + 0.5 * no

    weight = []
    for tub, lung, bronc in states:
        p_tub = 0.05 if tub else 0.95
        given_smoker = (0.1 if lung else 0.9) * (0.6 if bronc else 0.4)
        given_none = (0.01 if lung else 0.99) * (0.3 if bronc else 0.7)
        weight.append(p_tub * smoking_mix(given_smoker, given_none))
    dysp = {(True, True): 0.9, (True, False): 0.7, (False, True): 0.8, (False, False): 0.1}
    breathless = [dysp[(tub or lung), bronc] for tub, lung, bronc in states]
    xray = [0.98 if tub or lung else 0.05 for tub, lung, _ in states]

    def shares(findings: list[Evidence]) -> list[float]:
        p = posterior(alone(weight), findings).single
        return [float(sum(p[k] for k, s in enumerate(states) if s[axis])) for axis in range(3)]

    seen = exact(breathless)
    dark, clear = exact(xray), exact([1 - x for x in xray])
    assert shares([seen]) == pytest.approx([0.087751, 0.099525, 0.811402], abs=1e-6)
    assert shares([seen, dark]) == pytest.approx([0.391712, 0.444271, 0.628822], abs=1e-6)
    assert shares([seen, clear]) == pytest.approx([0.002249, 0.002550, 0.862761], abs=1e-6)


# A general Bayesian-network library (pyagrum, from the registry) as the oracle. The library gets
# one node `hypothesis` with every single cause, pair and `unlisted` as its states, one node a
# cause that is there or not, and one explicit table a check, filled by counting over the levels
# of each cause and the leak, which shares no code with the product form under test.


def _worst_of(columns: list[Floats]) -> Floats:
    levels = np.zeros(len(columns[0]))
    for choice in product(*[range(len(column)) for column in columns]):
        levels[max(choice)] += np.prod(
            [column[k] for column, k in zip(columns, choice, strict=True)]
        )
    return levels


def _random_problem(seed: int) -> tuple[gum.BayesNet, Belief, list[tuple[str, list[Evidence]]]]:
    rng = np.random.default_rng(seed)
    causes = int(rng.integers(2, 9))
    odds = rng.uniform(0.1, 5.0, causes)
    second, unlisted = float(rng.uniform(0.02, 0.5)), float(rng.uniform(0.01, 0.2))
    start = prior(odds, np.ones(causes, bool), second, unlisted)

    stories = [(k,) for k in range(causes)] + list(combinations(range(causes), 2)) + [None]
    pair_total = sum(odds[i] * odds[j] for i, j in combinations(range(causes), 2))
    weight = [
        unlisted
        if story is None
        else odds[story[0]] / odds.sum() * (1 - second) * (1 - unlisted)
        if len(story) == 1
        else odds[story[0]] * odds[story[1]] / pair_total * second * (1 - unlisted)
        for story in stories
    ]
    net = gum.BayesNet()
    net.add(gum.LabelizedVariable("hypothesis", "", len(stories)))
    net.cpt("hypothesis").fillWith(weight)
    for k in range(causes):
        name = f"cause{k}"
        net.add(gum.LabelizedVariable(name, "", 2))
        net.addArc("hypothesis", name)
        for row, story in enumerate(stories):
            there = float(story is not None and k in story)
            net.cpt(name)[{"hypothesis": row}] = [1 - there, there]

    checks = []
    for c in range(int(rng.integers(1, 6))):
        answers = int(rng.integers(2, 5))
        share = rng.dirichlet(np.ones(answers), causes).T
        leak, none = rng.dirichlet(np.ones(answers)), rng.dirichlet(np.ones(answers))
        slip = float(rng.uniform(0.0, 0.2))
        name = f"check{c}"
        net.add(gum.LabelizedVariable(name, "", answers))
        net.addArc("hypothesis", name)
        for row, story in enumerate(stories):
            levels = none if story is None else _worst_of([leak, *(share[:, k] for k in story)])
            net.cpt(name)[{"hypothesis": row}] = list((1 - slip) * levels + slip / answers)
        evidences = [
            Evidence(terms, float(none[a]), slip, answers)
            for a, terms in enumerate(graded(share, leak))
        ]
        checks.append((name, evidences))
    return net, start, checks


@pytest.mark.parametrize("block", range(20))
def test_random_networks_equal_a_general_library(block: int) -> None:
    for seed in range(block * 12, block * 12 + 12):
        net, start, checks = _random_problem(seed)
        rng = np.random.default_rng(10_000 + seed)
        seen = [(name, int(rng.integers(len(items))), items) for name, items in checks[:-1]]
        belief = posterior(start, [items[answer] for _, answer, items in seen])

        engine = gum.LazyPropagation(net)
        engine.setEvidence({name: answer for name, answer, _ in seen})
        engine.makeInference()
        expected = [engine.posterior(f"cause{k}")[1] for k in range(len(start.single))]
        assert marginals(belief) == pytest.approx(expected, abs=1e-9)
        assert belief.unlisted == pytest.approx(
            engine.posterior("hypothesis").toarray()[-1], abs=1e-9
        )

        last, items = checks[-1]
        none = np.array([item.unlisted for item in items])
        question = Question(tuple(item.terms for item in items), none, items[0].slip)
        foreseen = predict(belief, [question])[0]
        assert foreseen.answer == pytest.approx(engine.posterior(last).toarray(), abs=1e-9)
        for answer, item in enumerate(items):
            after = updated(belief, item)
            joint = marginals(after) * foreseen.answer[answer]
            assert foreseen.joint[answer] == pytest.approx(joint, abs=1e-9)


def test_a_second_fault_has_its_prior_however_many_causes_there_are() -> None:
    for causes in (2, 5, 60):
        belief = prior(np.arange(1.0, causes + 1.0), np.ones(causes, bool), 0.3, 0.05)
        listed = belief.single.sum() + belief.pair.sum() / 2
        assert listed == pytest.approx(0.95)
        assert belief.pair.sum() / 2 / listed == pytest.approx(0.3)


def test_causes_that_form_no_pairs_have_none() -> None:
    belief = prior(np.ones(3), np.array([True, True, False]), 0.3, 0.05)
    assert belief.pair[2].sum() == 0.0
    assert belief.pair[0, 1] > 0.0


def test_impossible_evidence_falls_to_unlisted() -> None:
    start = prior(np.ones(3), np.ones(3, bool), 0.2, 0.05)
    never = Evidence(Terms(np.zeros(1), np.ones((1, 3))), 0.0, 0.0, 2)
    belief = posterior(start, [never, never])
    assert belief.unlisted == 1.0
    assert marginals(belief).tolist() == [0.0, 0.0, 0.0]


def test_no_causes_at_all_is_unlisted() -> None:
    belief = prior(np.zeros(0), np.zeros(0, bool), 0.2, 0.05)
    assert belief.unlisted == 1.0
    assert best_story(belief) == ()


def test_hundreds_of_findings_do_not_underflow() -> None:
    start = prior(np.ones(4), np.ones(4, bool), 0.2, 0.05)
    rare = Evidence(Terms(np.full(1, 1e-3), np.ones((1, 4))), 1e-3, 0.0, 2)
    belief = posterior(start, [rare] * 500)
    assert marginals(belief) == pytest.approx(marginals(start))


@st.composite
def beliefs(draw: st.DrawFn) -> Belief:
    n = draw(st.integers(1, 6))
    numbers = st.floats(0, 1, allow_subnormal=False)
    single = np.array(draw(st.lists(numbers, min_size=n, max_size=n)))
    upper = np.triu(
        np.array(draw(st.lists(numbers, min_size=n * n, max_size=n * n))).reshape(n, n), 1
    )
    return normalised(single, upper + upper.T, draw(numbers))


def _by_name(belief: Belief) -> dict[tuple[int, ...], float]:
    stories = {(k,): float(p) for k, p in enumerate(belief.single)}
    stories |= {
        (i, j): float(belief.pair[i, j]) for i, j in combinations(range(len(belief.single)), 2)
    }
    return stories


@given(beliefs())
def test_belief_sums_to_one_and_marginals_count_every_story(belief: Belief) -> None:
    stories = _by_name(belief)
    assert sum(stories.values()) + belief.unlisted == pytest.approx(1.0)
    for k, p in enumerate(marginals(belief)):
        assert p == pytest.approx(sum(q for story, q in stories.items() if k in story), abs=1e-12)


@given(beliefs(), st.data())
def test_any_of_counts_the_stories_with_a_marked_cause(belief: Belief, data: st.DataObject) -> None:
    n = len(belief.single)
    member = np.array(data.draw(st.lists(st.booleans(), min_size=n, max_size=n)))
    expected = sum(
        q for story, q in _by_name(belief).items() if any(member[cause] for cause in story)
    )
    assert any_of(belief, member) == pytest.approx(expected, abs=1e-9)


@given(beliefs(), st.data())
def test_ruling_causes_out_leaves_the_other_stories_in_proportion(
    belief: Belief, data: st.DataObject
) -> None:
    n = len(belief.single)
    out = data.draw(st.sets(st.integers(0, n - 1)))
    left = without(belief, sorted(out))
    kept = {s: q for s, q in _by_name(belief).items() if not out.intersection(s)}
    total = sum(kept.values()) + belief.unlisted
    for story, q in _by_name(left).items():
        if total > 1e-12:
            assert q == pytest.approx(kept.get(story, 0.0) / total, abs=1e-9)


@given(beliefs())
def test_best_story_is_the_likeliest(belief: Belief) -> None:
    stories = _by_name(belief) | {(): belief.unlisted}
    assert stories[best_story(belief)] == max(stories.values())


@given(beliefs(), st.lists(st.floats(0, 1), min_size=6, max_size=6))
def test_relabelling_changes_nothing(belief: Belief, shares: list[float]) -> None:
    n = len(belief.single)
    share = np.array(shares[:n])
    terms = graded(np.stack([1 - share, share]), np.array([0.9, 0.1]))[1]
    turned = np.arange(n)[::-1]
    there = marginals(updated(belief, Evidence(terms, 0.1, 0.02, 2)))
    mirrored = Belief(belief.single[turned], belief.pair[np.ix_(turned, turned)], belief.unlisted)
    again = marginals(
        updated(mirrored, Evidence(Terms(terms.weight, terms.factor[:, turned]), 0.1, 0.02, 2))
    )
    assert again[turned] == pytest.approx(there, abs=1e-9)


def test_chance_under_a_story_mixes_in_the_slip() -> None:
    terms = graded(np.array([[0.1, 0.4], [0.9, 0.6]]), np.array([1.0, 0.0]))[1]
    evidence = Evidence(terms, 0.3, 0.2, 2)
    assert chance_under((0,), evidence) == pytest.approx(0.8 * 0.9 + 0.1)
    assert chance_under((0, 1), evidence) == pytest.approx(0.8 * (1 - 0.1 * 0.4) + 0.1)
    assert chance_under((), evidence) == pytest.approx(0.8 * 0.3 + 0.1)


def test_no_questions_no_predictions() -> None:
    assert predict(alone([1.0, 1.0]), []) == []
