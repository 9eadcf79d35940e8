"""Why a log cannot be used: ``expert/evidence/log/errors.py``."""

from __future__ import annotations

from expert.errors import EXIT_MISSING, GatepostError
from expert.evidence.log.errors import LogError


def test_the_message_names_the_file_and_says_why() -> None:
    error = LogError("a\x1b[1m\nb.csv", "is empty.")
    assert str(error) == "a b.csv: is empty."
    assert (error.file, error.reason) == ("a b.csv", "is empty.")
    assert isinstance(error, GatepostError)
    assert error.exit_code == EXIT_MISSING
