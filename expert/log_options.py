"""The options of gatepost log, and those by which other commands take a log."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Final

LOG_EXAMPLES: Final = """\
  gatepost log pull.csv --setup external-single --spring 10psi
  gatepost log pull.csv second.csv --setup external-single --spring 0.7bar --target 1bar \\
      --plot pull.svg
  gatepost log pull.csv --setup external-single --spring 10psi \\
      --channel "boost=MAP:kPa abs" --json"""


def add_log(one: argparse.ArgumentParser) -> None:
    """The options of gatepost log, without those of the car."""
    one.add_argument(
        "files", nargs="+", metavar="FILE", type=Path, help="a log; several may follow"
    )
    add_channels(one)
    one.add_argument(
        "--plot", metavar="FILE", type=Path, help="draw the pulls: a name that ends in .svg or .png"
    )
    one.add_argument("--case", metavar="FILE", help="add what the logs show to it; 'last' too")
    one.add_argument("--json", action="store_true", help="print one JSON object")


def add_log_evidence(one: argparse.ArgumentParser) -> None:
    """The options by which diagnose and rank begin with what logs show."""
    one.add_argument(
        "--log",
        metavar="FILE",
        type=Path,
        action="append",
        default=[],
        help="begin with what this log shows; may be repeated",
    )
    add_channels(one)


def add_channels(one: argparse.ArgumentParser) -> None:
    """The options that say how a log is to be read."""
    one.add_argument(
        "--channel",
        metavar="ID=NAME:UNIT",
        action="append",
        default=[],
        help="the column of a channel, and its unit where the file has none; may be repeated",
    )
    one.add_argument(
        "--lowest", action="store_true", help="the hand controller stood at its lowest setting"
    )
