"""Draft replies: ``expert/export/reply.py``."""

from __future__ import annotations

from email import message_from_bytes, policy

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.case.consult import Consultant
from expert.case.events import Described
from expert.case.offer import Offer
from expert.case.state import fold
from expert.export.reply import Letter, Likely, Shop, draft, eml, read_shop
from expert.loading.folder import load, shipped_folder
from expert.model import Knowledge


@pytest.fixture(scope="module")
def shipped() -> Knowledge:
    return load([shipped_folder()])


@pytest.fixture(scope="module")
def trace(shipped: Knowledge) -> tuple[Offer, frozenset[str]]:
    state = fold([Described("setup", "external-single"), Described("symptom", "lazy")])
    found = Consultant(shipped).consult(state)
    offer = found.offer("hose-trace")
    assert isinstance(offer, Offer)
    return offer, frozenset(found.network.causes)


def test_safety_comes_first_then_what_was_understood_then_causes_then_the_check(
    shipped: Knowledge, trace: tuple[Offer, frozenset[str]]
) -> None:
    offer, causes = trace
    letter = Letter(
        drive="stop",
        because=("The complaint itself is dangerous: Makes more boost than it should.",),
        understood=("The spring in the gate: 83 kPa (12 psi).",),
        likely=(Likely(shipped.causes["signal-off"], 0.31, ('"shot to 22 psi"',)),),
        check=offer,
        questions=("Which spring?",),
        shop=Shop("Hello Robin,", "The boost desk"),
        causes=causes,
    )
    text = draft(letter, shipped)
    order = [
        "Hello Robin,",
        "please do not drive",
        "dangerous by itself: makes more boost",
        "83 kPa (12 psi)",
        "about 3 chances in 10",
        "shot to 22 psi",
        "The one check to do next",
        "It takes about 15 minutes",
        "WARNING:",
        "What the answer will mean:",
        "Which spring?",
        "What not to do",
        "What to send back",
        "The boost desk",
    ]
    joined = " ".join(text.split())
    places = [joined.index(part) for part in order]
    assert places == sorted(places)
    assert max(map(len, text.splitlines())) <= 76
    assert "four-port" not in joined


def test_no_run_is_asked_for_unless_it_is_offered(shipped: Knowledge) -> None:
    without = draft(Letter(drive="ok"), shipped)
    assert "No full-throttle pull" in without
    assert "A run may be made" not in without
    run = Offer("zero-duty-log", shipped.checks["zero-duty-log"], (), (), 15.0, 1.0, 68.0)
    allowed = " ".join(draft(Letter(drive="ok", pull=run), shipped).split())
    assert "A run may be made" in allowed
    assert "Lift at once at 68 kPa (9.9 psi)" in allowed
    assert "No full-throttle pull, on" not in allowed


def test_the_shops_own_words() -> None:
    shop = read_shop("Dear friend of the hill,\n---\nYours\nThe desk\x1b[31m\n")
    assert (shop.greeting, shop.signature) == ("Dear friend of the hill,", "Yours\nThe desk")
    assert read_shop("The desk").signature == "The desk"
    assert read_shop("") == Shop()


def test_the_file_answers_the_message_by_the_rules() -> None:
    # RFC 5322, section 3.6.4.
    data = eml(
        "Hello,\n\nGrüße\n",
        to="Robin <robin@example.org>",
        subject="boost",
        message_id="<b@example.org>",
        references=("<a@example.org>",),
    )
    read = message_from_bytes(data, policy=policy.default)
    assert (read["To"], read["Subject"]) == ("Robin <robin@example.org>", "Re: boost")
    assert read["In-Reply-To"] == "<b@example.org>"
    assert read["References"] == "<a@example.org> <b@example.org>"
    assert read["From"] is None
    assert read["X-Unsent"] == "1"
    assert read.get_content().replace("\r\n", "\n") == "Hello,\n\nGrüße\n"


HEADERS = {"to", "subject", "in-reply-to", "references", "x-unsent", "content-type"}
HEADERS |= {"content-transfer-encoding", "mime-version"}
hostile = st.text(max_size=60) | st.sampled_from(
    ["a@b.c\r\nBcc: x@y.z", "<a@b>\nBcc: x", "\x00", "x" * 5000, "=?utf-8?q?a=0aBcc:_x?=", "<@>"]
)


@given(hostile, hostile, hostile, st.lists(hostile, max_size=4))
def test_nothing_of_a_message_becomes_another_header(
    to: str, subject: str, own: str, references: list[str]
) -> None:
    data = eml("x", to=to, subject=subject, message_id=own, references=references)
    head = data.split(b"\r\n\r\n")[0]
    names = {
        line.split(b":")[0].lower().decode() for line in head.split(b"\r\n") if line[:1] != b" "
    }
    assert names <= HEADERS


def test_many_references_are_kept_short_and_whole() -> None:
    ids = [f"<{number:03d}-{'x' * 80}@example.org>" for number in range(300)]
    data = eml("x", to="a@b.c", subject="Re: x", message_id=ids[-1], references=ids[:-1])
    read = message_from_bytes(data, policy=policy.default)
    kept = str(read["References"]).split()
    assert kept == ids[-len(kept) :]
    assert 2 <= len(kept) < 300
    assert read["Subject"] == "Re: x"
