"""Everything that follows from a case, in one print."""

from __future__ import annotations

import pytest

from expert.case.consult import Consultant, Consultation
from expert.case.events import Answered, Described, Event, Mended
from expert.case.state import fold
from expert.ui.summary import next_words, summary
from tests.small import knowledge
from tests.ui.script import shown

CLEAN = [
    Answered("red-flags", ("none",)),
    Answered("what-changed", ("just-fitted",)),
    Answered("hose-trace", ("matches",)),
]
SOUND = [
    Answered("lamp", ("dark",)),
    Answered("smoke", ("nowhere",)),
    Answered("shaft", ("free",)),
    Answered("duty-read", ("some",)),
    Answered("run", ("on-spring",)),
]


def consulted(*events: Event) -> Consultation:
    said = [Described("setup", "outer"), Described("symptom", "lazy"), *events]
    return Consultant(knowledge()).consult(fold(said))


def test_a_summary_holds_verdict_ranking_and_next_step() -> None:
    text = shown(summary(consulted(*CLEAN, Answered("lamp", ("ring",)))))
    assert text.index("CAUTION") < text.index("Ranking") < text.index("Next")


@pytest.mark.parametrize(
    ("events", "words"),
    [
        ([], "Next check: red-flags. What have you noticed?"),
        ([*CLEAN, Answered("lamp", ("ring",))], "Next: make sure of this: Ring left out."),
        ([*CLEAN, *SOUND], "Next: a workshop, since"),
        (
            [*CLEAN, Mended("ring-missing"), *CLEAN[::2]],
            "Next: see whether the repair has ended the trouble.",
        ),
    ],
)
def test_the_next_step_in_a_line(events: list[Event], words: str) -> None:
    assert words in shown([next_words(consulted(*events))])
