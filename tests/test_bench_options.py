"""The options of bench."""

from __future__ import annotations

from expert.bench_options import BENCH_EXAMPLES
from expert.options import parse


def test_causes_are_repeated_and_the_rest_has_defaults() -> None:
    options = parse(["bench", "--setup", "s", "--cause", "a", "--cause", "b", "--out", "f.csv"])
    assert (options.setup, options.cause, str(options.out)) == ("s", ["a", "b"], "f.csv")
    assert (options.duty, options.spring, options.seed, options.list) == (
        "0,map",
        "10psi",
        "1",
        False,
    )


def test_examples_are_commands() -> None:
    for line in BENCH_EXAMPLES.replace("\\\n", "").splitlines():
        assert parse(line.split()[1:]).command == "bench"
