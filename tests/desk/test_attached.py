"""Logs that hang on a message: ``expert/desk/attached.py``."""

from __future__ import annotations

from collections.abc import Callable
from email.message import EmailMessage

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from expert.case.events import Answered, Described
from expert.case.state import State, fold
from expert.cli import main
from expert.desk import attached
from expert.desk.answer import letter_of
from expert.desk.attached import shown_by
from expert.desk.report import message_report
from expert.desk.threads import MemoryCases
from expert.desk.triage import Triage
from expert.evidence.mail.message import Attachment, Mail
from expert.evidence.mail.reader import read_one
from expert.evidence.mail.source import Raw
from expert.export.reply import Shop
from tests.desk.mails import desk, knowledge, lexicon, threads

CAR = "external gate, 3 port solenoid, 7 psi spring. the turbo is lazy"


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], bytes]:
    """The log of a simulated car with a fault, or without one."""
    made: dict[str, bytes] = {}

    def of(cause: str) -> bytes:
        if cause not in made:
            path = tmp_path_factory.mktemp("logs") / "log.csv"
            fault = ["--cause", cause] if cause else []
            car = ["--setup", "external-single", "--spring", "7psi"]
            assert main(["bench", *car, *fault, "--out", str(path)]) == 0
            made[cause] = path.read_bytes()
        return made[cause]

    return of


def triaged(text: str, *tables: tuple[str, bytes], cases: MemoryCases | None = None) -> Triage:
    """A message with attachments, taken in as the command does."""
    message = EmailMessage()
    message["From"], message["Message-ID"] = "Robin <r@example.org>", "<a@example.org>"
    message.set_content(text)
    for name, data in tables:
        message.add_attachment(data, maintype="text", subtype="csv", filename=name)
    read = read_one(1, Raw("m", message.as_bytes()), lexicon())
    taken = threads(cases or MemoryCases()).take(read)
    return desk().triage(
        taken.message, taken.events or None, taken.case, taken.news, taken.logs.logs
    )


def mail(*tables: Attachment) -> Mail:
    return Mail("", (), "", "", "", None, "", tables)


def table(data: bytes, name: str = "run.csv") -> Attachment:
    return Attachment(name, "text/csv", len(data), data)


def test_overboost_in_a_log_stops_a_car_whose_owner_says_nothing_of_it(
    log: Callable[[str], bytes],
) -> None:
    found = triaged(CAR, ("run.csv", log("signal-off")))
    assert triaged(CAR).assessed.drive == "ok"
    assert found.assessed.drive == "stop"
    assert "overboost" in found.state.symptoms
    assert found.state.symptoms[0] == "lazy"
    origins = {one.origin for one in found.state.findings}
    assert origins == {"log"}
    (shown,) = message_report(found)["logs"]
    assert shown["usable"]
    assert "overboost" in shown["symptoms"]
    letter = letter_of(found, knowledge(), Shop())
    assert any("your log" in text.lower() for text in letter.because)
    assert any('From your log "run.csv"' in text for text in letter.understood)
    assert not letter.log_wanted


def test_a_sound_log_joins_the_case_and_stops_nothing(log: Callable[[str], bytes]) -> None:
    found = triaged(CAR, ("run.csv", log("")))
    assert found.assessed.drive != "stop"
    assert {one.origin for one in found.state.findings} == {"log"}
    assert message_report(found)["logs"][0]["usable"]


def test_a_log_without_a_word_about_a_car_is_about_a_car(log: Callable[[str], bytes]) -> None:
    found = triaged("as you asked", ("run.csv", log("signal-off")))
    assert (found.kind, found.assessed.drive) == ("complaint", "stop")
    assert found.queries


def test_a_table_that_is_no_log_leaves_unrelated_mail_unrelated() -> None:
    found = triaged("our price list", ("prices.csv", b"part,price\nhose,3\ntee,2\n" * 30))
    assert (found.kind, found.case, found.urgency) == ("unrelated", "", 0)
    (shown,) = found.logs
    assert not shown.usable
    assert shown.reason


def test_reading_again_shows_the_same_and_adds_nothing(log: Callable[[str], bytes]) -> None:
    cases = MemoryCases()
    words, data = "as you asked", ("run.csv", log("signal-off"))
    first = triaged(words, data, cases=cases)
    kept = cases.events(first.case)
    again = triaged(words, data, cases=cases)
    assert cases.events(first.case) == kept
    assert message_report(again) == message_report(first)


def test_a_check_at_the_car_outweighs_a_log_and_a_log_a_claim(log: Callable[[str], bytes]) -> None:
    for origin, kept in (("mail", False), ("asked", True)):
        cases = MemoryCases()
        first = triaged(CAR, cases=cases)
        known = Answered("throttle-log", ("throttle-closes",), origin)  # type: ignore[arg-type]
        cases.append(first.case, [known])
        before = fold(cases.events(first.case))
        message = EmailMessage()
        message["In-Reply-To"], message["Message-ID"] = "<a@example.org>", "<b@example.org>"
        message.set_content("here is the log")
        message.add_attachment(log(""), maintype="text", subtype="csv", filename="run.csv")
        threads(cases).take(read_one(2, Raw("m", message.as_bytes()), lexicon()))
        after = fold(cases.events(first.case))
        same = before.finding("throttle-log") == after.finding("throttle-log")
        assert same == kept


def test_without_a_setup_no_pull_is_taken_for_one_at_the_lowest_setting(
    log: Callable[[str], bytes],
) -> None:
    # 70 kPa at the duty of the map, on a spring of 48: an alarm if that were the lowest setting.
    shown = shown_by(mail(table(log(""))), fold([Described("spring_kpa", 48.3)]), knowledge())
    assert shown.usable
    assert not any("overboost" in one.symptoms for one in shown.logs)


def test_no_table_is_read_where_none_is() -> None:
    assert shown_by(None, State(), knowledge()) == attached.Shown()
    assert (
        shown_by(mail(Attachment("a.pdf", "application/pdf", 3)), State(), knowledge()).logs == ()
    )
    (empty,) = shown_by(mail(Attachment("a.csv", "text/csv", 0)), State(), knowledge()).logs
    assert "empty or too large" in empty.reason


def test_whatever_a_table_does_to_the_reader_the_queue_goes_on(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def fails(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(attached, "testimony_of_bytes", fails)
    (shown,) = shown_by(mail(table(b"a,b\n1,2\n")), State(), knowledge()).logs
    assert (shown.usable, shown.reason) == (False, "it cannot be read (ZeroDivisionError)")


hostile = st.binary(max_size=300) | st.text('0123456789,.;\t\n"rpmbost kPa=-', max_size=400).map(
    lambda text: f"time (s),rpm,boost (kPa)\n{text}".encode()
)


@settings(max_examples=60, deadline=None)
@given(hostile)
def test_any_bytes_are_a_log_or_say_why_not(data: bytes) -> None:
    shown = shown_by(mail(table(data)), State(), knowledge())
    assert len(shown.logs) == 1
    assert shown.usable or shown.logs[0].reason
    assert shown.usable or shown.events == ()


def test_a_name_leads_nowhere() -> None:
    found = triaged(CAR, ("../../etc/x\x1b[31m.csv", b"a,b\n1,2\n"))
    assert found.logs[0].name == "x.csv"
