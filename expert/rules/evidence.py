"""How much an answer says, by the numbers in the files."""

from __future__ import annotations

from collections.abc import Mapping

from expert.model import Check, Policy


def ratio(policy: Policy, check: Check, answer: str, share: float) -> float:
    """How much more often a car with a cause gives the answer than a sound one does.

    Both with the slip of an answer asked at the car, spread over all answers.
    """
    sick, sound = _chances(policy, check, answer, share)
    return sick / sound


def told(policy: Policy, check: Check, answer: str, share: float) -> float:
    """The same, or by how much the cause speaks against any other answer, whichever is more.

    Half of all sound cars may give an answer: it then says little, but its absence may say much.
    """
    sick, sound = _chances(policy, check, answer, share)
    return max(sick / sound, (1 - sound) / (1 - sick))


def _chances(policy: Policy, check: Check, answer: str, share: float) -> tuple[float, float]:
    """How often a car with the cause gives the answer, and how often a sound one does."""
    slip = policy.slip.asked
    wrong = slip / len(check.answers)
    sound = check.healthy.get(answer, 0.0)
    # What does not answer so because of the cause may still do it as a sound car would.
    sick = share + (1 - share) * sound
    return (1 - slip) * sick + wrong, (1 - slip) * sound + wrong


def shown(check: Check, row: Mapping[str, float]) -> float:
    """The share of cars with a cause on which the check shows it, by any of its answers.

    Flags of a nominal check and the two sides of a two-sided one stand by themselves; the best
    of them counts.
    """
    if check.kind == "nominal":
        return max(row.values(), default=0.0)
    if check.kind == "two-sided":
        sides = (check.low, check.high)
        return max(sum(row.get(answer, 0.0) for answer in side) for side in sides)
    return sum(row.values())
