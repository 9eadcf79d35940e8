"""The whole conversation: first what is added, then all about it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from expert.workbench.add.ask_cause import cause_script
from expert.workbench.add.ask_check import check_script
from expert.workbench.add.ask_shared import one
from expert.workbench.add.draft import Script
from expert.workbench.add.question import Question
from expert.workbench.add.setting import NewEntry, Setting

KIND: Final = "kind"
KINDS: Final[Mapping[str, str]] = {
    "cause": "One thing that is wrong",
    "check": "Something to look at, feel, measure or log",
}


def script(setting: Setting) -> Script[NewEntry]:
    """Everything that is asked for a new entry."""
    kind = yield from one(
        Question(
            KIND,
            "What do you want to add?",
            "A new cause first, then a check for it.",
            "one",
            KINDS,
        )
    )
    if kind == "check":
        return (yield from check_script(setting))
    return (yield from cause_script(setting))
