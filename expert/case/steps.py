"""The next thing to do: the tree leads, then value does, then a conclusion or a workshop.

The rules stand in docs/reasoning.md, in the order in which they apply.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from expert.case.offer import Offer, Withheld
from expert.case.picture import RankedCause
from expert.case.prospects import Prospects
from expert.case.safety import HOSES, RED_FLAGS
from expert.case.state import Finding
from expert.case.walk import Path, Walk, walk

# The run that shows whether a repair has helped.
RUN = "zero-duty-log"

# What a tree asks before anything may be concluded.
FIRST = frozenset({"red-flags", "what-changed"})

# Asked for safety's sake, whatever else it might be worth.
SAFETY = FIRST | {HOSES}

# A check of the tree that saves less than this share of its own minutes is passed over.
WORTHLESS = 0.1

# A fall in the chance of unlimited boost below this clears nothing.
NOTICEABLE = 0.002


@dataclass(frozen=True, slots=True)
class AskStep:
    """Ask this check next: ``path`` is its place in the symptom when the tree leads, else None.

    ``clears`` is true for a check that is asked so that a run may be allowed after it.
    """

    offer: Offer
    path: Path | None = None
    clears: bool = False

    @property
    def by_tree(self) -> bool:
        """Does the symptom's tree ask it? Otherwise its value does."""
        return self.path is not None


@dataclass(frozen=True, slots=True)
class ConcludeStep:
    """Name this cause as the likely one: confirm it, then mend it.

    ``explains`` is false for a fault that is there, but cannot be why the owner complains.
    """

    cause: RankedCause
    certain_enough: bool
    explains: bool


@dataclass(frozen=True, slots=True)
class WorkshopStep:
    """Nothing is left that is safe and worth its minutes; say what to hand over."""

    because: str


@dataclass(frozen=True, slots=True)
class VerifyStep:
    """A repair is done and the hoses are traced again: is the complaint gone?

    ``run`` is the run that shows it, or why it must not be made.
    """

    cause: str
    run: Offer | Withheld | None


Step = AskStep | ConcludeStep | VerifyStep | WorkshopStep


def next_step(prospects: Prospects, tree_leads: bool = True) -> Step:
    """The next thing to do for a car.

    With ``tree_leads`` false the tree only asks what every case begins with; see ``FIRST``.
    """
    if prospects.gate.hands_off:
        reason = prospects.gate.hands_off[0]
        return WorkshopStep(reason[:1].lower() + reason[1:].rstrip("."))
    if prospects.state.verifying:
        return _verify(prospects)
    way = tree_way(prospects, tree_leads)
    pending = way.pending
    top = prospects.order[0] if prospects.order else None
    if top and prospects.may_conclude(top) and pending not in FIRST:
        return _conclude(prospects, top, certain_enough=True)
    if pending is not None:
        led = _asked(prospects, pending, path=way.visits[-1].path)
        if led is not None:
            return led
    plan = prospects.plan
    if plan.kind == "check":
        valued = _asked(prospects, plan.id)
        if valued is not None:
            return valued
    if plan.kind == "repair":
        return _conclude(prospects, plan.id, certain_enough=False)
    return _clearing(prospects) or _way_out(prospects)


def _asked(
    prospects: Prospects, check_id: str, *, path: Path | None = None, clears: bool = False
) -> AskStep | None:
    """Ask this check, unless it must be withheld."""
    made = prospects.offer(check_id)
    return AskStep(made, path, clears) if isinstance(made, Offer) else None


def tree_way(prospects: Prospects, tree_leads: bool) -> Walk:
    """The way to the check that the tree asks now; nothing is pending where it asks none.

    A check that would tell next to nothing is passed over as if it were sound, unless safety
    wants it. The tree knows more than its next check: one that only pays with those after it
    is asked.
    """
    checks, parts = prospects.knowledge.checks, prospects.network.parts
    state = prospects.current
    while True:
        way = walk(prospects.complaint, state, parts)
        pending = way.pending
        if pending is None:
            return way
        if not checks[pending].fits(parts) or not (tree_leads or pending in FIRST):
            return Walk(way.visits)
        check = checks[pending]
        if check.kind == "history" or pending in SAFETY or prospects.pays(pending, WORTHLESS):
            return way
        passed = Finding(pending, (check.sound_answer(),), "asked", state.epoch)
        state = replace(state, findings=(*state.findings, passed))


def _clearing(prospects: Prospects) -> AskStep | None:
    """Where a run would be worth its minutes but is not allowed: what may clear the way."""
    checks = prospects.knowledge.checks
    worth = any(
        checks[name].loads_engine and prospects.values[name] > 0.0 for name in prospects.open_checks
    )
    if prospects.gate.allowed or not worth or prospects.verdict.drive == "stop":
        return None
    for check_id in (HOSES, RED_FLAGS):
        if check_id in prospects.open_checks:
            return _asked(prospects, check_id, clears=True)
        if prospects.current.answers(check_id) != (checks[check_id].sound_answer(),):
            return None
    gains = {item.id: _clears_per_minute(prospects, item) for item in prospects.offers}
    best = max(gains, key=lambda name: gains[name], default=None)
    if best is None or gains[best] <= 0.0:
        return None
    return _asked(prospects, best, clears=True)


def _clears_per_minute(prospects: Prospects, offered: Offer) -> float:
    """How far a sound answer would lower the chance of unlimited boost, a minute of work."""
    prediction = prospects.predictions[offered.id]
    sound = list(offered.check.answers).index(offered.check.sound_answer())
    unlimited = [
        column
        for column, cause in enumerate(prospects.network.causes)
        if prospects.knowledge.causes[cause].harm == "overpressure"
    ]
    now = float(prospects.probability[unlimited].sum())
    then = float(prediction.joint[sound, unlimited].sum() / prediction.answer[sound])
    lowered = now - then
    return lowered / offered.minutes if lowered > NOTICEABLE else 0.0


def _verify(prospects: Prospects) -> Step:
    """After a repair: the hoses and the red flags again, then a run if the gate allows it."""
    for check_id in (HOSES, RED_FLAGS):
        again = _asked(prospects, check_id) if check_id in prospects.open_checks else None
        if again is not None:
            return again
    run = prospects.offer(RUN) if RUN in prospects.open_checks else None
    return VerifyStep(prospects.state.mended[-1], run)


def _conclude(prospects: Prospects, cause_id: str, certain_enough: bool) -> ConcludeStep:
    shows = prospects.complaint.causes.get(cause_id, 0.0)
    leak = prospects.knowledge.policy.symptom_leak
    return ConcludeStep(prospects.ranked(cause_id), certain_enough, explains=shows > leak)


def _way_out(prospects: Prospects) -> Step:
    """No check is worth its minutes: name the best suspect, or hand the car over."""
    notable, unlisted = prospects.knowledge.policy.notable, prospects.belief.unlisted
    for cause in prospects.order:
        if prospects.chance(cause) < max(notable, unlisted):
            break
        if prospects.shown(cause):
            return _conclude(prospects, cause, certain_enough=False)
    if unlisted >= notable:
        return WorkshopStep("the answers fit no cause that Gatepost knows well")
    return WorkshopStep("no check is left here that is safe and worth its minutes")
