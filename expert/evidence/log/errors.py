"""Why a log file cannot be used."""

from __future__ import annotations

from expert.errors import EXIT_MISSING, GatepostError
from expert.text import clean

_LONGEST_NAME = 200


class LogError(GatepostError):
    """A log file that cannot be read: ``file`` says which, ``reason`` what to do about it."""

    exit_code = EXIT_MISSING

    def __init__(self, file: str, reason: str) -> None:
        self.file = clean(file, _LONGEST_NAME)
        self.reason = reason
        super().__init__(f"{self.file}: {reason}")
