"""Learning from closed cases: counted, turned into numbers, and held against cases left out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from expert import __version__
from expert.errors import GatepostError
from expert.model import Knowledge
from expert.workbench.learn_count import Tally, together
from expert.workbench.learn_fit import Learned, learned
from expert.workbench.learn_read import WHY, Skipped, closed_cases
from expert.workbench.learn_score import PARTS, Held, Score, compared, part_of

# Two log scores that differ by less are the same.
_SAME = 1e-9


@dataclass(slots=True)
class Gathered:
    """The cases of all journals as counts, in parts, and some of the cases themselves.

    ``other`` counts the cases told with other knowledge that fit this one; ``skipped`` the journals
    that teach nothing, by the reason.
    """

    parts: list[Tally] = field(default_factory=lambda: [Tally() for _ in range(PARTS)])
    held: Held = field(default_factory=Held)
    other: int = 0
    skipped: Counter[str] = field(default_factory=Counter)

    @property
    def cases(self) -> int:
        """How many cases were counted."""
        return sum(part.cases for part in self.parts)


@dataclass(frozen=True, slots=True)
class Lesson:
    """What was learned from all cases, and how rankings did before and after on cases left out."""

    learned: Learned
    before: Score
    after: Score
    strength: float

    @property
    def worse(self) -> bool:
        """Did what was learned make the rankings of other cases worse, by the log score?"""
        return self.after.log > self.before.log + _SAME


def gather(
    paths: Sequence[Path], knowledge: Knowledge, told: Callable[[Skipped], None]
) -> Gathered:
    """Read all journals once, one after the other; ``told`` hears of each that is skipped.

    Raises MissingError for a path that is not there.
    """
    found = Gathered()
    for case in closed_cases(paths, knowledge):
        if isinstance(case, Skipped):
            found.skipped[case.why] += 1
            told(case)
            continue
        found.parts[part_of(case)].add(case, knowledge)
        found.held.offer(case)
        found.other += case.other
    return found


def lesson(found: Gathered, knowledge: Knowledge, strength: float) -> Lesson:
    """What the cases teach. Raises GatepostError when there is none."""
    if not found.cases:
        counts = ", ".join(f"{found.skipped[why]} {why}" for why in WHY if found.skipped[why])
        raise GatepostError(
            f"There is no closed case to learn from ({counts or 'no journals at all'}). "
            "Name journals whose cause was confirmed, or folders of them."
        )

    def without(number: int) -> Knowledge:
        others = (part for k, part in enumerate(found.parts) if k != number)
        return learned(knowledge, together(others), strength).knowledge

    before, after = compared(knowledge, without, found.held)
    return Lesson(learned(knowledge, together(found.parts), strength), before, after, strength)


def header(found: Gathered, lesson: Lesson, knowledge: Knowledge) -> list[str]:
    """What the files say of themselves, in lines."""
    return [
        f"By Gatepost {__version__}, from {found.cases} closed cases and the knowledge with the "
        f"digest {knowledge.digest}.",
        f"The numbers of that knowledge weigh {lesson.strength:g} cases each.",
        f"Log score on {lesson.before.cases} cases left out: {lesson.before.log:.4f} before, "
        f"{lesson.after.log:.4f} after; 0 is best.",
        "Entries are whole and go before those of the same id. Load them with --knowledge, and "
        "learn anew",
        "when the hand-written files change.",
    ]
