"""What logs show as one JSON object, stable and documented in docs/json.md."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, Final

from expert.case.consult import Consultation
from expert.case.safety import Verdict
from expert.evidence.log.advice import STOP
from expert.evidence.log.read import Testimony
from expert.evidence.log.record import Measured
from expert.export.report import FORMAT, rank_report

# In the order of the page that documents them.
FEATURES: Final = (
    "peak_boost_kpa",
    "boost_at_zero_duty_kpa",
    "steady_boost_kpa",
    "onset_rpm",
    "overshoot_pct",
    "creep_kpa_per_1000rpm",
    "hunting_period_s",
    "falls_kpa",
)
CLOSED: Final = "throttle_closed"


def log_report(
    testimonies: Sequence[Testimony],
    verdicts: Sequence[Verdict | None],
    consultation: Consultation | None,
    verdict: Verdict,
) -> dict[str, Any]:
    """The object that ``gatepost log --json`` prints.

    ``verdicts`` are those of the files taken alone, None for one that is not usable;
    ``consultation`` is of all files together, None while there is no complaint.
    """
    may_pull = consultation is not None and consultation.gate.allowed
    return {
        "format": FORMAT,
        "files": [
            _file(one, found, may_pull) for one, found in zip(testimonies, verdicts, strict=True)
        ],
        "drive": verdict.drive,
        "because": list(verdict.because),
        "load_allowed": may_pull,
        "case": rank_report(consultation) if consultation is not None else None,
    }


def _file(one: Testimony, verdict: Verdict | None, may_pull: bool) -> dict[str, Any]:
    return {
        "file": one.file,
        "usable": one.usable,
        "reason": one.reason or None,
        "notes": list(one.notes),
        "channels": {
            channel.id: {
                "column": channel.column,
                "unit": channel.unit,
                "certainty": channel.certainty,
                "because": channel.because,
                "reference": channel.reference,
            }
            for channel in one.channels
        },
        "pulls": [
            {
                "start_s": _finite(pull.span.from_s),
                "end_s": _finite(pull.span.to_s),
                "gear": pull.gear,
                "duty_pct": _finite(pull.duty_pct),
                "lowest": pull.lowest,
                "inferred": pull.inferred,
            }
            for pull in (one.features.pulls if one.features else ())
        ],
        "features": _features(one),
        "measured": {
            name: _measured(value)
            for name, value in (one.features.measured.items() if one.features else ())
        },
        "symptoms": [shown.symptom for shown in one.symptoms],
        "findings": [
            {
                "check": finding.check,
                "answer": finding.answer,
                "from_s": _finite(finding.span.from_s),
                "to_s": _finite(finding.span.to_s),
                "because": finding.because,
            }
            for finding in one.findings
        ],
        "cannot_tell": [
            {"checks": list(each.checks), "symptoms": list(each.symptoms), "because": each.because}
            for each in one.unsure
        ],
        "advice": [text for text in one.advice if may_pull or text == STOP],
        "drive": verdict.drive if verdict is not None else None,
    }


def _features(one: Testimony) -> dict[str, Any]:
    measured = one.features.measured if one.features else {}
    found: dict[str, Any] = {name: _value(measured.get(name)) for name in FEATURES}
    closed = _value(measured.get(CLOSED))
    found[CLOSED] = None if closed is None else closed >= 0.5
    return found


def _value(measured: Measured | None) -> float | None:
    return None if measured is None else _finite(measured.value)


def _finite(value: float | None) -> float | None:
    """A number to a thousandth, which is finer than anything a logger writes."""
    return None if value is None or not math.isfinite(value) else round(float(value), 3)


def _measured(value: Measured) -> dict[str, Any]:
    return {
        "value": _finite(value.value),
        "uncertainty": _finite(value.uncertainty),
        "from_s": _finite(value.span.from_s) if value.span else None,
        "to_s": _finite(value.span.to_s) if value.span else None,
        "why": value.why or None,
    }
