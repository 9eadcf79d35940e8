"""The queue of a mailbox: danger first, then age."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from email.utils import parseaddr
from typing import Final

from expert.desk.triage import Triage
from expert.model import Knowledge
from expert.text import clean

_LONGEST: Final = 48
COLUMNS: Final = (
    *("number", "urgency", "drive", "kind", "date", "from", "subject", "symptom", "cause"),
    *("probability", "new", "file", "message_id", "to_be_read"),
)
_LATEST: Final = datetime.max.replace(tzinfo=UTC)
# A cell that begins so is run as a formula by programs that open tables.
_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r")


@dataclass(frozen=True, slots=True)
class Row:
    """One message of the queue, in short texts."""

    number: int
    urgency: int
    drive: str
    kind: str
    date: datetime | None
    sender: str
    subject: str
    symptom: str
    cause: str
    probability: float | None
    new: int
    file: str
    message_id: str
    to_be_read: bool = False


def row_of(triage: Triage, knowledge: Knowledge) -> Row:
    """The row of a message."""
    mail = triage.read.mail
    causes = triage.assessed.causes
    first = causes[0] if causes else None
    return Row(
        number=triage.read.number,
        urgency=triage.urgency,
        drive=(triage.assessed.drive or "") if triage.kind != "unrelated" else "",
        kind=triage.kind,
        date=mail.date if mail else None,
        sender=clean(_name(mail.sender), _LONGEST) if mail else "",
        subject=clean(mail.subject or _first_line(mail.text), _LONGEST) if mail else "",
        symptom=_main_symptom(triage, knowledge),
        cause=knowledge.causes[first[0]].title if first else triage.read.problem,
        probability=first[1] if first else None,
        new=len(triage.news),
        file=triage.read.file,
        message_id=mail.message_id if mail else "",
        to_be_read=triage.to_be_read,
    )


def _main_symptom(triage: Triage, knowledge: Knowledge) -> str:
    """The first complaint, or the first that stops the car, such as one that only a log shows."""
    symptoms = triage.state.symptoms
    dangerous = (name for name in symptoms if knowledge.symptoms[name].danger == "stop")
    return next(dangerous, next(iter(symptoms), ""))


def _name(sender: str) -> str:
    """The name of a sender, or the address where there is none."""
    name, address = parseaddr(sender)
    return name or address or sender


def _first_line(text: str) -> str:
    return next((line for line in text.split("\n") if line.strip()), "")


def in_order(rows: Iterable[Row]) -> list[Row]:
    """The most urgent first; of these the oldest, those without a date after them."""
    return sorted(rows, key=lambda row: (-row.urgency, row.date or _LATEST, row.number))


def csv_of(rows: Iterable[Row]) -> str:
    """The queue as comma-separated values (RFC 4180), safe to open as a table."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for row in rows:
        chance = "" if row.probability is None else f"{row.probability:.3f}"
        cells = (
            *(row.number, row.urgency, row.drive, row.kind),
            row.date.isoformat() if row.date else "",
            *(row.sender, row.subject, row.symptom, row.cause, chance, row.new, row.file),
            *(row.message_id, "yes" if row.to_be_read else "no"),
        )
        writer.writerow([_cell(cell) for cell in cells])
    return out.getvalue()


def _cell(value: object) -> str:
    text = str(value)
    return f"'{text}" if text.startswith(_FORMULA) else text
