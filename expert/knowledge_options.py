"""The options of gatepost knowledge, one function an action, and their help."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Final, NamedTuple

from expert.text import clean

KINDS: Final = ("cause", "check")


class Action(NamedTuple):
    """What an action is for, its examples, and what adds its options to a parser."""

    summary: str
    examples: str
    add: Callable[[argparse.ArgumentParser], None]


def _add_check(one: argparse.ArgumentParser) -> None:
    one.add_argument("--rule", metavar="ID", action="append", help="only this rule")
    one.add_argument("--rules", action="store_true", help="list the rules")
    one.add_argument("--fix", action="store_true", help="mend what can be mended for certain")
    form = one.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="print one JSON object")
    form.add_argument("--sarif", action="store_true", help="print SARIF, for code review services")


def _add_gaps(one: argparse.ArgumentParser) -> None:
    one.add_argument("--setup", metavar="ID", action="append", help="only this setup")
    one.add_argument("--symptom", metavar="ID", help="only causes that show this symptom")
    one.add_argument(
        "--below",
        metavar="N",
        type=decibans,
        default=3.0,
        help="decibans below which a pair counts as look-alikes",
    )
    one.add_argument(
        "--picture", metavar="FILE", type=Path, help="draw the look-alikes: .svg, .png, .pdf, .gv"
    )
    one.add_argument("--json", action="store_true", help="print one JSON object")


def _add_effort(one: argparse.ArgumentParser) -> None:
    one.add_argument("--symptom", metavar="ID", action="append", help="only this symptom")
    one.add_argument("--setup", metavar="ID", action="append", help="only this setup")
    one.add_argument(
        "--cars", metavar="N", type=count, default=20, help="invented cars for each tree"
    )
    one.add_argument("--seed", metavar="N", type=seed, default=1, help="how they are drawn")
    one.add_argument("--json", action="store_true", help="print one JSON object")


def _add_try(one: argparse.ArgumentParser) -> None:
    one.add_argument("--case", metavar="ID", action="append", help="only this known case")
    one.add_argument("--json", action="store_true", help="print one JSON object")


def _add_add(one: argparse.ArgumentParser) -> None:
    one.add_argument("kind", nargs="?", metavar="KIND", choices=KINDS, help="cause or check")
    one.add_argument("--into", metavar="DIR", type=folder, help="the folder that is written into")
    one.add_argument("--resume", action="store_true", help="go on with the latest draft")
    one.add_argument("--plain", action="store_true", help="plain numbered lines")


def _add_learn(one: argparse.ArgumentParser) -> None:
    one.add_argument("cases", metavar="CASES", nargs="+", type=folder, help="journals, or folders")
    one.add_argument("--out", metavar="DIR", type=folder, help="the folder that is written")
    one.add_argument(
        "--strength",
        metavar="N",
        type=strength,
        default=20.0,
        help="how many cases the numbers in the files weigh",
    )
    one.add_argument("--force", action="store_true", help="write even what ranks worse")
    one.add_argument("--json", action="store_true", help="print one JSON object")


def _add_calibrate(one: argparse.ArgumentParser) -> None:
    one.add_argument(
        "--cars", metavar="N", type=count, default=20_000, help="invented cars in each setting"
    )
    one.add_argument("--seed", metavar="N", type=seed, default=1, help="how they are drawn")
    one.add_argument("--json", action="store_true", help="print one JSON object")


def _add_show(one: argparse.ArgumentParser) -> None:
    one.add_argument("id", metavar="ID", help="a cause, a check, a symptom, or any other entry")
    one.add_argument("--kind", metavar="KIND", help="only the entry of this kind")
    one.add_argument("--json", action="store_true", help="print one JSON object")


def _add_diff(one: argparse.ArgumentParser) -> None:
    one.add_argument("old", metavar="OLD", help="a folder, a git revision, or REVISION:PATH")
    one.add_argument(
        "new", metavar="NEW", nargs="?", help="the same; without it, the folders as they are"
    )
    one.add_argument("--json", action="store_true", help="print one JSON object")


def folder(text: str) -> Path:
    """A folder; an empty name would be the current one, as when a variable is not set."""
    if not text.strip():
        raise argparse.ArgumentTypeError("found an empty name; expected a folder, '.' for this one")
    return Path(text)


def count(text: str) -> int:
    """A number of things to make."""
    return _whole(text, 1, 1_000_000)


def seed(text: str) -> int:
    """A seed of the random numbers."""
    return _whole(text, 0, 2**32 - 1)


def strength(text: str) -> float:
    """How many cases the numbers in the files weigh."""
    return _number(text, 1_000_000)


def decibans(text: str) -> float:
    """How far evidence must lead."""
    return _number(text, 100)


def _number(text: str, most: int) -> float:
    """A number over 0, at most ``most``; argparse shows the message of its error."""
    plain = text.replace(".", "", 1)
    if not (plain.isascii() and plain.isdigit() and len(text) < 20 and 0 < float(text) <= most):
        raise argparse.ArgumentTypeError(
            f"found {clean(text, 40)!r}; expected a number over 0, at most {most}"
        )
    return float(text)


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
  gatepost knowledge check --knowledge our-shop
  gatepost knowledge check --rules""",
        _add_check,
    ),
    "try": Action(
        "play every known case through and say which of them miss",
        """\
  gatepost knowledge try
  gatepost knowledge try --case ring-left-out --json""",
        _add_try,
    ),
    "add": Action(
        "write a cause or a check question by question, tried before it is kept",
        """\
  gatepost knowledge add cause --into our-shop
  gatepost knowledge add check --knowledge our-shop
  gatepost knowledge add --resume""",
        _add_add,
    ),
    "gaps": Action(
        "show what the files cannot tell: look-alikes, causes out of reach, idle checks",
        """\
  gatepost knowledge gaps
  gatepost knowledge gaps --setup external-single --symptom creep
  gatepost knowledge gaps --below 6 --picture gaps.svg""",
        _add_gaps,
    ),
    "show": Action(
        "show one entry: its text, where it comes from, and all that it takes part in",
        """\
  gatepost knowledge show seat-ring-missing
  gatepost knowledge show light-behind-valve --json""",
        _add_show,
    ),
    "diff": Action(
        "say what a change does: entries, known cases, trees and first questions",
        """\
  gatepost knowledge diff HEAD
  gatepost knowledge diff knowledge our-shop
  gatepost knowledge diff main~1 main --json""",
        _add_diff,
    ),
    "effort": Action(
        "count the minutes and checks that the trees take to find a cause",
        """\
  gatepost knowledge effort --symptom lazy --setup internal-nipple --cars 20""",
        _add_effort,
    ),
    "learn": Action(
        "learn from closed cases how often causes are met and how checks answer",
        """\
  gatepost knowledge learn cases
  gatepost knowledge learn cases --out learned --strength 20""",
        _add_learn,
    ),
    "calibrate": Action(
        "hold stated probabilities against invented cars whose causes are known",
        """\
  gatepost knowledge calibrate
  gatepost knowledge calibrate --cars 2000 --seed 7 --json""",
        _add_calibrate,
    ),
}
