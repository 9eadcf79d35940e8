"""Bytes to messages: ``expert/evidence/mail/message.py``."""

from __future__ import annotations

import base64
from datetime import UTC, datetime
from email import message_from_bytes, policy
from email.message import EmailMessage

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from expert.evidence.mail import message as module
from expert.evidence.mail.message import BrokenError, read_message
from expert.text import clean

HEAD = b"From: Robin <robin@example.org>\nMessage-ID: <a@example.org>\n"


def made(text: str = "no boost", **options: str) -> EmailMessage:
    one = EmailMessage()
    one["From"] = "Robin <robin@example.org>"
    one["Message-ID"] = "<a@example.org>"
    one.set_content(text, **options)
    return one


@pytest.mark.parametrize("charset", ["utf-8", "iso-8859-1", "iso-8859-15", "cp1252"])
@pytest.mark.parametrize("cte", ["base64", "quoted-printable"])
def test_every_encoding_of_the_standard_library_is_read(charset: str, cte: str) -> None:
    text = "Grüße, 0,8 bar"
    assert read_message(made(text, charset=charset, cte=cte).as_bytes()).text == text


def test_sixteen_bits_a_letter_are_read() -> None:
    body = base64.b64encode("Grüße, 0,8 bar\n".encode("utf-16"))
    head = b"Content-Type: text/plain; charset=utf-16\nContent-Transfer-Encoding: base64\n\n"
    assert read_message(HEAD + head + body).text == "Grüße, 0,8 bar"


def test_headers_and_references() -> None:
    data = HEAD + (
        b"Subject: =?utf-8?q?zu_viel_=E2=80=AE_boost?=\nDate: Mon, 2 Mar 2026 10:00:00 +0100\n"
        b"References: <x@example.org> <y@example.org>\nIn-Reply-To: <z@example.org>\n\nhello"
    )
    mail = read_message(data)
    assert mail.message_id == "<a@example.org>"
    assert mail.references == ("<x@example.org>", "<y@example.org>", "<z@example.org>")
    assert mail.date == datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
    assert mail.subject == "zu viel  boost"


def test_a_text_without_a_header_is_a_message() -> None:
    mail = read_message(b"Problem: no boost\n\nsecond line")
    assert (mail.text, mail.message_id) == ("Problem: no boost\n\nsecond line", "")


def test_of_text_and_page_the_text_is_read_and_a_page_alone_too() -> None:
    both = made("text words")
    both.add_alternative("<p>page words</p>", subtype="html")
    assert read_message(both.as_bytes()).text == "text words"
    page = EmailMessage()
    page["From"] = "a@example.org"
    page.set_content("<p>page <i>words</i></p>", subtype="html")
    assert read_message(page.as_bytes()).text == "page words"


def test_attachments_are_named_without_their_path_and_never_opened() -> None:
    one = made()
    one.add_attachment(b"rpm,boost\n", maintype="text", subtype="csv", filename="../../etc/run.csv")
    one.add_attachment(b"PK", maintype="application", subtype="zip", filename="C:\\x\\bomb.zip")
    found = read_message(one.as_bytes())
    assert [(a.name, a.table) for a in found.attachments] == [
        ("run.csv", True),
        ("bomb.zip", False),
    ]
    assert found.text == "no boost"


def test_a_message_in_a_message_is_forwarded() -> None:
    outer = made("see below")
    outer.add_attachment(made("it creeps"))
    assert "---- Forwarded message ----\n\nit creeps" in read_message(outer.as_bytes()).text


def test_nothing_invisible_is_left_and_no_escape_sequence() -> None:
    text = read_message(HEAD + "\nbo\u200bost \u202eevil \x1b[31mred\x1b]0;t\x07".encode()).text
    assert text == "boost evil red"


@pytest.mark.parametrize(
    "charset", ["rot13", "zip", "unicode_escape", "punycode", "no-such", "utf-7", "idna", "\\0"]
)
def test_an_odd_charset_gives_way_to_the_usual_one(charset: str) -> None:
    data = HEAD + f"Content-Type: text/plain; charset={charset}\n\nno boost \\x41".encode()
    assert read_message(data).text == "no boost \\x41"


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "it is empty"),
        (b" \n\n", "it is empty"),
        (b"\0\0\0\0binary", "it is no text"),
        (
            b"From: a\n" + b"X: " + b"y" * (module.LARGEST_HEADER + 10) + b"\n\nb",
            "header has no end",
        ),
        (
            HEAD
            + b"Content-Type: multipart/mixed; boundary=x\n\n"
            + b"--x\nContent-Type: text/plain\n\na\n" * (module.MOST_PARTS + 1)
            + b"--x--\n",
            "more than 500 parts",
        ),
    ],
)
def test_what_is_broken_says_why(data: bytes, why: str) -> None:
    with pytest.raises(BrokenError, match=why):
        read_message(data)


