"""Ways through a tree: what a case would know after the answers on them, and how likely each is.

A drawing shows one way to each place, the likeliest one; where a branch stands for several
answers, the way takes the likeliest of them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from expert.case.consult import Consultant, Consultation
from expert.case.events import Answered
from expert.case.state import State, advanced

# What an answer that nobody knows weighs beside the known ones; it only chooses between ways.
_UNKNOWN_SHARE = 0.1


@dataclass(frozen=True, slots=True)
class Way:
    """What is known on the way here, and the chance to come here by it."""

    state: State
    chance: float


Ways = Mapping[int, Way]


class Guide:
    """Consults on the states along the ways of one drawing, once each."""

    def __init__(self, consultant: Consultant) -> None:
        self._consultant = consultant
        self._known: dict[State, Consultation] = {}

    def consult(self, state: State) -> Consultation:
        """What follows from a state."""
        if state not in self._known:
            self._known[state] = self._consultant.consult(state)
        return self._known[state]

    def onward(self, ways: Ways, check: str, answers: Sequence[str], unknown: bool) -> Ways:
        """The ways after the likeliest of these answers, or after an unknown one.

        The answer is the same for all cars, so that they stay comparable, except where a case's
        own finding is one of the answers: that stands.
        """
        before, after = {}, {}
        for car, way in ways.items():
            old = way.state.finding(check)
            if old is not None and _among(old.answers, answers, unknown):
                after[car] = way
            else:
                others = tuple(item for item in way.state.findings if item.check != check)
                before[car] = Way(replace(way.state, findings=others), way.chance)
        given, share = self._choice([way.state for way in before.values()], check, answers)
        for car, way in before.items():
            told = Answered(check, given)
            after[car] = Way(advanced(way.state, told), way.chance * share)
        return after

    def _choice(
        self, states: Sequence[State], check: str, answers: Sequence[str]
    ) -> tuple[tuple[str, ...], float]:
        """The likeliest answer and its chance, on the first car that the check fits."""
        possible = list(self._consultant.knowledge.checks[check].answers)
        if not answers or not states:
            return (), _UNKNOWN_SHARE
        for state in states:
            if check in self.consult(state).open_checks:
                foreseen = self.consult(state).predictions[check].answer
                chances = {answer: float(foreseen[possible.index(answer)]) for answer in answers}
                best = max(answers, key=chances.__getitem__)
                return (best,), chances[best]
        # No chances, as with a history: if it stays open, the mean of the histories is meant.
        given = tuple(answers) if len(answers) == 1 else ()
        return given, len(answers) / len(possible)


def _among(given: Sequence[str], answers: Sequence[str], unknown: bool) -> bool:
    return any(answer in answers for answer in given) if given else unknown


def best_of(arrivals: Sequence[Ways]) -> dict[int, Way]:
    """For every car its way by the likeliest arrival, taken over all cars; of equals the first."""
    best: dict[int, Way] = {}
    for ways in sorted(arrivals, key=lambda some: -sum(way.chance for way in some.values())):
        for car, way in ways.items():
            best.setdefault(car, way)
    return dict(sorted(best.items()))
