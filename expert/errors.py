"""The errors a user can cause, and the exit codes that go with them."""

from __future__ import annotations

from dataclasses import dataclass

EXIT_DONE = 0
EXIT_PROBLEMS = 1
EXIT_USAGE = 2
EXIT_MISSING = 3
EXIT_INTERRUPTED = 130


class GatepostError(Exception):
    """A mistake or a mishap that one clear message explains; never a bug of ours."""

    exit_code = EXIT_PROBLEMS


class UsageError(GatepostError):
    """The command line, or a word typed at a question, is not understood."""

    exit_code = EXIT_USAGE


class MissingError(GatepostError):
    """A file or an outside program is missing, unreadable or will not be written."""

    exit_code = EXIT_MISSING


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where something stands in a text file; line and column count from 1."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True, order=True)
class Mistake:
    """One thing wrong with a knowledge file: where it is, and what to do about it."""

    place: Place
    message: str

    def __str__(self) -> str:
        return f"{self.place}: {self.message}"


class KnowledgeError(GatepostError):
    """Knowledge that cannot be used, with every mistake found in one pass."""

    def __init__(self, mistakes: list[Mistake]) -> None:
        self.mistakes = sorted(mistakes)
        super().__init__("\n".join(str(mistake) for mistake in self.mistakes))
