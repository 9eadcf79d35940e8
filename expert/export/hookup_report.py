"""A verdict on a plumbing as a JSON object."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from expert.evidence.hookup.findings import findings
from expert.evidence.hookup.physics import SHARES
from expert.evidence.hookup.verdict import Verdict
from expert.evidence.hookup.words import mending_words
from expert.model import Knowledge

FORMAT: Final = 1


def hookup_report(
    knowledge: Knowledge, setup: str, verdict: Verdict, spring_known: bool, looked: bool = True
) -> dict[str, Any]:
    """The object that ``gatepost hookup --json`` prints; pressures are gauge kPa.

    Boost is null where nothing limits it, and wherever the spring is not known. Nothing is found
    unless somebody ``looked``.
    """
    boost_pa = verdict.behaviour.boost_pa
    return {
        "format": FORMAT,
        "setup": setup,
        "ok": verdict.ok,
        "wrong": [
            {"port": one.port, "found": one.found, "expected": one.expected}
            for one in verdict.wrong
        ],
        "moves": mending_words(knowledge, verdict),
        "source_kpa": _kpa(verdict.behaviour.source_pa),
        "gate_kpa": {k: _kpa(verdict.behaviour.sights[k].net_pa) for k in SHARES},
        "boost_kpa": {k: _boost(boost_pa[k], spring_known) for k in SHARES},
        "unlimited": {k: boost_pa[k] is None for k in SHARES},
        "symptoms": {k: list(ids) for k, ids in verdict.symptoms.items()},
        "drive": verdict.drive,
        "because": list(verdict.because),
        "findings": [
            {"check": one.check, "answers": list(one.answers)}
            for one in (findings(knowledge, verdict) if looked else [])
        ],
    }


def _boost(boost_pa: float | None, spring_known: bool) -> float | None:
    return None if boost_pa is None or not spring_known else _kpa(boost_pa)


def _kpa(pressure_pa: float) -> float:
    return round(pressure_pa / 1000.0, 2) + 0.0


def expectation_report(numbers: Mapping[str, Any]) -> dict[str, Any]:
    """The object that ``gatepost boost --json`` prints."""
    return {"format": FORMAT, **numbers}
