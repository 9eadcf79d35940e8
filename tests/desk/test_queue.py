"""The queue: ``expert/desk/queue.py``."""

from __future__ import annotations

import csv
import io

from expert.desk.queue import COLUMNS, Row, csv_of, in_order, row_of
from tests.desk.mails import desk, knowledge, read, triage


def row(text: str, **headers: str) -> Row:
    return row_of(triage(text, **headers), knowledge())


def test_danger_first_then_age() -> None:
    creep, stop, old_stop = (
        row("boost creeps with the revs", Date="Mon, 2 Mar 2026 10:00:00 +0000"),
        row("it overboosts, boost is 30 psi", Date="Tue, 3 Mar 2026 10:00:00 +0000"),
        row("it overboosts, boost is 30 psi", Date="Mon, 2 Mar 2026 10:00:00 +0100"),
    )
    undated = row("it overboosts, boost is 30 psi")
    assert in_order([creep, undated, stop, old_stop]) == [old_stop, stop, undated, creep]


def test_a_row_says_what_it_is_about() -> None:
    one = row("it overboosts, boost is 30 psi", Subject="help")
    assert (one.sender, one.subject, one.symptom, one.drive) == (
        "Robin",
        "help",
        "overboost",
        "stop",
    )
    assert one.cause in {cause.title for cause in knowledge().causes.values()}
    broken = row_of(desk().triage(read("")), knowledge())
    assert (broken.kind, broken.drive, broken.cause) == ("vague", "caution", "") or (
        broken.kind in {"broken", "unrelated"} and broken.drive == ""
    )


def test_csv_is_read_back_and_runs_nothing() -> None:
    text = csv_of([row("it overboosts, boost is 30 psi", Subject='=cmd("x"),\u202e1')])
    header, cells = csv.reader(io.StringIO(text))
    assert tuple(header) == COLUMNS
    found = dict(zip(header, cells, strict=True))
    assert found["subject"] == '\'=cmd("x"),1'
    assert found["symptom"] == "overboost"
