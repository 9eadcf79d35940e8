"""What the drawings of a tree say, the same in pictures and in text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final, get_args

from expert.case.safety import Drive
from expert.case.state import State
from expert.export.outline import CheckSpot, Suspicion
from expert.model import Knowledge, Signal

SIGNALS: Final[tuple[Signal, ...]] = get_args(Signal)

LOADS_ENGINE: Final = "LOADS THE ENGINE"
WITHHELD: Final = "not offered here: the load gate is shut"
KNOWN: Final = "Known by now, not asked again"
FORK: Final = "What does the car have?"
HERE: Final = "THE CASE STANDS HERE"
LEFT: Final = "The tree ends here: the check worth most is next."
NO_SUSPECT: Final = "No suspect fits this car: the check worth most is next."
DRIVE_WORDS: Final[dict[Drive, str]] = {
    "ok": "",
    "caution": "DRIVE WITH CARE",
    "stop": "STOP: DO NOT DRIVE",
}
DANGER_WORDS: Final = {"none": "", "caution": "CARE", "stop": "STOP"}

# Chances closer together than this, in percent, are one number to a reader.
_SAME: Final = 3


def chance(suspicion: Suspicion) -> str:
    """How likely a suspect is: a percentage, or a range when the cars differ."""
    low, high = round(100 * suspicion.low), round(100 * suspicion.high)
    if high - low >= _SAME:
        return f"{low} to {high} %"
    middle = 50 * (suspicion.low + suspicion.high)
    if middle < 1:
        return "under 1 %"
    return "over 99 %" if middle > 99 else f"{middle:.0f} %"


def legend(case: bool, in_text: bool) -> list[str]:
    """How to read a drawing."""
    found = []
    if case and in_text:
        found.append(">> marks the way of this case.")
    if not in_text:
        marks = ["Double line: stop.", "Broken line: care.", "Grey tag: goes on in that frame."]
        found.append(" ".join([*(["Thick line: the way of this case."] if case else []), *marks]))
    found.append(
        "Percentages: how likely a cause is after the answers on the likeliest way to it"
        + (", counting all that this case knows." if case else ".")
    )
    found.append("Where a line stands for several answers, the likeliest of them counts.")
    return found


def minutes(count: float) -> str:
    """A number of minutes."""
    return f"{count:g} min"


def prepare(knowledge: Knowledge, spot: CheckSpot) -> list[str]:
    """The work to do before a check, with its minutes."""
    work = [knowledge.preparations[name] for name in spot.prepare]
    return [f"first: {item.title} ({minutes(item.minutes)})" for item in work]


def cautions(knowledge: Knowledge, spot: CheckSpot) -> list[tuple[Signal, str]]:
    """The cautions of a check and of the work before it, by signal word, the gravest first."""
    names = dict.fromkeys(_caution_names(knowledge, spot))
    found = []
    for signal in SIGNALS:
        short = [name for name in names if knowledge.cautions[name].signal == signal]
        if short:
            found.append((signal, ", ".join(name.replace("-", " ") for name in short)))
    return found


def caution_texts(knowledge: Knowledge, spot: CheckSpot) -> list[str]:
    """The same cautions at full length."""
    items = [knowledge.cautions[name] for name in dict.fromkeys(_caution_names(knowledge, spot))]
    items.sort(key=lambda item: SIGNALS.index(item.signal))
    return [f"{item.signal}: {item.text}" for item in items]


def _caution_names(knowledge: Knowledge, spot: CheckSpot) -> Iterable[str]:
    for work in spot.prepare:
        yield from knowledge.preparations[work].cautions
    yield from knowledge.checks[spot.check].cautions


def car_words(knowledge: Knowledge, cars: Sequence[State]) -> str:
    """Which cars a drawing is for."""
    if not cars:
        return "no car"
    setups = list(dict.fromkeys(car.setup for car in cars))
    if len(setups) > 1:
        words = ["any setup"]
    else:
        words = [knowledge.setups[setups[0]].title if setups[0] else "any setup"]
    gates = {car.gate for car in cars}
    if len(gates) == 1 and (gate := gates.pop()):
        words.append(f"{gate} gate")
    bypasses = {car.bypass for car in cars}
    if len(bypasses) > 1:
        words.append("any bypass")
    elif (bypass := bypasses.pop()) in knowledge.bypasses:
        words.append(knowledge.bypasses[bypass or ""].title)
    elif bypass == "none":
        words.append("no bypass valve")
    return " · ".join(words)
