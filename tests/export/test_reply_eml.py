"""Draft replies as messages: ``expert/export/reply_eml.py``."""

from __future__ import annotations

from email import message_from_bytes, policy

from hypothesis import given
from hypothesis import strategies as st

from expert.export.reply_eml import eml


def test_the_file_answers_the_message_by_the_rules() -> None:
    # RFC 5322, section 3.6.4.
    data = eml(
        "Hello,\n\nGrüße\n",
        to="Robin <robin@example.org>",
        subject="boost",
        own_id="<answer.1@gatepost.invalid>",
        message_id="<b@example.org>",
        references=("<a@example.org>",),
    )
    read = message_from_bytes(data, policy=policy.default)
    assert (read["To"], read["Subject"]) == ("Robin <robin@example.org>", "Re: boost")
    assert read["In-Reply-To"] == "<b@example.org>"
    assert read["References"] == "<a@example.org> <b@example.org>"
    assert read["Message-ID"] == "<answer.1@gatepost.invalid>"
    assert read["From"] is None
    assert read["X-Unsent"] == "1"
    assert read.get_content().replace("\r\n", "\n") == "Hello,\n\nGrüße\n"


HEADERS = {"to", "subject", "message-id", "in-reply-to", "references", "x-unsent", "content-type"}
HEADERS |= {"content-transfer-encoding", "mime-version"}
hostile = st.text(max_size=60) | st.sampled_from(
    ["a@b.c\r\nBcc: x@y.z", "<a@b>\nBcc: x", "\x00", "x" * 5000, "=?utf-8?q?a=0aBcc:_x?=", "<@>"]
)


@given(hostile, hostile, hostile, st.lists(hostile, max_size=4))
def test_nothing_of_a_message_becomes_another_header(
    to: str, subject: str, own: str, references: list[str]
) -> None:
    data = eml("x", to=to, subject=subject, own_id=own, message_id=own, references=references)
    head = data.split(b"\r\n\r\n")[0]
    names = {
        line.split(b":")[0].lower().decode() for line in head.split(b"\r\n") if line[:1] != b" "
    }
    assert names <= HEADERS


def test_many_references_are_kept_short_and_whole() -> None:
    ids = [f"<{number:03d}-{'x' * 80}@example.org>" for number in range(300)]
    data = eml("x", to="a@b.c", subject="Re: x", own_id="", message_id=ids[-1], references=ids[:-1])
    assert b"Message-ID" not in data
    read = message_from_bytes(data, policy=policy.default)
    kept = str(read["References"]).split()
    assert kept == ids[-len(kept) :]
    assert 2 <= len(kept) < 300
    assert read["Subject"] == "Re: x"
