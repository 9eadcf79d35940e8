"""A name must be known, and a near miss is pointed out."""

from __future__ import annotations

import pytest

from expert.case.known import known
from expert.errors import UsageError


def test_a_known_name_passes() -> None:
    assert known("symptom", "lazy", ["lazy", "creep"]) is None


@pytest.mark.parametrize(
    ("found", "message"),
    [("lasy", "Did you mean lazy?"), ("zzzz", "Known: lazy, creep."), ("", "Known: lazy, creep.")],
)
def test_an_unknown_name_is_refused_with_help(found: str, message: str) -> None:
    with pytest.raises(UsageError, match=message):
        known("symptom", found, ["lazy", "creep"])


def test_a_long_list_of_names_is_cut() -> None:
    names = [f"check-{number}" for number in range(1, 41)]
    with pytest.raises(UsageError, match=r"Known: check-1, .*, check-12 and 28 more\.$"):
        known("check", "zzzz", names)
