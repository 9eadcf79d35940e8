"""The options of every command, and their help, which begins with examples."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import NoReturn

from expert import __version__
from expert.bench_options import BENCH_EXAMPLES, add_bench
from expert.errors import UsageError
from expert.knowledge_options import ACTIONS, folder
from expert.log_options import LOG_EXAMPLES, add_log, add_log_evidence
from expert.mail_options import MAIL_EXAMPLES, add_mail
from expert.plumbing_options import BOOST_EXAMPLES, HOOKUP_EXAMPLES, add_boost, add_hookup

COMMANDS = {
    "diagnose": (
        "find out, question by question, why a car makes the wrong boost",
        """\
  gatepost diagnose
  gatepost diagnose --setup external-single --symptom lazy --spring 7psi
  gatepost diagnose --setup external-single --spring 10psi --log pull.csv
  gatepost diagnose --case last""",
    ),
    "rank": (
        "rank the causes for what is known so far, without a conversation",
        """\
  gatepost rank --setup internal-nipple --symptom lazy
  gatepost rank --setup external-single --symptom lazy \\
      --answer what-changed=just-fitted --answer hose-trace=matches --json""",
    ),
    "draw": (
        "draw the tree of a symptom, or of all of them",
        """\
  gatepost draw lazy
  gatepost draw all --setup external-single --format svg --out pictures
  gatepost draw --case last""",
    ),
    "hookup": ("check every hose, cap and port before the first start", HOOKUP_EXAMPLES),
    "boost": ("say what boost to expect of a spring", BOOST_EXAMPLES),
    "log": ("read logs: what they show, what follows, what to do next", LOG_EXAMPLES),
    "bench": ("make the log of a simulated car with a fault", BENCH_EXAMPLES),
    "mail": ("triage a mailbox: danger, likely causes, what to ask, drafts", MAIL_EXAMPLES),
    "case": (
        "list the cases that are kept, or show one",
        """\
  gatepost case list
  gatepost case show last""",
    ),
    "knowledge": (
        "check, try, compare and extend the knowledge files",
        """\
  gatepost knowledge check
  gatepost knowledge effort --symptom lazy --setup internal-nipple --cars 20""",
    ),
}

DEFAULT_COMMAND = "diagnose"

TOP_EXAMPLES = """\
  gatepost                  open the questions-and-answers shell, as gatepost diagnose does
  gatepost rank --setup external-single --symptom lazy
  gatepost draw lazy"""


class Parser(argparse.ArgumentParser):
    """A parser whose help begins with examples and whose errors end like all our errors."""

    examples = ""

    def format_help(self) -> str:
        """Examples first, then what argparse has to say."""
        return f"Examples:\n{self.examples}\n\n{super().format_help()}"

    def error(self, message: str) -> NoReturn:
        """Raise UsageError instead of leaving the program."""
        raise UsageError(f"{message}\nTry: {self.prog} --help")


def parse(arguments: list[str]) -> argparse.Namespace:
    """The options of a command line; without a command it is the shell that is meant."""
    about_gatepost = {"-h", "--help", "--version"}
    if not arguments or (arguments[0].startswith("-") and arguments[0] not in about_gatepost):
        arguments = [DEFAULT_COMMAND, *arguments]
    options = parser().parse_args(arguments)
    _refuse_idle(options)
    return options


def _refuse_idle(options: argparse.Namespace) -> None:
    """Raise UsageError for an option that this action would pass over in silence."""
    if options.command == "case" and options.action == "list" and options.file is not None:
        raise UsageError("case list takes no file; to see one case: gatepost case show FILE")


def parser() -> Parser:
    """The parser of the whole command line."""
    top = Parser(
        prog="gatepost",
        description="Find out, by symptom, why a turbocharged petrol car makes the wrong boost.",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    top.examples = TOP_EXAMPLES
    top.add_argument("--version", action="version", version=f"gatepost {__version__}")
    commands = top.add_subparsers(
        dest="command", metavar="COMMAND", parser_class=Parser, required=True
    )
    made = {}
    for name, (summary, examples) in COMMANDS.items():
        made[name] = commands.add_parser(name, help=summary, description=f"{summary.capitalize()}.")
        made[name].examples = examples
        if name != "knowledge":
            _add_shared(made[name])
    _add_car(made["diagnose"])
    add_log_evidence(made["diagnose"])
    _add_conversation(made["diagnose"])
    _add_car(made["rank"])
    add_log_evidence(made["rank"])
    made["rank"].add_argument("--json", action="store_true", help="print one JSON object")
    _add_draw(made["draw"])
    add_hookup(made["hookup"])
    add_boost(made["boost"])
    _add_car(made["log"])
    add_log(made["log"])
    add_bench(made["bench"])
    add_mail(made["mail"])
    _add_case(made["case"])
    _add_knowledge(made["knowledge"])
    return top


def _add_shared(one: Parser) -> None:
    one.add_argument(
        "--knowledge",
        metavar="DIR",
        type=folder,
        action="append",
        default=None,
        help="a folder that adds to and overrides the knowledge; may be repeated",
    )
    one.add_argument("--no-color", action="store_true", help="no colour (also: NO_COLOR=1)")


def _add_car(one: Parser) -> None:
    one.add_argument("--setup", metavar="ID", help="how boost control is plumbed")
    one.add_argument("--gate", metavar="internal|external", help="where the setup leaves it open")
    one.add_argument("--bypass", metavar="ID", help="bypass layout, or none")
    one.add_argument(
        "--symptom",
        metavar="ID",
        action="append",
        default=None,
        help="the complaint; repeat for more, the main one first",
    )
    one.add_argument(
        "--spring", metavar="PRESSURE", help="gate spring, with unit, such as 7psi; or unknown"
    )
    one.add_argument("--target", metavar="PRESSURE", help="boost asked for, with unit; or unknown")
    one.add_argument(
        "--answer",
        metavar="CHECK=ANSWER",
        action="append",
        default=None,
        help="an answer already known, CHECK=ANSWER or CHECK=ANSWER@origin; may be repeated",
    )


def _add_conversation(one: Parser) -> None:
    one.add_argument("--case", metavar="FILE", help="keep the case there, or go on; 'last' too")
    one.add_argument("--plain", action="store_true", help="plain numbered lines")


def _add_draw(one: Parser) -> None:
    one.add_argument("symptom", nargs="?", metavar="SYMPTOM", help="a symptom, or all")
    one.add_argument("--setup", metavar="ID", help="draw only what this setup can meet")
    one.add_argument("--gate", metavar="internal|external", help="where the setup leaves it open")
    one.add_argument("--bypass", metavar="ID", help="bypass layout, or none")
    one.add_argument("--case", metavar="FILE", help="mark the way that this case has taken")
    one.add_argument("--format", choices=["gv", "svg", "png", "pdf"], help="kind of picture")
    one.add_argument("--out", metavar="DIR", type=Path, default=Path(), help="where to put it")


def _add_case(one: Parser) -> None:
    one.add_argument("action", choices=["list", "show"], help="list all cases, or show one")
    one.add_argument("file", nargs="?", metavar="FILE", help="a case file, or last")
    one.add_argument("--json", action="store_true", help="print one JSON object")


def _add_knowledge(one: Parser) -> None:
    actions = one.add_subparsers(
        dest="action", metavar="ACTION", parser_class=Parser, required=True
    )
    for name, (summary, examples, add) in ACTIONS.items():
        made = actions.add_parser(name, help=summary, description=f"{summary.capitalize()}.")
        made.examples = examples
        add(made)
        _add_shared(made)
