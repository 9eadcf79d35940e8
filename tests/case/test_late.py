"""The late consultant says what the consultant says, and costs nothing before."""

from __future__ import annotations

import subprocess
import sys

import pytest

from expert.case.consult import Consultant
from expert.case.events import Described
from expert.case.late import LateConsultant
from expert.case.state import State, fold
from expert.errors import UsageError
from tests import small


def test_it_consults_as_the_consultant_does() -> None:
    knowledge = small.knowledge()
    state = fold([Described("setup", "outer"), Described("symptom", "lazy")])
    late, prompt = LateConsultant(knowledge), Consultant(knowledge)
    assert late.knowledge is knowledge
    assert late.consult(state).order == prompt.consult(state).order
    assert late.consult(state).step == prompt.consult(state).step


def test_it_refuses_as_the_consultant_does() -> None:
    with pytest.raises(UsageError):
        LateConsultant(small.knowledge()).consult(State())


def test_the_dialogue_is_ready_without_numpy() -> None:
    code = (
        "import sys, expert.ui.talk, expert.ui.choose, expert.ui.shell, expert.case.late;"
        "sys.exit('numpy' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