def nested(depth: int) -> bytes:
    body = b"Content-Type: text/plain\n\ndeep\n"
    for level in range(depth):
        mark = b"b%d" % level
        body = (
            b"Content-Type: multipart/mixed; boundary="
            + mark
            + b"\n\n--"
            + mark
            + b"\n"
            + body
            + b"--"
            + mark
            + b"--\n"
        )
    return HEAD + body


def test_nesting_has_an_end() -> None:
    assert read_message(nested(5)).text == "deep"
    with pytest.raises(BrokenError, match="nested too deeply"):
        read_message(nested(60))
    with pytest.raises(BrokenError):
        read_message(nested(450))


@pytest.mark.parametrize(
    "head",
    [
        b"From: " + b'"\\"' * 20_000,
        b"From: " + b"a@b.c," * 20_000,
        b"Content-Type: text/plain" + b"; a=b" * 20_000,
        b"Subject: " + b"=?utf-8?q?a?= " * 8_000,
        b"References: " + b"<" * 100_000,
    ],
)
def test_endless_header_fields_are_cut(head: bytes) -> None:
    mail = read_message(b"To: x\n" + head + b"\n\nno boost")
    assert mail.text == "no boost"
    assert len(mail.subject) <= 250


def test_parts_that_are_only_boundaries_are_too_many() -> None:
    head = b"From: x\nContent-Type: multipart/mixed; boundary=x\n\n"
    with pytest.raises(BrokenError, match="more than 500 parts"):
        read_message(head + b"--x\n\n" * 10_000)


def test_what_is_too_large_is_not_even_parsed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "LARGEST_MESSAGE", 1000)
    with pytest.raises(BrokenError, match="over"):
        read_message(HEAD + b"\n" + b"a" * 1000)


def test_a_long_text_is_cut() -> None:
    assert len(read_message(HEAD + b"\n" + b"ab " * 200_000).text) <= module.LARGEST_TEXT


SOUND = (
    HEAD + b"Subject: =?utf-8?b?Ym9vc3Q=?=\nDate: Mon, 2 Mar 2026 10:00:00 +0100\n"
    b'Content-Type: multipart/mixed; boundary="x"\n\n--x\nContent-Type: text/plain; charset=utf-8\n'
    b"Content-Transfer-Encoding: base64\n\nbm8gYm9vc3Q=\n--x\nContent-Type: text/csv\n"
    b'Content-Disposition: attachment; filename="a.csv"\n\n1,2\n--x--\n'
)


@settings(max_examples=200)
@given(st.data())
def test_a_damaged_message_is_read_or_broken_and_never_worse(data: st.DataObject) -> None:
    body = bytearray(SOUND)
    for _ in range(data.draw(st.integers(1, 6))):
        place = data.draw(st.integers(0, len(body) - 1))
        body[place : place + data.draw(st.integers(0, 4))] = data.draw(st.binary(max_size=4))
        if not body:
            break
    try:
        mail = read_message(bytes(body))
    except BrokenError as error:
        assert str(error)
    else:
        assert all(letter.isprintable() for letter in mail.text.replace("\n", ""))
        assert mail.subject.isprintable()
        assert "/" not in "".join(one.name for one in mail.attachments)


@given(st.binary(max_size=400))
def test_any_bytes_are_read_or_broken(data: bytes) -> None:
    try:
        read_message(data)
    except BrokenError as error:
        assert str(error)


@given(st.text(max_size=80))
def test_any_header_is_read(text: str) -> None:
    line = " ".join(text.split()).encode("utf-8", "replace")
    data = b"From: " + line + b"\nTo: b\nSubject: " + line + b"\nDate: " + line + b"\nMessage-ID: "
    try:
        mail = read_message(data + line + b"\nReferences: " + line + b"\n\nno boost")
    except BrokenError as error:
        assert str(error)
    else:
        assert mail.sender.isprintable()


FIELDS = st.sampled_from(
    ["Robin <r@x.org>", "r@x.org", "<r@x.org>", '"Doe, J" <j@x.org>', "Doe, J <j@x.org>", "a  b",
     "? ! '", "=?utf-8?q?J=C3=BC?= <a@b.c>", "Robin O'Neil <o.n+1@x-y.org>", "Re: creep\n up",
     "(x) a@b.c", "undisclosed-recipients:;", "<a@b>\n <c@d>", "R. O. <r@x.org>", "a\t\tb <a@b.c>"]
)  # fmt: skip


@given(FIELDS, FIELDS)
def test_what_stands_for_itself_is_read_as_the_policy_would(sender: str, subject: str) -> None:
    data = f"From: {sender}\nSubject: {subject}\n\nboost\n".encode()
    parsed = message_from_bytes(data, policy=policy.default)
    mail = read_message(data)
    assert mail.sender == clean(str(parsed["From"])).strip()
    assert mail.subject == clean(str(parsed["Subject"])).strip()
