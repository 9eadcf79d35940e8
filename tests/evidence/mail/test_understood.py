"""What was understood, as data: ``expert/evidence/mail/understood.py``."""

from __future__ import annotations

from dataclasses import FrozenInstanceError

import pytest

from expert.evidence.mail.understood import Understanding


def test_nothing_is_taken_for_granted() -> None:
    nothing = Understanding("vague")
    assert (nothing.symptoms, nothing.facts, nothing.setup, nothing.spring_kpa) == (
        (),
        (),
        None,
        None,
    )
    with pytest.raises(FrozenInstanceError):
        nothing.kind = "complaint"  # type: ignore[misc]
