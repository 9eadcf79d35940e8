"""The command line: one function a command, which imports only what it needs."""

from __future__ import annotations

import sys

from expert import __version__

# As typing.TYPE_CHECKING, whose module takes longer to import than the version takes to print.
TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence
    from pathlib import Path

    from expert.case.state import State
    from expert.model import Knowledge

DONE = 0


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code; every error a user can cause is one message."""
    arguments = list(sys.argv[1:] if argv is None else argv)
    if sys.stdout is None or sys.stderr is None:
        from expert.output import open_closed

        open_closed()
    if arguments == ["--version"]:
        return _version()
    from expert.errors import EXIT_INTERRUPTED, GatepostError, KnowledgeError

    try:
        return _run(arguments)
    except KnowledgeError as error:
        _complain(f"{error}\n{_count(len(error.mistakes))} in the knowledge first.")
        return error.exit_code
    except GatepostError as error:
        _complain(str(error))
        return error.exit_code
    except KeyboardInterrupt:
        _complain("Interrupted.")
        return EXIT_INTERRUPTED
    except BrokenPipeError:
        from expert.output import quiet_end

        return quiet_end()
    except OSError as error:
        # Files are handled where they are used; what has no name is a stream of ours.
        if error.filename is not None:
            raise
        from expert.output import full_end

        return full_end(error)


def _version() -> int:
    """Print the version before anything is imported that it does not need."""
    try:
        sys.stdout.write(f"gatepost {__version__}\n")
        sys.stdout.flush()
    except BrokenPipeError:
        from expert.output import quiet_end

        return quiet_end()
    except OSError as error:
        from expert.output import full_end

        return full_end(error)
    return DONE


def _run(arguments: list[str]) -> int:
    import io
    import os

    from expert.options import parse

    # The matrices of one car are small; threads in the linear algebra only wait for each other.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    options = parse(arguments)
    commands = {
        "diagnose": diagnose,
        "rank": rank,
        "draw": draw,
        "hookup": hookup,
        "boost": boost,
        "log": log,
        "bench": bench,
        "mail": mail,
        "case": case,
        "knowledge": knowledge_command,
    }
    for stream in (sys.stdout, sys.stderr):
        # What a terminal's encoding cannot show is replaced, never a traceback.
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    code = commands[options.command](options)
    sys.stdout.flush()
    return code


def _complain(message: str) -> None:
    sys.stderr.write(f"gatepost: {message}\n")


def _count(mistakes: int) -> str:
    return "Mend the mistake" if mistakes == 1 else f"Mend the {mistakes} mistakes"


def diagnose(options: argparse.Namespace) -> int:
    """Open the questions-and-answers shell."""
    import gc

    from expert.asked import knowledge_of, told_of
    from expert.case.journal import Journal
    from expert.case.late import LateConsultant
    from expert.ui.choose import talker
    from expert.ui.talk import run

    # What is loaded here lives as long as the dialogue; looking through it for garbage only
    # delays the first question.
    gc.disable()
    knowledge = knowledge_of(options)
    gc.freeze()
    gc.enable()
    events = told_of(options, knowledge)
    logs = None
    if options.log:
        from expert.log_cli import waiting_logs

        logs = waiting_logs(knowledge, options)
    voice = talker(options.plain, False if options.no_color else None)
    with Journal.open(_case_path(options), knowledge.digest) as journal:
        return run(LateConsultant(knowledge), journal, voice, events, logs)


def _case_path(options: argparse.Namespace) -> Path:
    if options.case is not None:
        from expert.case.place import case_file

        return case_file(options.case)
    from datetime import datetime

    from expert.case.place import default_folder, new_case_path

    return new_case_path(default_folder(), datetime.now().astimezone())


def rank(options: argparse.Namespace) -> int:
    """Rank the causes for a setup, a symptom and the answers so far."""
    from expert.asked import knowledge_of, told_of
    from expert.case.consult import Consultant
    from expert.case.state import fold
    from expert.export.report import rank_report
    from expert.output import print_json, tell

    knowledge = knowledge_of(options)
    events = told_of(options, knowledge)
    if options.log:
        from expert.log_cli import with_shown

        events = with_shown(knowledge, events, options)
    consultation = Consultant(knowledge).consult(fold(events))
    if options.json:
        print_json(rank_report(consultation))
        return DONE
    from expert.ui.summary import summary

    return tell(summary(consultation), options.no_color)


def draw(options: argparse.Namespace) -> int:
    """Draw the tree of a symptom, or of all of them."""
    from expert.asked import knowledge_of
    from expert.case.consult import Consultant
    from expert.export.draw import draw as draw_trees

    knowledge = knowledge_of(options)
    drawn = draw_trees(
        Consultant(knowledge),
        options.symptom,
        options.out,
        options.format,
        setup=options.setup,
        gate=options.gate,
        bypass=options.bypass,
        case=_read_case(options.case, knowledge) if options.case else None,
    )
    if drawn.text:
        sys.stdout.write(f"{drawn.text}\n")
    for path in drawn.paths:
        sys.stdout.write(f"{path}\n")
    if drawn.note:
        _complain(drawn.note)
    return DONE


def _read_case(name: str, knowledge: Knowledge) -> State:
    from expert.case.fitted import fitted
    from expert.case.journal import read
    from expert.case.place import case_file
    from expert.case.state import fold

    return fitted(fold(read(case_file(name)).events), knowledge)


def case(options: argparse.Namespace) -> int:
    """List the cases, or show one."""
    from expert.asked import knowledge_of

    if options.action == "list":
        return _list_cases(options)
    if options.file is None:
        from expert.errors import UsageError

        raise UsageError("Name the case to show: gatepost case show FILE, or last.")
    from expert.case.consult import Consultant
    from expert.case.fitted import consultable
    from expert.export.report import rank_report
    from expert.output import print_json, tell
    from expert.ui.show_case import status
    from expert.ui.summary import summary

    knowledge = knowledge_of(options)
    state = _read_case(options.file, knowledge)
    ready = consultable(state, knowledge)
    if options.json:
        if not ready:
            from expert.errors import UsageError

            raise UsageError(
                "That case has no setup, gate or symptom yet, so there is nothing to rank. "
                "Go on with it first: gatepost diagnose --case FILE."
            )
        print_json(rank_report(Consultant(knowledge).consult(state)))
        return DONE
    blocks = status(knowledge, state)
    if ready:
        blocks += summary(Consultant(knowledge).consult(state))
    return tell(blocks, options.no_color)


def _list_cases(options: argparse.Namespace) -> int:
    from expert.case.place import default_folder
    from expert.export.caselist import case_lines, listed_cases
    from expert.output import print_json

    cases = listed_cases(default_folder())
    if options.json:
        print_json({"format": 1, "cases": [dict(one) for one in cases]})
        return DONE
    if not cases:
        _complain(f"There is no case in {default_folder()} yet; begin one with: gatepost diagnose")
        return DONE
    sys.stdout.write("\n".join(case_lines(cases)) + "\n")
    return DONE


def hookup(options: argparse.Namespace) -> int:
    """The hose table of a setup, or the verdict on what is there."""
    from expert.plumbing_cli import hookup as run

    return run(options)


def boost(options: argparse.Namespace) -> int:
    """What boost to expect of a spring."""
    from expert.plumbing_cli import boost as run

    return run(options)


def log(options: argparse.Namespace) -> int:
    """What logs show, and what follows from it."""
    from expert.log_cli import log as run

    return run(options)


def mail(options: argparse.Namespace) -> int:
    """Triage of messages."""
    from expert.mail_cli import mail as run

    return run(options)


def bench(options: argparse.Namespace) -> int:
    """The log of a simulated car."""
    from expert.bench_cli import bench as run

    return run(options)


def knowledge_command(options: argparse.Namespace) -> int:
    """The tuner's tools."""
    from expert.knowledge_cli import run

    return run(options)
