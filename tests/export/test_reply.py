"""Draft replies: ``expert/export/reply.py``."""

from __future__ import annotations

import pytest

from expert.case.consult import Consultant
from expert.case.events import Described
from expert.case.offer import Offer
from expert.case.state import fold
from expert.export.reply import Letter, Likely, Shop, draft, lowered, read_shop
from expert.loading.folder import load, shipped_folder
from expert.model import Knowledge


@pytest.fixture(scope="module")
def shipped() -> Knowledge:
    return load([shipped_folder()])


@pytest.fixture(scope="module")
def trace(shipped: Knowledge) -> tuple[Offer, dict[str, float]]:
    state = fold([Described("setup", "external-single"), Described("symptom", "lazy")])
    found = Consultant(shipped).consult(state)
    offer = found.offer("hose-trace")
    assert isinstance(offer, Offer)
    return offer, dict(zip(found.network.causes, found.probability.tolist(), strict=True))


def test_safety_comes_first_then_what_was_understood_then_causes_then_the_check(
    shipped: Knowledge, trace: tuple[Offer, dict[str, float]]
) -> None:
    offer, causes = trace
    letter = Letter(
        drive="stop",
        name="Robin",
        because=("The trouble as you describe it is dangerous by itself",),
        flags_ask="Which of these has anyone noticed?",
        flags=("blue smoke", "a smell of petrol"),
        understood=("Spring 12 psi (83 kPa).",),
        likely=(Likely(shipped.causes["signal-off"], 0.31, ('"shot to 22 psi"',)),),
        check=offer,
        questions=("Which spring?",),
        causes=causes,
    )
    text = draft(letter, shipped)
    order = [
        "Hello Robin,",
        "please do not drive",
        "dangerous by itself.",
        "Which of these has anyone noticed? Blue smoke; a smell of petrol; or none of these?",
        "Spring 12 psi (83 kPa).",
        'What you write fits: "shot to 22 psi".',
        "about 3 chances in 10",
        "The one thing to check next: tracing every hose",
        "It takes about 15 minutes",
        "WARNING:",
        "What you find, and what it will mean:",
        "Good, then we look elsewhere.",
        "Which spring?",
        "Please send back",
        "leave duty, target, spring and limits alone",
        "licensed workshop",
        "Kind regards",
    ]
    joined = " ".join(text.split())
    places = [joined.index(part) for part in order]
    assert places == sorted(places)
    assert max(map(len, text.splitlines())) <= 76
    assert "four-port" not in joined


def test_what_a_stop_answer_asks_for_is_said_even_where_the_answer_is_left_out(
    shipped: Knowledge, trace: tuple[Offer, dict[str, float]]
) -> None:
    offer, causes = trace
    text = draft(Letter(drive="caution", check=offer, causes=causes), shipped)
    told = text.partition("What you find")[2]
    assert told.partition("\n\n")[0].count("\n- ") == 5
    assert "Anything else: leave the car standing" in " ".join(told.split())


def test_where_the_setup_is_not_known_photographs_will_do(
    shipped: Knowledge, trace: tuple[Offer, dict[str, float]]
) -> None:
    offer, causes = trace
    letter = Letter(drive="ok", check=offer, causes=causes, photos_will_do=True)
    text = " ".join(draft(letter, shipped).split())
    assert "photograph the hoses and their ports, with the engine off and cold" in text
    assert "A photo of the whole engine bay" in text
    assert "What you find" not in text


def test_no_run_is_asked_for_unless_it_is_offered(shipped: Knowledge) -> None:
    without = " ".join(draft(Letter(drive="ok"), shipped).split())
    assert "please make no full-throttle pull until this is found" in without
    assert "A run may be made" not in without
    assert "make no pull to make sure" in " ".join(draft(Letter(drive="stop"), shipped).split())
    run = Offer("zero-duty-log", shipped.checks["zero-duty-log"], (), (), 15.0, 1.0, 68.0)
    allowed = " ".join(draft(Letter(drive="ok", pull=run), shipped).split())
    assert "A run may be made" in allowed
    assert "Lift at once at 68 kPa (9.9 psi)" in allowed
    assert "no full-throttle pull but the one below" in allowed


def test_chances_are_told_in_tenths_and_the_same_words_once(shipped: Knowledge) -> None:
    causes = [shipped.causes[name] for name in ("signal-off", "signal-leak", "spring-soft")]
    words = ('"the hose is perished"',)
    likely = tuple(
        Likely(cause, share, words) for cause, share in zip(causes, (0.12, 0.1, 0.08), strict=True)
    )
    text = " ".join(draft(Letter(drive="ok", likely=likely), shipped).split())
    assert "None is likely by itself; together they have about 3 chances in 10." in text
    assert text.count('"the hose is perished"') == 1
    assert text.count("The same words fit.") == 2
    one = Letter(drive="ok", likely=(Likely(causes[0], 0.04),))
    assert "It has about 1 chance in 10." in " ".join(draft(one, shipped).split())


def test_a_cause_that_is_likely_enough_is_made_sure_of_and_mended(shipped: Knowledge) -> None:
    cause = shipped.causes["seat-ring-missing"]
    letter = Letter(drive="caution", likely=(Likely(cause, 0.93),), concluded=cause)
    text = " ".join(draft(letter, shipped).split())
    assert "What it most likely is (9 chances in 10): Seat ring left out" in text
    assert "Make sure first, before you buy or change anything: take" in text
    assert "WARNING:" in text
    assert ".." not in text


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("A smell of petrol", "a smell of petrol"),
        ("I cannot tell", "I cannot tell"),
        ("P0234, overboost", "P0234, overboost"),
        ("", ""),
    ],
)
def test_a_text_goes_on_in_a_sentence(text: str, found: str) -> None:
    assert lowered(text) == found


@pytest.mark.parametrize(
    ("name", "greeting"),
    [
        ("Robin Quill", "Hello Robin,"),
        ("", "Hello,"),
        ("boost_freak99", "Hello,"),
        ("X" * 40, "Hello,"),
        ("A", "Hello,"),
    ],
)
def test_a_plain_first_name_is_greeted(name: str, greeting: str, shipped: Knowledge) -> None:
    assert draft(Letter(drive="ok", name=name), shipped).startswith(f"{greeting}\n")


def test_the_shops_own_words() -> None:
    shop = read_shop("Dear friend of the hill,\n---\nYours\nThe desk\x1b[31m\n")
    assert (shop.greeting, shop.signature) == ("Dear friend of the hill,", "Yours\nThe desk")
    assert read_shop("The desk").signature == "The desk"
    assert read_shop("") == Shop()
