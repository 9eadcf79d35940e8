"""What is counted of a closed case."""

from __future__ import annotations

from expert.case.events import Answered, Confirmed, Event, Mended, Persists
from expert.model import Knowledge
from expert.workbench.learn_count import SOUND, Answer, Tally, shows, together
from expert.workbench.learn_read import Closed, closed
from tests.small import knowledge
from tests.workbench.journals import story

BOOK = knowledge()
OUTER = frozenset({"turbo", "external-gate"})


def tally(*events: Event, book: Knowledge = BOOK) -> Tally:
    case = closed(events, b"", book)
    assert isinstance(case, Closed)
    found = Tally()
    found.add(case, book)
    return found


def test_answers_go_to_the_cause_or_to_the_sound_cars() -> None:
    found = tally(
        *story(
            "ring-missing",
            Answered("lamp", ("ring",)),
            Answered("smoke", ("nowhere",), "mail"),
            Answered("shaft", ()),
            Answered("red-flags", ("metal-noise", "knock")),
            Answered("what-changed", ("just-fitted",)),
        )
    )
    assert found.answers == {
        Answer("lamp", "ring-missing", ("ring",), "asked"): 1,
        Answer("smoke", SOUND, ("nowhere",), "mail"): 1,
        Answer("red-flags", SOUND, ("knock", "metal-noise"), "asked"): 1,
    }
    ((car, cause),) = found.causes
    assert (cause, car.parts, car.complaint) == ("ring-missing", OUTER, "lazy")
    assert set(car.fresh) == {1.0}


def test_a_car_that_was_mended_is_a_sound_car() -> None:
    mended = story("ring-missing", Answered("run", ("below",)))
    found = tally(*mended[:-1], Answered("run", ("on-spring",)), mended[-1])
    assert found.answers == {
        Answer("run", "ring-missing", ("below",), "asked"): 1,
        Answer("run", SOUND, ("on-spring",), "asked"): 1,
    }


def test_with_two_faults_nobody_knows_which_of_them_answered() -> None:
    told = story("ring-missing")
    found = tally(
        *told[:3],
        Answered("lamp", ("ring",)),
        Mended("charge-leak"),
        Persists(),
        Answered("run", ("below",)),
        Mended("ring-missing"),
        Confirmed("ring-missing"),
    )
    assert found.answers == {Answer("run", "ring-missing", ("below",), "asked"): 1}


def test_answers_that_mean_nothing_are_left_out() -> None:
    found = tally(
        *story(
            "ring-missing",
            Answered("lamp", ("no-such-answer",)),
            Answered("smoke", ("wisp", "plume")),
            Answered("red-flags", ("none", "knock")),
            Answered("flap", ("stuck",)),
        )
    )
    assert not found.answers


def test_counts_add_up() -> None:
    one = tally(*story("ring-missing", Answered("lamp", ("ring",))))
    whole = together([one, one, Tally()])
    assert whole.cases == 2
    assert set(whole.answers.values()) == {2}
    assert one.cases == 1


def test_the_chance_of_a_complaint_is_that_of_the_rankings() -> None:
    from expert.reasoning.network import History, Network

    network = Network(BOOK, OUTER, "lazy", History())
    evidence = network.symptom("lazy")
    ours = dict(zip(BOOK.causes, shows(BOOK, OUTER, "lazy"), strict=True))
    theirs = evidence.mixed(evidence.terms.of_single())
    for cause, chance in zip(network.causes, theirs, strict=True):
        assert abs(ours[cause] - chance) < 1e-12
    assert ours["flap-stuck"] == 0.0
