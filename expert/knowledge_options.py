"""The options of gatepost knowledge, one function an action, and their help."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import Final, NamedTuple

from expert.text import clean


class Action(NamedTuple):
    """What an action is for, its examples, and what adds its options to a parser."""

    summary: str
    examples: str
    add: Callable[[argparse.ArgumentParser], None]


def _add_check(one: argparse.ArgumentParser) -> None:
    """Check takes the folders alone."""


def _add_effort(one: argparse.ArgumentParser) -> None:
    one.add_argument("--symptom", metavar="ID", action="append", help="only this symptom")
    one.add_argument("--setup", metavar="ID", action="append", help="only this setup")
    one.add_argument(
        "--cars", metavar="N", type=count, default=20, help="invented cars for each tree"
    )
    one.add_argument("--seed", metavar="N", type=seed, default=1, help="how they are drawn")
    one.add_argument("--json", action="store_true", help="print one JSON object")


def count(text: str) -> int:
    """A number of things to make."""
    return _whole(text, 1, 1_000_000)


def seed(text: str) -> int:
    """A seed of the random numbers."""
    return _whole(text, 0, 2**32 - 1)


def _whole(text: str, least: int, most: int) -> int:
    """A whole number within limits; argparse shows the message of its error."""
    if not (text.isascii() and text.isdigit() and len(text) < 20 and least <= int(text) <= most):
        raise argparse.ArgumentTypeError(
            f"found {clean(text, 40)!r}; expected a whole number from {least} to {most}"
        )
    return int(text)


ACTIONS: Final[dict[str, Action]] = {
    "check": Action(
        "list every mistake and every weak spot of the files",
        """\
  gatepost knowledge check
  gatepost knowledge check --knowledge our-shop""",
        _add_check,
    ),
    "effort": Action(
        "count the minutes and checks that the trees take to find a cause",
        """\
  gatepost knowledge effort --symptom lazy --setup internal-nipple --cars 20""",
        _add_effort,
    ),
}
