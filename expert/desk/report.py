"""A triaged message as JSON, documented in docs/json.md."""

from __future__ import annotations

from typing import Any

from expert.desk.attached import Log
from expert.desk.triage import Triage
from expert.evidence.mail.figures import Figure
from expert.evidence.mail.understood import Heard


def message_report(triage: Triage) -> dict[str, Any]:
    """The object of one message. Pressures are gauge kPa, null where not said or not clear."""
    told, mail, assessed = triage.read.understanding, triage.read.mail, triage.assessed
    return {
        "number": triage.read.number,
        "file": triage.read.file,
        "message_id": mail.message_id if mail else "",
        "subject": mail.subject if mail else "",
        "date": mail.date.isoformat() if mail and mail.date else None,
        "kind": triage.kind,
        "problem": triage.read.problem,
        "symptoms": list(told.symptoms),
        "setup": told.setup,
        "gate": told.gate,
        "bypass": told.bypass,
        "recent_work": told.recent_work,
        "spring_kpa": told.spring_kpa,
        "boost_kpa": told.boost_kpa,
        "target_kpa": told.target_kpa,
        "unclear": [_figure(one) for one in told.unclear],
        "facts": [
            {
                "check": one.check,
                "answer": one.answer,
                "quote": one.quote,
                "start": one.start,
                "end": one.end,
            }
            for one in told.facts
        ],
        "heard": [_heard(one) for one in told.heard],
        "danger": round(told.danger, 3),
        "alarming": [_heard(one) for one in told.alarming],
        "attachments": [
            {"name": one.name, "kind": one.kind, "table": one.table}
            for one in (mail.attachments if mail else ())
        ],
        "logs": [_log(one) for one in triage.logs],
        "drive": assessed.drive,
        "because": list(assessed.because),
        "causes": [{"id": name, "probability": chance} for name, chance in assessed.causes],
        "questions": [{"check": one.check, "ask": one.ask} for one in triage.queries if one.check],
        "intake": [{"about": one.about, "ask": one.ask} for one in triage.queries if not one.check],
        "urgency": triage.urgency,
        "case": triage.case,
        "new": len(triage.news),
    }


def _figure(figure: Figure) -> dict[str, Any]:
    return {
        "value": figure.value,
        "unit": figure.unit,
        "of": figure.role,
        "start": figure.start,
        "end": figure.end,
    }


def _log(log: Log) -> dict[str, Any]:
    return {
        "name": log.name,
        "usable": log.usable,
        "reason": log.reason,
        "symptoms": list(log.symptoms),
        "findings": [{"check": check, "answer": answer} for check, answer in log.findings],
    }


def _heard(heard: Heard) -> dict[str, Any]:
    return {
        "kind": heard.meaning.kind,
        "id": heard.meaning.id,
        "answer": heard.meaning.answer,
        "stance": heard.stance,
        "quote": heard.quote,
        "start": heard.start,
        "end": heard.end,
        "subject": heard.in_subject,
    }
