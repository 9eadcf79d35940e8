"""What to ask by mail: ``expert/desk/asking.py``."""

from __future__ import annotations

import numpy as np
import pytest

from expert.case.consult import Consultant
from expert.case.events import Answered, Described, Event
from expert.case.offer import Offer
from expert.case.state import State, fold
from expert.desk.asking import HOUSEHOLD, LONGEST_MINUTES, MailConsultant, home_checks, same_parts
from expert.reasoning.belief import Belief, Evidence, posterior
from tests.desk.mails import knowledge

KINDS = [
    (setup, symptom)
    for setup, layout in knowledge().setups.items()
    if not layout.gates
    for symptom in knowledge().symptoms
]


def state(setup: str, symptom: str, *answers: Event) -> State:
    return fold([Described("setup", setup), Described("symptom", symptom), *answers])


@pytest.mark.parametrize(("setup", "symptom"), KINDS)
def test_all_but_the_questions_is_as_everywhere(setup: str, symptom: str) -> None:
    one = state(setup, symptom)
    mail, plain = MailConsultant(knowledge()).consult(one), Consultant(knowledge()).consult(one)
    assert mail.verdict == plain.verdict
    assert mail.order == plain.order
    assert (mail.probability == plain.probability).all()
    assert mail.gate == plain.gate


@pytest.mark.parametrize(("setup", "symptom"), KINDS)
def test_what_is_asked_is_offered_and_can_be_done_at_home(setup: str, symptom: str) -> None:
    mail = MailConsultant(knowledge()).consult(state(setup, symptom))
    assert mail.to_ask[0] == "red-flags"
    assert len(set(mail.to_ask)) == len(mail.to_ask)
    for name in mail.to_ask:
        item = mail.offered(name)
        assert isinstance(item, Offer)
        assert not item.check.loads_engine
        assert HOUSEHOLD.issuperset(item.check.tools)
        assert item.minutes <= LONGEST_MINUTES or name == "hose-trace"


def test_nothing_is_asked_twice() -> None:
    known = Answered("red-flags", ("none",), "mail"), Answered("hose-trace", ("matches",), "mail")
    mail = MailConsultant(knowledge()).consult(state("external-single", "lazy", *known))
    assert not {"red-flags", "hose-trace"} & set(mail.to_ask)


def test_likelihoods_are_those_of_single_causes_with_the_slip() -> None:
    network = MailConsultant(knowledge()).consult(state("external-single", "lazy")).network
    home = home_checks(network)
    ends = [*home.starts[1:], len(home.likelihood)]
    slip = knowledge().policy.slip.asked
    several = 0
    for name, start, end in zip(home.names, home.starts, ends, strict=True):
        rows, answers = home.likelihood[start:end], network.channel(name).answers
        several += len(rows) - len(answers)
        assert len(rows) - len(answers) in {0, 1}
        for row, answer in zip(rows, answers, strict=False):
            evidence: Evidence = network.finding(name, (answer,), "asked")
            expected = (1 - slip) * evidence.terms.of_single() + slip / len(answers)
            assert row == pytest.approx(expected)
        # Slips over the answers sum to one; what several flags take is a row of its own.
        if len(rows) == len(answers):
            assert rows.sum(axis=0) == pytest.approx(np.ones(len(network.causes)))
    assert several > 0


def test_worth_is_what_an_answer_saves_worked_out_the_long_way() -> None:
    """One fault, one check ahead, every answer by itself: the definition, without arrays."""
    one = state("internal-nipple", "spring-ceiling")
    mail = MailConsultant(knowledge()).consult(one)
    network, policy = mail.network, knowledge().policy
    single = Belief(mail.probability, np.zeros_like(mail.belief.pair), mail.belief.unlisted)
    scale = (1.0 - mail.belief.unlisted) / mail.probability.sum()
    single = Belief(single.single * scale, single.pair, single.unlisted)

    def minutes(belief: Belief) -> float:
        """Repairs in the order p/C, for as long as that beats the workshop."""
        order = np.argsort(-belief.single / mail.repair_cost)
        best, spent, left = policy.workshop_minutes, 0.0, 1.0
        for cause in order:
            spent += mail.repair_cost[cause] * left
            left -= belief.single[cause]
            best = min(best, spent + policy.workshop_minutes * left)
        return best

    name = "duty-commanded"
    expected = minutes(single) - knowledge().checks[name].minutes
    for answer in network.channel(name).answers:
        evidence = network.finding(name, (answer,), "asked")
        chance = float(
            (single.single * evidence.mixed(evidence.terms.of_single())).sum()
            + single.unlisted * evidence.mixed(np.array(evidence.unlisted))
        )
        expected -= chance * minutes(posterior(single, [evidence]))
    offered = mail.offered(name)
    assert isinstance(offered, Offer)
    # Only the likeliest causes are told apart, which changes next to nothing.
    assert offered.value == pytest.approx(expected, rel=0.05)


@pytest.mark.parametrize("symptom", list(knowledge().symptoms))
def test_cars_with_the_same_parts_share_all_but_what_unlisted_shows(symptom: str) -> None:
    consultant = MailConsultant(knowledge())
    alike = home_checks(consultant.consult(state("external-single", "lazy")).network)
    other = consultant.consult(state("external-single", symptom)).network
    found, expected = same_parts(other, alike), home_checks(other)
    assert found.names == expected.names
    assert found.starts == expected.starts
    for name in ("likelihood", "unlisted", "minutes"):
        assert getattr(found, name) == pytest.approx(getattr(expected, name))


def test_the_arrays_of_few_cars_are_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("expert.desk.asking._MOST_CARS", 3)
    consultant = MailConsultant(knowledge())
    first = consultant.consult(state(*KINDS[0])).to_ask
    for setup, symptom in KINDS[1:12]:
        consultant.consult(state(setup, symptom)).to_ask  # noqa: B018
        assert len(consultant._networks) <= 3
    assert consultant.consult(state(*KINDS[0])).to_ask == first
