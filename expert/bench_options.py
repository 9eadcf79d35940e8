"""The options of gatepost bench."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Final

BENCH_EXAMPLES: Final = """\
  gatepost bench --list
  gatepost bench --list --setup internal-nipple
  gatepost bench --setup external-single --cause seat-ring-missing --out log.csv
  gatepost bench --setup internal-nipple --spring 7psi --duty 0,20,map --seed 3 --out log.csv"""


def add_bench(one: argparse.ArgumentParser) -> None:
    """The options of gatepost bench."""
    one.add_argument("--list", action="store_true", help="say which causes have an effect here")
    one.add_argument("--setup", metavar="ID", help="how boost control is plumbed")
    one.add_argument("--gate", metavar="internal|external", help="where the setup leaves it open")
    one.add_argument("--bypass", metavar="ID", help="bypass layout, or none")
    one.add_argument(
        "--cause",
        metavar="ID",
        action="append",
        default=[],
        help="what is wrong with the car; may be repeated; without it the car is sound",
    )
    one.add_argument("--out", metavar="FILE", type=Path, help="the log that is written")
    one.add_argument(
        "--seed", metavar="N", default="1", help="draws noise and how bad a fault is (1)"
    )
    one.add_argument(
        "--spring", metavar="PRESSURE", default="10psi", help="gate spring, with unit (10psi)"
    )
    one.add_argument(
        "--target", metavar="PRESSURE", help="the boost that is asked for (1.5 times the spring)"
    )
    one.add_argument(
        "--duty",
        metavar="LIST",
        default="0,map",
        help="a pull each: percent of duty, or map for the table of the car (0,map)",
    )
    one.add_argument("--gear", metavar="N", default="3", help="gear of the pulls, 2 to 5 (3)")
    one.add_argument("--litres", metavar="N", default="2", help="size of the engine, 1 to 6 (2)")
    one.add_argument("--altitude", metavar="METRES", default="0", help="height above the sea (0)")
    one.add_argument("--temperature", metavar="CELSIUS", default="20", help="of the air (20)")
    one.add_argument(
        "--dialect", metavar="NAME", default="plain", help="how the logger writes (plain)"
    )
