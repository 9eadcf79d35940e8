"""Complaints by figures: ``expert/evidence/mail/trend.py``."""

from __future__ import annotations

import pytest

from expert.evidence.mail.figures import figures_of
from expert.evidence.mail.trend import against_target, along_revs, low_complaint
from tests.evidence.mail.understanding import sentences


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ("10 psi at 3500 and 16 psi at 6500", "creep"),
        ("16 psi at 6500 and 10 psi at 3500", "creep"),
        ("1.3 bar at 4k down to 0.9 bar at 7k", "falls-off"),
        ("15 psi at 4000 and 15.5 psi at 6500", None),
        ("15 psi at 4000 and 20 psi at 4300", None),
    ],
)
def test_boost_along_the_revs(text: str, complaint: str | None) -> None:
    found = along_revs(figures_of(sentences(text)))
    assert (found[0] if found else None) == complaint


def test_boost_against_what_was_meant() -> None:
    assert against_target(140.0, 100.0, None) == "overboost"
    assert against_target(105.0, 100.0, None) is None
    assert against_target(50.0, 100.0, 48.0) == "spring-ceiling"
    assert against_target(30.0, 100.0, 48.0) == "lazy"
    assert low_complaint(30.0, None) == "lazy"
    assert low_complaint(80.0, None) == "spring-ceiling"
