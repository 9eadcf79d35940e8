"""A consultation as one JSON object, stable and documented in docs/json.md."""

from __future__ import annotations

from typing import Any

from expert.case.consult import Consultation
from expert.case.firmness import firmness
from expert.case.offer import Offer
from expert.case.picture import RankedCause
from expert.case.steps import AskStep

FORMAT = 1
MOST_PAIRS = 10
MOST_NEXT = 5
MOST_REPAIRS = 10


def rank_report(consultation: Consultation) -> dict[str, Any]:
    """The object that ``gatepost rank --json`` prints. Values and costs are minutes."""
    state = consultation.state
    verdict = consultation.verdict
    return {
        "format": FORMAT,
        "knowledge": consultation.knowledge.digest,
        "setup": state.setup,
        "gate": state.gate,
        "bypass": state.bypass,
        "symptom": state.symptoms[0],
        "symptoms": list(state.symptoms),
        "spring_kpa": state.spring_kpa,
        "target_kpa": state.target_kpa,
        "answers": [
            {"check": finding.check, "answer": answer, "origin": finding.origin}
            for finding in state.findings
            for answer in finding.answers or ("unknown",)
        ],
        "causes": [_cause(consultation.ranked(cause)) for cause in consultation.order],
        "pairs": [
            {"ids": list(ids), "probability": chance}
            for ids, chance in consultation.pairs(MOST_PAIRS)
        ],
        "unlisted": consultation.belief.unlisted,
        "drive": verdict.drive,
        "because": list(verdict.because),
        "load_allowed": consultation.gate.allowed,
        "load_because": list(consultation.gate.because),
        "doubtful": [
            {"check": doubt.check, "answer": joined(doubt.answers), "expected": doubt.expected}
            for doubt in consultation.doubtful
        ],
        "firmness": _firmness(consultation),
        "next": [_offer(item) for item in next_offers(consultation, MOST_NEXT)],
        "repair": [
            {"cause": repair.cause, "probability": repair.probability, "cost": repair.cost}
            for repair in consultation.repairs(MOST_REPAIRS)
        ],
    }


def next_offers(consultation: Consultation, most: int) -> list[Offer]:
    """The check that comes next, then others worth their minutes, the most valuable first."""
    step = consultation.step
    first = [step.offer] if isinstance(step, AskStep) else []
    named = {item.id for item in first}
    rest = [item for item in consultation.offers if item.id not in named and item.value > 0.0]
    return (first + rest)[:most]


def joined(answers: tuple[str, ...]) -> str:
    """Several flags of one nominal check, as one word."""
    return "+".join(answers)


def _cause(ranked: RankedCause) -> dict[str, Any]:
    return {
        "id": ranked.id,
        "title": ranked.cause.title,
        "probability": ranked.probability,
        "danger": ranked.danger,
        "why": [
            {"check": item.check, "answer": joined(item.answers), "decibans": item.decibans}
            for item in ranked.why
        ],
    }


def _firmness(consultation: Consultation) -> dict[str, float]:
    found = firmness(consultation)
    return {
        "draws": found.draws,
        "top_stays": found.top_stays,
        "verdict_stays": found.verdict_stays,
    }


def _offer(item: Offer) -> dict[str, Any]:
    return {
        "check": item.id,
        "ask": item.check.ask,
        "minutes": item.minutes,
        "value": item.value,
    }
