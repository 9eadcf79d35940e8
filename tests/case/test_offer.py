"""One constructor makes every offer, and it withholds what the load gate forbids."""

from __future__ import annotations

from expert.case.offer import Offer, Withheld, minutes_of, offer
from expert.case.safety import LoadGate
from tests.small import knowledge

OPEN, SHUT = LoadGate(True, ()), LoadGate(False, ("The hoses are not traced.",))


def test_an_offer_shows_its_work_and_cautions_once() -> None:
    made = offer(knowledge(), "lamp", OPEN, prepared=(), spring_kpa=48.0, value=7.0)
    assert isinstance(made, Offer)
    assert made.prepare == ("gate-off",)
    assert made.cautions == ("hot", "heavy")
    assert made.minutes == 50.0
    assert made.abort_kpa is None


def test_preparation_is_paid_once() -> None:
    book = knowledge()
    made = offer(book, "lamp", OPEN, prepared={"gate-off"}, spring_kpa=None, value=7.0)
    assert isinstance(made, Offer)
    assert (made.prepare, made.cautions, made.minutes) == ((), (), 5.0)
    assert minutes_of(book, book.checks["lamp"], ()) == 50.0


def test_a_loaded_run_carries_its_abort_limit() -> None:
    made = offer(knowledge(), "run", OPEN, prepared=(), spring_kpa=48.0, value=0.0)
    assert isinstance(made, Offer)
    assert made.abort_kpa == 68.0
    assert made.cautions == ("road",)
    unknown = offer(knowledge(), "run", OPEN, prepared=(), spring_kpa=None, value=0.0)
    assert isinstance(unknown, Offer)
    assert unknown.abort_kpa is None


def test_where_nobody_may_work_on_the_car_only_words_are_asked() -> None:
    gate = LoadGate(False, ("Not now.",), hands_off=("Petrol leaks.",))
    book = knowledge()
    made = {
        name: offer(book, name, gate, prepared=(), spring_kpa=48.0, value=1.0)
        for name in book.checks
    }
    offered = {name for name, item in made.items() if isinstance(item, Offer)}
    assert offered == {"red-flags", "what-changed", "worked-on"}
    assert made["lamp"] == Withheld("lamp", ("Petrol leaks.",))


def test_a_loaded_run_is_withheld_with_the_reasons_of_the_gate() -> None:
    made = offer(knowledge(), "run", SHUT, prepared=(), spring_kpa=48.0, value=100.0)
    assert made == Withheld("run", SHUT.because)
    at_rest = offer(knowledge(), "lamp", SHUT, prepared=(), spring_kpa=48.0, value=1.0)
    assert isinstance(at_rest, Offer)
