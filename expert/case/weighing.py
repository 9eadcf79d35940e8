"""What the findings of a case amount to: a belief to start from, and the evidence that moves it.

Three situations. Before any repair: the priors of the car, and every finding. After a repair that
did not end the complaint: the mended causes are out; what was seen before a repair was seen with
those causes in place, and the complaint of today must be explained by something else (J. S. Breese
and D. Heckerman, "Decision-theoretic troubleshooting: a framework for repair and experiment", UAI
1996). While a repair is under test: whatever else may be there beside the mended cause.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from expert.case.state import Finding, State
from expert.model import Knowledge
from expert.reasoning.belief import Belief, Evidence, beside, posterior, without
from expert.reasoning.network import Network

SYMPTOM = "symptom"


@dataclass(frozen=True, slots=True)
class Item:
    """One finding as evidence; ``check`` is "symptom" where it is a complaint."""

    check: str
    answers: tuple[str, ...]
    evidence: Evidence


@dataclass(frozen=True, slots=True)
class Weighing:
    """A belief to start from, with all that is certain in it, and the evidence to come."""

    start: Belief
    items: tuple[Item, ...]


def weighing(knowledge: Knowledge, state: State, network: Network) -> Weighing:
    """The start and the evidence of a case."""
    columns = network.column
    out = [columns[cause] for cause in state.ruled_out if cause in columns]
    if not state.verifying:
        gone = out + [columns[cause] for cause in state.mended if cause in columns]
        start = without(network.prior, gone) if gone else network.prior
        return Weighing(start, tuple(_items(knowledge, state, network, state.mended)))

    last = state.mended[-1]
    earlier = [columns[cause] for cause in state.mended[:-1] if cause in columns]
    start = without(network.prior, out + earlier) if out or earlier else network.prior
    before = replace(
        state, findings=tuple(one for one in state.findings if one.epoch < state.epoch)
    )
    known = _items(knowledge, before, network, state.mended[:-1])
    belief = posterior(start, [item.evidence for item in known])
    if last in columns:
        belief = beside(belief, columns[last])
    since = replace(
        state,
        symptoms=(),
        findings=tuple(one for one in state.findings if one.epoch == state.epoch),
    )
    items = [
        replace(item, evidence=replace(item.evidence, unlisted=item.evidence.terms.of_none()))
        for item in _items(knowledge, since, network, ())
    ]
    return Weighing(belief, tuple(items))


def _items(
    knowledge: Knowledge, state: State, network: Network, mended: tuple[str, ...]
) -> Iterator[Item]:
    """Complaints first, then checks, each with the mended causes that were there at the time."""
    for epoch in state.complaints:
        for symptom in state.symptoms:
            if symptom in knowledge.symptoms:
                evidence = network.symptom(symptom)
                columns = _there(network, mended[epoch:])
                if columns:
                    alone = evidence.terms.given_also(columns).of_none()
                    both = 1.0 - (1.0 - evidence.unlisted) * (1.0 - alone)
                    evidence = evidence.given_also(columns, both)
                yield Item(SYMPTOM, (symptom,), evidence)
    for finding in state.findings:
        if counts(knowledge, network, finding):
            evidence = network.finding(finding.check, finding.answers, finding.origin)
            columns = _there(network, mended[finding.epoch :])
            if columns:
                evidence = evidence.given_also(columns)
            yield Item(finding.check, finding.answers, evidence)


def _there(network: Network, causes: tuple[str, ...]) -> list[int]:
    return [network.column[cause] for cause in causes if cause in network.column]


def counts(knowledge: Knowledge, network: Network, finding: Finding) -> bool:
    """Is the finding evidence: known, and of a check that fits this car and knowledge?"""
    check = knowledge.checks.get(finding.check)
    return (
        check is not None
        and check.kind != "history"
        and bool(finding.answers)
        and all(answer in check.answers for answer in finding.answers)
        and check.fits(network.parts)
    )
