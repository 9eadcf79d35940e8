"""The tables of the closed loop, by symptom."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from tests.loop.play import FIRST, FURTHER, Outcome
from tests.loop.scenario import SOUND
from tests.loop.truth import ORDER

# A complaint of the ear: no log has it, so none can recognise it.
HEARD: Final = "flutter"
GOALS: Final = {"symptom": 0.95, "first five": 0.80, "first after": 0.90}


def right_symptom(one: Outcome) -> bool:
    """Does the log show what the car truly does, with what is grave never left out?

    The first that it shows may be one of which it is open whether it is there.
    """
    if "overboost" in one.true and "overboost" not in one.shown:
        return False
    return bool(set(one.true) & set(one.shown)) and one.shown[0] in one.may


def wrong_stop(one: Outcome) -> bool:
    """Stopped from the log, though boost was never too high and the fault is not grave."""
    return one.drive == "stop" and "overboost" not in one.true and not one.grave


def missed_stop(one: Outcome) -> bool:
    """Not stopped from the log, though boost was truly too high."""
    return "overboost" in one.true and one.drive != "stop"


def tells_apart(one: Outcome) -> bool:
    """Can the log of this car show its cause among the first five?

    It cannot where it is no other than that of a sound car, or where five or more other causes
    would leave the same log on this very car: no ranking can put six in five places.
    """
    return one.can_show and len(one.alike) < FIRST


def lines(outcomes: Sequence[Outcome]) -> Iterator[str]:
    """The whole report."""
    broken = [one for one in outcomes if one.cause != SOUND]
    felt = [one for one in broken if one.true]
    yield f"{len(outcomes)} cars driven, {len(broken)} with a fault"
    yield from _sound([one for one in outcomes if one.cause == SOUND])
    yield from _quiet([one for one in broken if not one.true])
    yield ""
    yield _row(
        "",
        "cars",
        "symptom",
        "in 5",
        "shown",
        "in 5",
        "apart",
        "first",
        "wrong stop",
        "missed",
    )
    for symptom in ORDER:
        group = [one for one in felt if one.true[0] == symptom]
        if group:
            yield _figures(symptom, group)
    yield _figures("all", felt)
    yield ""
    yield from _missed(felt)


def _row(name: str, *cells: str) -> str:
    return f"{name:16}" + "".join(f"{cell:>11}" for cell in cells)


def _share(good: int, whole: int) -> str:
    return f"{100.0 * good / whole:.1f} %" if whole else "-"


def _figures(name: str, group: Sequence[Outcome]) -> str:
    differ = [one for one in group if one.can_show]
    shown = [one for one in differ if tells_apart(one)]
    seen = [one for one in group if one.true[0] != HEARD]

    def in_first(some: Sequence[Outcome]) -> str:
        return _share(sum(bool(o.place and o.place <= FIRST) for o in some), len(some))

    return _row(
        name,
        str(len(group)),
        _share(sum(map(right_symptom, seen)), len(seen)),
        in_first(group),
        str(len(shown)),
        in_first(shown),
        _share(sum(bool(o.place_apart and o.place_apart <= FIRST) for o in differ), len(differ)),
        _share(sum(one.first_at_last for one in group), len(group)),
        str(sum(map(wrong_stop, group))),
        str(sum(map(missed_stop, group))),
    )


def _sound(group: Sequence[Outcome]) -> Iterator[str]:
    false = [one for one in group if one.shown]
    yield f"{len(group)} sound cars, {len(false)} of them with a symptom in the log"
    for one in false:
        yield f"    {one.car}: {', '.join(one.shown)}"


def _quiet(group: Sequence[Outcome]) -> Iterator[str]:
    said = [one for one in group if one.shown]
    yield (
        f"{len(group)} cars with a fault that truly do nothing an owner would complain of; "
        f"the log shows a symptom in {len(said)}"
    )


def _missed(group: Sequence[Outcome]) -> Iterator[str]:
    """By cause, where most is missed."""
    yield (
        f"by cause: symptom wrong, not in the first {FIRST} apart, not first after {FURTHER}, "
        "of all"
    )
    causes = sorted({one.cause for one in group})
    for cause in causes:
        own = [one for one in group if one.cause == cause]
        symptom = sum(one.true[0] != HEARD and not right_symptom(one) for one in own)
        late = sum(
            not (one.place_apart and one.place_apart <= FIRST) for one in own if one.can_show
        )
        last = sum(not one.first_at_last for one in own)
        if symptom or late or last:
            yield f"    {cause:28}{symptom:4}{late:4}{last:4}{len(own):6}"
