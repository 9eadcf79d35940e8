"""From the knowledge and one car to arrays: the only place where ids become columns."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import comb

import numpy as np

from expert.model import Cause, Check, Knowledge, Policy
from expert.reasoning.belief import (
    Belief,
    Evidence,
    Question,
    Stack,
    normalised,
    posterior,
    predict,
    prior,
)
from expert.reasoning.channels import Floats, Terms, graded, nominal, two_sided

AS_DESIGNED = "as-designed:"


@dataclass(frozen=True, slots=True)
class History:
    """What is known of the car's past: it chooses the priors and is no evidence.

    ``changed`` is an answer of what-changed, or None; ``touched`` are the areas worked on, empty
    when unknown; ``reworked`` are the areas of repairs made in the course of the case.
    """

    changed: str | None = None
    touched: frozenset[str] = frozenset()
    reworked: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Channel:
    """One check as arrays over the causes of a car; answers in the order of the check."""

    answers: tuple[str, ...]
    terms: tuple[Terms, ...]
    sound: Floats
    flags: tuple[Floats, Floats] | None = None

    def reading(self, answers: Sequence[str]) -> Terms:
        """The likelihood of a finding: one answer, or several flags of a nominal check."""
        if len(answers) == 1 or self.flags is None:
            return self.terms[self.answers.index(answers[0])]
        shown = frozenset(self.answers.index(answer) - 1 for answer in answers)
        return nominal(*self.flags, shown)


def applicable(knowledge: Knowledge, parts: frozenset[str]) -> tuple[str, ...]:
    """The causes that a car with these parts can have, in the order of the knowledge."""
    return tuple(
        cause_id for cause_id, cause in knowledge.causes.items() if parts.issuperset(cause.needs)
    )


def fresh_share(cause: Cause, history: History) -> float:
    """How far a car with this history counts as just worked on where this cause comes from."""
    if history.reworked & set(cause.work):
        return 1.0
    if history.changed == "just-fitted":
        touched = not history.touched or not cause.work or history.touched & set(cause.work)
        return 1.0 if touched else 0.0
    return 0.0 if history.changed == "nothing" else 0.5


def seen_weight(cause: Cause, policy: Policy, history: History) -> float:
    """How often the cause is met, relative to others, on a car with this history."""
    share = fresh_share(cause, history)
    fresh, settled = policy.weight(cause.seen.just_fitted), policy.weight(cause.seen.settled)
    return share * fresh + (1.0 - share) * settled


class Network:
    """A car's causes as columns, its checks as channels, and its priors.

    ``complaint`` is the symptom that brought the car in; the priors, and what `unlisted` is
    expected to show in a reading of boost, depend on it. ``channels`` are those already built for
    another network of the same knowledge and parts; new ones are added to them.
    """

    def __init__(
        self,
        knowledge: Knowledge,
        parts: frozenset[str],
        complaint: str | None,
        history: History,
        channels: dict[str, Channel] | None = None,
    ) -> None:
        self.knowledge = knowledge
        self.parts = parts
        self.complaint = complaint
        self.history = history
        self.causes = applicable(knowledge, parts)
        self.column = {cause: k for k, cause in enumerate(self.causes)}
        self._channels = {} if channels is None else channels
        self._unlisted_answers: dict[str, Floats] = {}
        self._symptoms: dict[str, Evidence] = {}

    @cached_property
    def prior(self) -> Belief:
        """The belief before any finding, the complaint included among the findings to come."""
        policy = self.knowledge.policy
        causes = [self.knowledge.causes[cause] for cause in self.causes]
        odds = np.array([seen_weight(cause, policy, self.history) for cause in causes])
        pairable = np.array([not cause.startswith(AS_DESIGNED) for cause in self.causes], bool)
        second = policy.second_fault
        fresh = self.history.changed == "just-fitted"
        return prior(
            odds, pairable, second.just_fitted if fresh else second.settled, policy.unlisted
        )

    @cached_property
    def given_complaint(self) -> Belief:
        """The listed causes given the complaint alone; it says what `unlisted` would look like."""
        start = normalised(self.prior.single, self.prior.pair, 0.0)
        if self.complaint is None:
            return start
        return posterior(start, [self.symptom(self.complaint)])

    def symptom(self, symptom_id: str) -> Evidence:
        """The finding that a symptom is there, worked out once."""
        if symptom_id not in self._symptoms:
            self._symptoms[symptom_id] = self._present(symptom_id)
        return self._symptoms[symptom_id]

    def _present(self, symptom_id: str) -> Evidence:
        policy = self.knowledge.policy
        causes = self.knowledge.symptoms[symptom_id].causes
        shows = np.array([causes.get(cause, 0.0) for cause in self.causes])
        leak = policy.symptom_leak
        present = graded(np.stack([1.0 - shows, shows]), np.array([1.0 - leak, leak]))[1]
        return Evidence(present, self._unlisted_shows(symptom_id, present), policy.slip.asked, 2)

    def _unlisted_shows(self, symptom_id: str, present: Terms) -> float:
        if symptom_id == self.complaint:
            return self.knowledge.policy.unlisted_shows
        absent = Terms(
            np.concatenate([[1.0], -present.weight]),
            np.concatenate([np.ones_like(present.factor[:1]), present.factor]),
        )
        question = Question((absent, present), np.zeros(2), 0.0)
        return float(predict(self.given_complaint, [question])[0].answer[1])

    def channel(self, check_id: str) -> Channel:
        """The check as arrays, built once."""
        if check_id not in self._channels:
            check = self.knowledge.checks[check_id]
            self._channels[check_id] = channel(check, self.causes)
        return self._channels[check_id]

    def finding(self, check_id: str, answers: Sequence[str], origin: str) -> Evidence:
        """One finding as evidence; ``origin`` chooses the slip."""
        reading = self.channel(check_id)
        terms = reading.reading(answers)
        outcomes = len(reading.answers)
        if len(answers) == 1:
            unlisted = self._unlisted(check_id)[reading.answers.index(answers[0])]
        else:
            unlisted = terms.of_none()
            # So many sets of flags there are that each must be a rarer slip than a single flag.
            outcomes *= max(1, comb(outcomes - 1, len(answers)))
        slip = float(getattr(self.knowledge.policy.slip, origin))
        return Evidence(terms, float(unlisted), slip, outcomes)

    @cached_property
    def checks(self) -> tuple[str, ...]:
        """The checks that can be done on the car; those of its history are no evidence."""
        return tuple(
            check_id
            for check_id, check in self.knowledge.checks.items()
            if check.kind != "history" and check.fits(self.parts)
        )

    @cached_property
    def stack(self) -> Stack | None:
        """All checks of the car, ready to be predicted as if asked there; None without any."""
        questions = [self.question(check_id) for check_id in self.checks]
        return Stack(questions) if questions else None

    def question(self, check_id: str) -> Question:
        """The check as a question whose answers are to be predicted, as if asked there."""
        slip = self.knowledge.policy.slip.asked
        return Question(self.channel(check_id).terms, self._unlisted(check_id), slip)

    def _unlisted(self, check_id: str) -> Floats:
        """P(answer | unlisted): as a sound car, but a reading of boost follows the complaint."""
        if check_id not in self._unlisted_answers:
            reading = self.channel(check_id)
            answers = reading.sound
            if self.knowledge.checks[check_id].records_boost:
                question = Question(reading.terms, np.zeros(len(reading.answers)), 0.0)
                expected = predict(self.given_complaint, [question])[0].answer
                answers = expected / expected.sum()
            self._unlisted_answers[check_id] = answers
        return self._unlisted_answers[check_id]


def channel(check: Check, causes: Sequence[str]) -> Channel:
    """A check as arrays over ``causes``."""
    answers = tuple(check.answers)
    if check.kind == "two-sided":
        return _two_sided_channel(check, answers, causes)
    if check.kind == "nominal":
        return _nominal_channel(check, answers, causes)
    share = _shares(answers[1:], check.given, causes)
    leak = _column(answers[1:], check.healthy)
    return Channel(answers, tuple(graded(share, leak)), leak)


def _two_sided_channel(check: Check, answers: tuple[str, ...], causes: Sequence[str]) -> Channel:
    low_leak, high_leak = _column(check.low, check.healthy), _column(check.high, check.healthy)
    order = (check.sound_answer(), *check.low, *check.high)
    both = np.array([check.both.get(answer, 0.0) for answer in order])
    terms = two_sided(
        _shares(check.low, check.given, causes),
        low_leak,
        _shares(check.high, check.given, causes),
        high_leak,
        both / both.sum(),
    )
    by_answer = dict(zip(order, terms, strict=True))
    in_order = tuple(by_answer[answer] for answer in answers)
    return Channel(answers, in_order, np.array([term.of_none() for term in in_order]))


def _nominal_channel(check: Check, answers: tuple[str, ...], causes: Sequence[str]) -> Channel:
    flags = answers[1:]
    absent = 1.0 - _shown(flags, check.given, causes)
    leak_absent = np.array([1.0 - check.healthy.get(flag, 0.0) for flag in flags])
    terms = [nominal(absent, leak_absent, frozenset())]
    terms += [nominal(absent, leak_absent, frozenset({k})) for k in range(len(flags))]
    sound = np.array([term.of_none() for term in terms])
    return Channel(answers, tuple(terms), sound, (absent, leak_absent))


def _shares(
    unsound: Sequence[str], given: Mapping[str, Mapping[str, float]], causes: Sequence[str]
) -> Floats:
    """Rows: the quiet answer, then the unsound ones; columns: causes; columns sum to 1."""
    shown = _shown(unsound, given, causes)
    return np.vstack([1.0 - shown.sum(axis=0), shown])


def _shown(
    answers: Sequence[str], given: Mapping[str, Mapping[str, float]], causes: Sequence[str]
) -> Floats:
    """How often a car with each cause gives each of the answers, shape (answers, causes)."""
    shown = np.zeros((len(answers), len(causes)))
    row_of = {answer: row for row, answer in enumerate(answers)}
    for column, cause in enumerate(causes):
        for answer, share in given.get(cause, {}).items():
            if answer in row_of:
                shown[row_of[answer], column] = share
    return shown


def _column(unsound: Sequence[str], healthy: Mapping[str, float]) -> Floats:
    leak = np.array([0.0, *(healthy.get(answer, 0.0) for answer in unsound)])
    leak[0] = 1.0 - leak.sum()
    return leak
