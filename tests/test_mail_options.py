"""The options of gatepost mail."""

from __future__ import annotations

import pytest

from expert.errors import UsageError
from expert.mail_options import MAIL_EXAMPLES
from expert.options import parse


def test_paths_are_repeated_and_one_is_needed() -> None:
    options = parse(["mail", "a.eml", "-", "--json"])
    assert (options.path, options.json, options.csv, options.draft) == (
        ["a.eml", "-"],
        True,
        False,
        False,
    )
    with pytest.raises(UsageError, match="PATH"):
        parse(["mail"])


def test_corrections_are_repeated() -> None:
    options = parse(
        ["mail", "correct", "1", "x", "--drop", "a", "--drop", "b", "--symptom", "creep"]
    )
    assert (options.drop, options.symptom, options.answer) == (["a", "b"], ["creep"], None)


def test_examples_are_commands() -> None:
    for line in MAIL_EXAMPLES.splitlines():
        assert parse(line.split()[1:]).command == "mail"
