"""The options of gatepost hookup and gatepost boost."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Final

HOOKUP_EXAMPLES: Final = """\
  gatepost hookup external-single
  gatepost hookup internal-nipple --spring 7psi \\
      --hose housing-nipple.nipple=three-port.normally-closed \\
      --hose three-port.normally-open=inlet-pipe.tap
  gatepost hookup external-single --ask
  gatepost hookup external-single --picture wall.svg"""

BOOST_EXAMPLES: Final = """\
  gatepost boost --setup external-single --spring 14psi
  gatepost boost --setup external-single --spring 7psi+5psi --target 18psi --altitude 1500"""


def add_hookup(one: argparse.ArgumentParser) -> None:
    """The options of gatepost hookup."""
    one.add_argument("setup", nargs="?", metavar="SETUP", help="how boost control is plumbed")
    _add_layout(one)
    one.add_argument("--spring", metavar="PRESSURE", help="gate spring, with unit, such as 7psi")
    one.add_argument(
        "--hose",
        metavar="A=B",
        action="append",
        default=[],
        help="a hose as it is, PORT=PORT, PORT=air or PORT=cap; may be repeated",
    )
    one.add_argument(
        "--tee",
        metavar="A=B",
        action="append",
        default=[],
        help="a tee joins these two ports besides their hoses; may be repeated",
    )
    one.add_argument(
        "--split", metavar="PORT", action="append", default=[], help="the hose there leaks"
    )
    one.add_argument(
        "--pinched", metavar="PORT", action="append", default=[], help="the hose there is pinched"
    )
    one.add_argument(
        "--check-valve",
        metavar="A=B",
        action="append",
        default=[],
        help="a check valve in that hose; air passes from A to B",
    )
    one.add_argument(
        "--restrictor",
        choices=["right", "missing", "blocked"],
        default="right",
        help="the restrictor of a bleed controller",
    )
    one.add_argument("--unplugged", action="store_true", help="the boost solenoid is unplugged")
    one.add_argument("--file", metavar="FILE", type=Path, help="a YAML file that says all of it")
    one.add_argument("--ask", action="store_true", help="be asked, port by port")
    one.add_argument("--plain", action="store_true", help="plain lines when asked")
    one.add_argument("--case", metavar="FILE", help="add the findings to this case; 'last' too")
    one.add_argument("--picture", metavar="FILE", type=Path, help="draw it: .svg, .png, .pdf, .gv")
    one.add_argument("--json", action="store_true", help="print one JSON object")


def add_boost(one: argparse.ArgumentParser) -> None:
    """The options of gatepost boost."""
    one.add_argument("--setup", metavar="ID", required=True, help="how boost control is plumbed")
    _add_layout(one)
    one.add_argument(
        "--spring",
        metavar="PRESSURE[+PRESSURE]",
        required=True,
        help="the gate's spring with its unit, or several springs that stand side by side",
    )
    one.add_argument("--duty", metavar="PERCENT", help="boost at this duty, or share of the screw")
    one.add_argument("--target", metavar="PRESSURE", help="the boost that is asked for")
    one.add_argument("--most", metavar="PRESSURE", help="the most boost that is permitted")
    one.add_argument(
        "--altitude", metavar="METRES", default="0", help="height above the sea (0 if left out)"
    )
    one.add_argument(
        "--temperature", metavar="CELSIUS", default="20", help="of the air (20 if left out)"
    )
    one.add_argument("--json", action="store_true", help="print one JSON object")


def _add_layout(one: argparse.ArgumentParser) -> None:
    one.add_argument("--gate", metavar="internal|external", help="where the setup leaves it open")
    one.add_argument("--bypass", metavar="ID", help="bypass layout, or none")
