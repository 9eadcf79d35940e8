"""Seconds of ``knowledge add`` on the shipped knowledge, with the cause of docs/authoring.md.

From an answer to the next question the whole conversation is played again; the trial loads, checks
and tries the folder as it would be.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path
from time import perf_counter

from expert.ui.add_pick import Told, first_shown, understood
from expert.workbench.add import target
from expert.workbench.add.draft import Draft, standing
from expert.workbench.add.plan import plan
from expert.workbench.add.script import script
from expert.workbench.add.setting import NewEntry, Setting
from expert.workbench.add.trial import trial
from tests.benchmarks.figure import Figure
from tests.docs.pages import AUTHORING, blocks, text_of

QUESTION_MILLISECONDS = 100.0
# Check, try and gaps may take three seconds together; a trial does them on both sides of a change.
TRIAL_SECONDS = 6.0


def figures() -> Iterator[Figure]:
    (text,) = [one.text for one in blocks(text_of(AUTHORING)) if one.mark == "write cause.txt"]
    lines = ["cause", *text.splitlines()]
    with tempfile.TemporaryDirectory() as folder:
        place = target.choose(Path(folder), [])
        loaded = target.read(place)
        times, new = _asked(target.setting_of(loaded, place), lines)
        note = f"{len(times)} questions"
        yield Figure("slowest next question", 1000 * max(times), "ms", QUESTION_MILLISECONDS, note)
        began = perf_counter()
        trial(new, plan(new, loaded, place), place, loaded)
        seconds = perf_counter() - began
    note = f"{len(loaded.cases)} cases"
    yield Figure("text, trial and comparison", seconds, "s", TRIAL_SECONDS, note)


def _asked(setting: Setting, lines: list[str]) -> tuple[list[float], NewEntry]:
    """The seconds to each question, and the entry that the lines come to."""
    draft = Draft()
    times: list[float] = []
    waiting = iter(lines)
    while True:
        began = perf_counter()
        now = standing(lambda: script(setting), draft)
        times.append(perf_counter() - began)
        if now.question is None:
            assert now.result is not None
            return times, now.result
        typed = understood(now.question, first_shown(now.question), next(waiting))
        assert isinstance(typed, Told), now.question
        draft = draft.answered(now.question.key, typed.value)
