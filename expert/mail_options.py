"""The options of gatepost mail."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Final

MAIL_EXAMPLES: Final = """\
  gatepost mail docs/mailbox.mbox
  gatepost mail docs/mailbox.mbox --json
  gatepost mail show 2 docs/mailbox.mbox --draft
  gatepost mail correct 2 docs/mailbox.mbox --cases cases --symptom creep --drop overboost"""


def add_mail(one: argparse.ArgumentParser) -> None:
    """The options of gatepost mail."""
    one.add_argument(
        "path",
        nargs="+",
        metavar="PATH",
        help="messages: .eml, mbox, Maildir, text, or - for stdin; before them, "
        "'show NUMBER' shows one and 'correct NUMBER' sets one right",
    )
    one.add_argument("--json", action="store_true", help="print one JSON object")
    one.add_argument("--csv", action="store_true", help="print the queue as CSV")
    one.add_argument(
        "--cases", metavar="DIR", type=Path, help="keep a case for each thread in this folder"
    )
    one.add_argument("--draft", action="store_true", help="write a draft reply; nothing is sent")
    one.add_argument(
        "--out", metavar="DIR", type=Path, help="put drafts there as files, and print none"
    )
    one.add_argument(
        "--format", choices=["text", "eml"], help="kind of draft file (eml if left out)"
    )
    one.add_argument(
        "--shop",
        metavar="FILE",
        type=Path,
        help="the shop's greeting and signature, parted by a line ---",
    )
    _add_corrections(one)


def _add_corrections(one: argparse.ArgumentParser) -> None:
    one.add_argument("--setup", metavar="ID", help="correct: how boost control is plumbed")
    one.add_argument("--gate", metavar="internal|external", help="correct: which gate")
    one.add_argument("--bypass", metavar="ID", help="correct: bypass layout, or none")
    one.add_argument(
        "--symptom", metavar="ID", action="append", default=None, help="correct: the complaint"
    )
    one.add_argument("--spring", metavar="PRESSURE", help="correct: gate spring, with unit")
    one.add_argument("--target", metavar="PRESSURE", help="correct: boost asked for, with unit")
    one.add_argument(
        "--answer",
        metavar="CHECK=ANSWER",
        action="append",
        default=None,
        help="correct: an answer that the message gives",
    )
    one.add_argument(
        "--drop",
        metavar="ID",
        action="append",
        default=None,
        help="correct: a check or symptom that was misread",
    )
