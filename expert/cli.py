"""The command line: one function a command, which imports only what it needs."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from expert import __version__
from expert.errors import (
    EXIT_DONE,
    EXIT_INTERRUPTED,
    EXIT_MISSING,
    EXIT_PROBLEMS,
    GatepostError,
    KnowledgeError,
    UsageError,
)

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence
    from pathlib import Path

    from expert.case.events import Event
    from expert.case.state import State
    from expert.model import Knowledge


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code; every error a user can cause is one message."""
    arguments = list(sys.argv[1:] if argv is None else argv)
    if arguments in (["--version"], ["-V"]):
        print(f"gatepost {__version__}")  # noqa: T201 (before anything slow is imported)
        return EXIT_DONE
    try:
        return _run(arguments)
    except KnowledgeError as error:
        _complain(f"{error}\n{_count(len(error.mistakes))} in the knowledge; mend it first.")
        return error.exit_code
    except GatepostError as error:
        _complain(str(error))
        return error.exit_code
    except KeyboardInterrupt:
        _complain("Interrupted.")
        return EXIT_INTERRUPTED
    except BrokenPipeError:
        return _quiet_end()


def _run(arguments: list[str]) -> int:
    from expert.options import parse

    options = parse(arguments)
    commands = {
        "diagnose": diagnose,
        "rank": rank,
        "draw": draw,
        "case": case,
        "knowledge": knowledge_command,
    }
    code = commands[options.command](options)
    sys.stdout.flush()
    return code


def _complain(message: str) -> None:
    sys.stderr.write(f"gatepost: {message}\n")


def _count(mistakes: int) -> str:
    return "1 mistake" if mistakes == 1 else f"{mistakes} mistakes"


def _quiet_end() -> int:
    """The reader of our output went away: say nothing more, not even at the interpreter's end."""
    import os

    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return EXIT_PROBLEMS


def _knowledge(options: argparse.Namespace) -> Knowledge:
    from expert.loading.folder import load, shipped_folder

    return load([shipped_folder(), *(options.knowledge or [])])


def _prefill(options: argparse.Namespace, knowledge: Knowledge) -> list[Event]:
    from expert.case.prefill import events_from

    return events_from(
        knowledge,
        setup=options.setup,
        gate=options.gate,
        bypass=options.bypass,
        symptoms=options.symptom or [],
        spring=options.spring,
        target=options.target,
        answers=options.answer or [],
    )


def diagnose(options: argparse.Namespace) -> int:
    """Open the questions-and-answers shell."""
    from expert.case.consult import Consultant
    from expert.case.journal import Journal
    from expert.ui.choose import talker
    from expert.ui.talk import run

    knowledge = _knowledge(options)
    events = _prefill(options, knowledge)
    voice = talker(options.plain, False if options.no_color else None)
    with Journal.open(_case_path(options), knowledge.digest) as journal:
        return run(Consultant(knowledge), journal, voice, events)


def _case_path(options: argparse.Namespace) -> Path:
    from datetime import datetime
    from pathlib import Path

    from expert.case.place import default_folder, latest_case, new_case_path

    if options.case is None:
        return new_case_path(default_folder(), datetime.now().astimezone())
    if options.case == "last":
        return latest_case(default_folder())
    return Path(options.case)


def rank(options: argparse.Namespace) -> int:
    """Rank the causes for a setup, a symptom and the answers so far."""
    from expert.case.consult import Consultant
    from expert.case.state import fold
    from expert.export.report import rank_report

    knowledge = _knowledge(options)
    consultation = Consultant(knowledge).consult(fold(_prefill(options, knowledge)))
    if options.json:
        _print_json(rank_report(consultation))
        return EXIT_DONE
    from expert.ui.choose import printer
    from expert.ui.show import summary

    voice = printer(False if options.no_color else None)
    for block in summary(consultation):
        voice.tell(block)
    return EXIT_DONE


def _print_json(value: object) -> None:
    import json

    sys.stdout.write(json.dumps(value, indent=2, ensure_ascii=False) + "\n")


def draw(options: argparse.Namespace) -> int:
    """Draw the trees."""
    from expert.case.car import parts_of
    from expert.case.consult import Consultant
    from expert.export.draw import draw as draw_trees

    knowledge = _knowledge(options)
    state = _read_case(options.case) if options.case else None
    setup = options.setup or (state.setup if state else None)
    gate = options.gate or (state.gate if state else None)
    bypass = options.bypass or (state.bypass if state else None)
    parts = parts_of(knowledge, setup, gate, bypass) if setup else None
    del parts, Consultant, draw_trees
    raise NotImplementedError


def _read_case(name: str) -> State:
    from pathlib import Path

    from expert.case.journal import read
    from expert.case.place import default_folder, latest_case
    from expert.case.state import fold

    path = latest_case(default_folder()) if name == "last" else Path(name)
    return fold(read(path).events)


def case(options: argparse.Namespace) -> int:
    """List the cases, or show one."""
    raise NotImplementedError


def knowledge_command(options: argparse.Namespace) -> int:
    """Check the knowledge."""
    raise NotImplementedError


__all__ = ["EXIT_MISSING", "UsageError", "main"]
