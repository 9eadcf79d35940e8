"""The options of hookup and boost."""

from __future__ import annotations

import pytest

from expert.errors import UsageError
from expert.options import parse
from expert.plumbing_options import BOOST_EXAMPLES, HOOKUP_EXAMPLES


def test_hoses_are_repeated() -> None:
    options = parse(["hookup", "direct", "--hose", "a=b", "--hose", "c=air", "--unplugged"])
    assert (options.setup, options.hose, options.unplugged) == ("direct", ["a=b", "c=air"], True)
    assert options.restrictor == "right"


def test_boost_needs_a_setup_and_a_spring() -> None:
    with pytest.raises(UsageError, match="--setup, --spring"):
        parse(["boost"])


@pytest.mark.parametrize("examples", [HOOKUP_EXAMPLES, BOOST_EXAMPLES])
def test_examples_are_commands(examples: str) -> None:
    for line in examples.replace("\\\n", "").splitlines():
        assert parse(line.split()[1:]).command in ("hookup", "boost")
