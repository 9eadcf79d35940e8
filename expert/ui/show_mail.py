"""The queue of a mailbox, and one message with the words that were understood, as blocks."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from expert.desk.attached import Log
from expert.desk.queue import Row
from expert.desk.triage import Triage
from expert.evidence.mail.understood import Heard
from expert.export.reply import lowered
from expert.model import Knowledge
from expert.text import clean
from expert.ui.protocol import (
    Banner,
    Bar,
    Bars,
    Block,
    Fact,
    Heading,
    Paragraph,
    Steps,
    Table,
)
from expert.units import shown_kpa

_DRIVE: Final = {
    "stop": "This car must stand still until its cause is found.",
    "caution": "Gently and off boost only, until more is known.",
}
# What stands in the place of a verdict: of a broken message nobody knows.
_NO_VERDICT: Final = {"broken": "not judged", "unrelated": "-"}
_NO_COMPLAINT: Final = {"vague": "vague, has to be asked", "unrelated": "about something else"}
_STANCES: Final = {
    "denied": "denied",
    "past": "in the past",
    "asked": "asked, not said",
    "hearsay": "told by others",
    "supposed": "supposed",
    "other-car": "of another car",
    "guessed": "guessed",
    "outweighed": "outweighed by the rest",
}
_KINDS: Final = {"part": "Part", "symptom": "Complaint", "answer": "Answer", "cause": "Suspected"}
_ORIGINS: Final = {
    "mail": "claimed in a mail",
    "log": "shown by a log",
    "hookup": "seen in a hookup",
    "asked": "checked at the car",
}
_LONGEST_LINE: Final = 400
_MOST_LINES: Final = 200


def queue_blocks(rows: Sequence[Row]) -> list[Block]:
    """The queue as a table, the most urgent first, and what it amounts to."""
    cells = tuple(
        (
            str(row.number),
            row.drive or _NO_VERDICT.get(row.kind, ""),
            row.date.strftime("%Y-%m-%d") if row.date else "",
            _message(row),
            _looks(row),
        )
        for row in rows
    )
    headers = ("No.", "Drive", "Date", "Message", "What it looks like")
    stopped = sum(row.drive == "stop" for row in rows)
    broken = sum(row.kind == "broken" for row in rows)
    if not rows:
        return [Paragraph("There is no message there.")]
    counts = f"{len(rows)} {'message' if len(rows) == 1 else 'messages'}"
    counts += f", {stopped} about a car that must stand still"
    if broken:
        counts += f", {broken} broken"
    return [
        Table("The queue: danger first, then the oldest", headers, cells),
        Paragraph(f"{counts}. To see one: gatepost mail show NUMBER PATH", apart=True),
    ]


def _message(row: Row) -> str:
    """Whose message it is and what it is about, and what is new in its case."""
    new = f" (+{row.new} new)" if row.new else ""
    named = ": ".join(text for text in (row.sender, row.subject) if text)
    return f"{named or row.file}{new}"


def _looks(row: Row) -> str:
    """What it amounts to; marked where words in it may tell of danger."""
    return f"{_amount(row)}; read it: may be grave" if row.to_be_read else _amount(row)


def _amount(row: Row) -> str:
    """The complaint and its likeliest cause, or why there is none."""
    if row.kind == "broken":
        return f"broken: {row.cause}"
    if not row.symptom:
        return _NO_COMPLAINT.get(row.kind, row.kind)
    chance = f" ({100 * row.probability:.0f} %)" if row.probability else ""
    return f"{row.symptom}: {lowered(row.cause)}{chance}" if row.cause else row.symptom


def message_blocks(triage: Triage, knowledge: Knowledge) -> list[Block]:
    """One message: its words with what was understood marked, and what follows."""
    mail, told = triage.read.mail, triage.read.understanding
    blocks: list[Block] = [Heading(f"Message {triage.read.number}")]
    if mail is None:
        problem = triage.read.problem
        return [
            *blocks,
            Paragraph(f"It cannot be read: {problem}.", strong=True),
            Paragraph("So nothing is judged: open it in a mail program and read it yourself."),
        ]
    for label, text in (("From", mail.sender), ("Subject", mail.subject), ("Case", triage.case)):
        if text:
            blocks.append(Fact(label, text))
    if mail.attachments:
        names = ", ".join(one.name for one in mail.attachments)
        blocks.append(Fact("Attached", names))
    blocks += _words(marked(mail.text, told.heard))
    blocks.append(Heading("Understood"))
    blocks.append(Fact("Kind", told.kind))
    blocks += [_heard(one, knowledge) for one in told.heard]
    blocks += [
        Fact(label, shown_kpa(kpa))
        for label, kpa in (
            ("Spring", told.spring_kpa),
            ("Boost", told.boost_kpa),
            ("Target", told.target_kpa),
        )
        if kpa is not None
    ]
    blocks += [
        Fact("Unclear", f"{one.value:g} {one.unit or 'without a unit'}, so it has to be asked")
        for one in told.unclear
    ]
    blocks += [_log(one) for one in triage.logs]
    if triage.to_be_read:
        words = "; ".join(f'"{clean(one.quote, 120)}"' for one in told.alarming)
        blocks.append(Paragraph(f"Read this yourself, it may tell of danger: {words}", strong=True))
    return [*blocks, *_held(triage), *_amounts(triage, knowledge)]


def _held(triage: Triage) -> list[Block]:
    """What the case holds by now: of all its messages, and as it has been corrected."""
    state = triage.state
    if not triage.case or not (state.symptoms or state.findings):
        return []
    blocks: list[Block] = [Heading("The case holds")]
    described = (
        ("Complaint", ", ".join(state.symptoms)),
        ("Setup", ", ".join(one for one in (state.setup, state.gate, state.bypass) if one)),
        ("Spring", shown_kpa(state.spring_kpa) if state.spring_kpa is not None else ""),
        ("Target", shown_kpa(state.target_kpa) if state.target_kpa is not None else ""),
    )
    blocks += [Fact(label, text) for label, text in described if text]
    return [
        *blocks,
        *(
            Fact("Answer", f"{one.check}={','.join(one.answers)} ({_ORIGINS[one.origin]})")
            for one in state.findings
            if one.answers
        ),
    ]


def _log(log: Log) -> Fact:
    """What a log shows, or why it is of no use."""
    if not log.usable:
        return Fact("Log", f"{log.name} is of no use: {log.reason}")
    shows = [*log.symptoms, *(f"{check}={answer}" for check, answer in log.findings)]
    return Fact("Log", f"{log.name} shows {', '.join(shows) or 'nothing out of order'}")


def _amounts(triage: Triage, knowledge: Knowledge) -> list[Block]:
    assessed = triage.assessed
    if triage.kind in {"unrelated", "broken"}:
        return []
    blocks: list[Block] = [Heading("What it amounts to")]
    if assessed.drive is not None and assessed.drive != "ok":
        blocks.append(Banner(assessed.drive, _DRIVE[assessed.drive], assessed.because))
    if assessed.causes:
        bars = tuple(
            Bar(knowledge.causes[name].title, chance)
            for name, chance in assessed.causes[:5]
            if name in knowledge.causes
        )
        blocks.append(Bars("How likely each cause is", bars))
    if triage.queries:
        asks = tuple(f"{one.check}: {one.ask}" if one.check else one.ask for one in triage.queries)
        blocks.append(Steps("Ask next", asks))
    return blocks


def marked(text: str, heard: Sequence[Heard]) -> str:
    """The text with what was understood between square brackets, and its number behind it."""
    spans = sorted(
        (one.start, one.end, number)
        for number, one in enumerate(heard, start=1)
        if not one.in_subject
    )
    opens: dict[int, int] = {}
    closes: dict[int, list[int]] = {}
    for start, end, number in spans:
        opens[start] = opens.get(start, 0) + 1
        closes.setdefault(end, []).append(number)
    pieces: list[str] = []
    last = 0
    for place in sorted({*opens, *closes}):
        pieces.append(text[last:place])
        pieces.append("".join(f"]{number}" for number in closes.get(place, ())))
        pieces.append("[" * opens.get(place, 0))
        last = place
    pieces.append(text[last:])
    return "".join(pieces)


def _words(text: str) -> list[Block]:
    lines = text.split("\n")
    blocks: list[Block] = [
        Paragraph(clean(line, _LONGEST_LINE), apart=not number)
        for number, line in enumerate(lines[:_MOST_LINES])
        if line.strip() or not number
    ]
    if len(lines) > _MOST_LINES:
        blocks.append(Paragraph(f"({len(lines) - _MOST_LINES} more lines)"))
    return blocks


def _heard(one: Heard, knowledge: Knowledge) -> Fact:
    meaning = one.meaning
    words = f'"{clean(one.quote, 80)}"'
    text = meaning.id
    if meaning.kind == "answer" and meaning.id in knowledge.checks:
        text = f"{meaning.id}={meaning.answer}"
    stance = (
        f" ({_STANCES[one.stance]}, so it counts for nothing)" if one.stance in _STANCES else ""
    )
    if one.stance == "guessed" and meaning.kind == "symptom":
        stance = " (guessed)"
    return Fact(_KINDS[meaning.kind], f"{text} {words}{stance}")
