"""Ways through a tree, checked against what the consultant says of the same answers."""

from __future__ import annotations

import pytest

from expert.case.consult import Consultant
from expert.case.state import Finding, State
from expert.export.ways import Guide, Way, best_of
from tests.export.pictures import found
from tests.small import knowledge

START = State(setup="outer", symptoms=("lazy",))


def guide() -> Guide:
    return Guide(Consultant(knowledge()))


def test_one_answer_is_taken_with_its_chance() -> None:
    told = guide().onward({0: Way(START, 1.0)}, "lamp", ["ring"], unknown=False)
    assert told[0].state.answers("lamp") == ("ring",)
    expected = Consultant(knowledge()).consult(START).predictions["lamp"].answer[1]
    assert told[0].chance == pytest.approx(float(expected))


def test_of_several_answers_the_likeliest_is_taken() -> None:
    answers = ["wisp", "plume"]
    told = guide().onward({0: Way(START, 0.5)}, "smoke", answers, unknown=True)
    chances = Consultant(knowledge()).consult(START).predictions["smoke"].answer
    best = max((1, 2), key=lambda k: float(chances[k]))
    assert told[0].state.answers("smoke") == (answers[best - 1],)
    assert told[0].chance == pytest.approx(0.5 * float(chances[best]))


def test_no_answer_is_a_finding_without_evidence() -> None:
    told = guide().onward({0: Way(START, 1.0)}, "smoke", [], unknown=True)
    assert told[0].state.finding("smoke") == Finding("smoke", (), "asked")


def test_an_open_history_stays_open() -> None:
    ways = {0: Way(START, 1.0)}
    told = guide().onward(ways, "what-changed", ["nothing", "earlier"], unknown=False)
    assert told[0].state.answers("what-changed") == ()
    told = guide().onward(ways, "what-changed", ["just-fitted"], unknown=False)
    assert told[0].state.answers("what-changed") == ("just-fitted",)
    assert told[0].chance == pytest.approx(1 / 3)


def test_a_check_that_does_not_fit_the_car_leaves_the_chance_even() -> None:
    told = guide().onward({0: Way(START, 1.0)}, "flap", ["stuck"], unknown=False)
    assert told[0].chance == pytest.approx(1 / 2)


def test_what_the_case_found_stands_where_it_fits_and_is_replaced_where_not() -> None:
    mailed = State(
        setup="outer", symptoms=("lazy",), findings=(Finding("smoke", ("wisp",), "mail"),)
    )
    way = {0: Way(mailed, 1.0)}
    same = guide().onward(way, "smoke", ["wisp", "plume"], unknown=False)
    assert same[0] == way[0]
    other = guide().onward(way, "smoke", ["plume"], unknown=False)
    assert other[0].state.finding("smoke") == Finding("smoke", ("plume",), "asked")


def test_all_cars_take_the_same_answer() -> None:
    cars = {0: Way(START, 1.0), 1: Way(State(setup="inner", symptoms=("lazy",)), 1.0)}
    told = guide().onward(cars, "smoke", ["nowhere", "wisp", "plume"], unknown=False)
    assert len({way.state.answers("smoke") for way in told.values()}) == 1


def test_the_likeliest_arrival_counts_for_every_car_that_it_has() -> None:
    a, b, c = (Way(found(("smoke", answer)), 0.1) for answer in ("nowhere", "wisp", "plume"))
    rare = {0: Way(a.state, 0.2), 1: Way(a.state, 0.2)}
    common = {0: Way(b.state, 0.5)}
    best = best_of([rare, common, {2: c}])
    assert best == {0: common[0], 1: rare[1], 2: c}
    assert list(best) == [0, 1, 2]


def test_a_state_is_consulted_once() -> None:
    one = guide()
    assert one.consult(START) is one.consult(State(setup="outer", symptoms=("lazy",)))
