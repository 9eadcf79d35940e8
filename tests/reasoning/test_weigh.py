"""Weight of evidence in decibans, against Turing's and Jaynes's own figures."""

from __future__ import annotations

import numpy as np
import pytest

from expert.reasoning.belief import Belief, Evidence, posterior, prior
from expert.reasoning.channels import Terms, graded
from expert.reasoning.weigh import decibans, doubtful, explained, weights


def likely(values: list[float]) -> Evidence:
    return Evidence(Terms(np.ones(1), np.array([values])), 0.0, 0.0, 2)


def test_turing_factor_principle() -> None:
    # A. M. Turing, "The Applications of Probability to Cryptography", section 1.5 (as quoted by
    # a second source): prior 1/5 and factor (2/3)/(1/4) = 8/3 give odds 2/3, probability .4;
    # in decibans -6.0206 + 4.2597 = -1.7609.
    start = prior(np.array([1.0, 4.0]), np.zeros(2, bool), 0.0, 0.0)
    finding = likely([2 / 3, 1 / 4])
    assert posterior(start, [finding]).single[0] == pytest.approx(0.4)
    assert decibans(start.single)[0] == pytest.approx(-6.0206, abs=1e-4)
    assert weights(start, [finding])[0, 0] == pytest.approx(4.2597, abs=1e-4)
    assert decibans(posterior(start, [finding]).single)[0] == pytest.approx(-1.7609, abs=1e-4)


def test_turing_factor_of_one_point_two() -> None:
    # Ibid.: a factor of 1.2 is .7918124605 decibans.
    start = prior(np.array([1.0, 1.0]), np.zeros(2, bool), 0.0, 0.0)
    assert weights(start, [likely([0.6, 0.5])])[0, 0] == pytest.approx(0.7918124605, abs=1e-9)


def test_jaynes_bad_and_good_items() -> None:
    # E. T. Jaynes, Probability Theory: The Logic of Science, chapter 4 (as quoted by a second
    # source): for 1/3 against 1/6 a bad item is worth +3.0103 dB, a good one -0.9691 dB.
    start = prior(np.array([1.0, 10.0]), np.zeros(2, bool), 0.0, 0.0)
    bad, good = likely([1 / 3, 1 / 6]), likely([2 / 3, 5 / 6])
    found = weights(start, [bad, good, bad])
    assert found[:, 0] == pytest.approx([3.0103, -0.9691, 3.0103], abs=1e-4)


def test_causes_ruled_out_take_no_part() -> None:
    start = prior(np.ones(3), np.ones(3, bool), 0.2, 0.05)
    finding = likely([0.9, 0.1, 0.1])
    narrowed = prior(np.ones(2), np.ones(2, bool), 0.2, 0.05)
    kept = weights(start, [finding], out=[2])[0, :2]
    assert kept[0] > 0.0 > kept[1]
    assert np.sign(kept).tolist() == np.sign(weights(narrowed, [likely([0.9, 0.1])])[0]).tolist()


def test_no_findings_no_weights() -> None:
    start = prior(np.ones(3), np.ones(3, bool), 0.2, 0.05)
    assert weights(start, []).shape == (0, 3)


def test_certainty_stays_finite() -> None:
    assert np.isfinite(decibans(np.array([0.0, 1.0]))).all()


def _contradiction() -> tuple[Belief, list[Evidence]]:
    start = prior(np.array([1.0, 1.0]), np.ones(2, bool), 0.05, 0.05)
    shows_first = graded(np.array([[0.05, 1.0], [0.95, 0.0]]), np.array([0.99, 0.01]))
    strong = Evidence(shows_first[1], 0.01, 0.02, 2)
    against = Evidence(shows_first[0], 0.99, 0.02, 2)
    findings = [strong, strong, strong, against]
    return posterior(start, findings), findings


def test_a_finding_that_the_best_story_cannot_explain_is_doubtful() -> None:
    belief, findings = _contradiction()
    assert doubtful(belief, findings, below=0.15, notable=0.2) == [3]
    assert doubtful(belief, findings, below=0.01, notable=0.2) == []


def test_a_finding_that_a_likely_rival_explains_is_not_doubtful() -> None:
    belief, findings = _contradiction()
    rivals = explained(belief, findings[3], 0.15)
    assert 0.0 < rivals < 0.2
    assert doubtful(belief, findings, below=0.15, notable=rivals) == []


def test_every_story_explains_what_any_car_shows() -> None:
    belief, _ = _contradiction()
    anything = Evidence(Terms(np.ones(1), np.ones((1, 2))), 1.0, 0.0, 2)
    assert explained(belief, anything, 0.5) == pytest.approx(1.0)
