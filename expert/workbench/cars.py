"""Invented cars: which cause one has, and how it answers."""

from __future__ import annotations

import numpy as np

from expert.case.consult import Consultation
from expert.reasoning.belief import marginals
from expert.reasoning.channels import Floats
from expert.reasoning.network import AS_DESIGNED, Network
from expert.workbench.drive import Reply


def likely_causes(network: Network) -> dict[str, float]:
    """How likely each cause is for a car with the complaint, faults alone and no surprise."""
    chance = marginals(network.given_complaint)
    shares = {
        cause: float(chance[column])
        for cause, column in network.column.items()
        if not cause.startswith(AS_DESIGNED)
    }
    total = sum(shares.values())
    return {cause: share / total for cause, share in shares.items()}


def answer_shares(network: Network, check: str, cause: str) -> Floats:
    """How often a car with this cause alone gives each answer, in the order of the check."""
    terms = network.channel(check).terms
    column = network.column[cause]
    shares = np.array([term.of_single()[column] for term in terms])
    whole: Floats = shares / shares.sum()
    return whole


def history_of(consultation: Consultation, check: str, cause: str) -> tuple[str, ...]:
    """What the owner of such a car says of its past: the likelier of the two stories."""
    entry = consultation.knowledge.causes[cause]
    answers = consultation.knowledge.checks[check].answers
    if check == "what-changed":
        weight = consultation.knowledge.policy.weight
        fresh = weight(entry.seen.just_fitted) > weight(entry.seen.settled)
        return ("just-fitted",) if fresh else ("nothing",)
    return tuple(area for area in entry.work if area in answers)[:1]


def typical(cause: str) -> Reply:
    """A car that gives the likeliest answer to everything."""

    def reply(consultation: Consultation, check: str) -> tuple[str, ...]:
        if consultation.knowledge.checks[check].kind == "history":
            return history_of(consultation, check, cause)
        network = consultation.network
        best = int(np.argmax(answer_shares(network, check, cause)))
        return (network.channel(check).answers[best],)

    return reply


def drawn(cause: str, rng: np.random.Generator) -> Reply:
    """A car whose answers are drawn as the knowledge says they fall."""

    def reply(consultation: Consultation, check: str) -> tuple[str, ...]:
        if consultation.knowledge.checks[check].kind == "history":
            return history_of(consultation, check, cause)
        network = consultation.network
        shares = answer_shares(network, check, cause)
        chosen = int(rng.choice(len(shares), p=shares))
        return (network.channel(check).answers[chosen],)

    return reply
