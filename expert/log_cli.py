"""gatepost log, and the logs that diagnose and rank begin with; it imports only what it needs."""

from __future__ import annotations

import sys

from expert.asked import knowledge_of, told_of

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence
    from pathlib import Path

    from expert.case.events import Event
    from expert.case.state import State
    from expert.evidence.log.overrides import Override
    from expert.evidence.log.read import Testimony
    from expert.model import Knowledge
    from expert.ui.log_talk import Logs

DONE = 0


def log(options: argparse.Namespace) -> int:
    """What logs show, and what follows from it for the car."""
    from expert.case.consult import Consultant
    from expert.case.logged import drive_of, log_events, looked_at, terms_of, with_logs
    from expert.case.state import fold
    from expert.evidence.log.read import testimony

    knowledge = knowledge_of(options)
    _refuse_early(options)
    told = [*_events_of_case(knowledge, options), *told_of(options, knowledge)]
    terms = terms_of(knowledge, fold(told), channels_of(options, knowledge), options.lowest)
    testimonies = testimony(knowledge, terms, options.files)
    consultant = Consultant(knowledge)
    verdicts = [
        drive_of(consultant, fold(with_logs(told, log_events(knowledge, [one]))))
        if one.usable
        else None
        for one in testimonies
    ]
    shown = log_events(knowledge, testimonies)
    state = fold(with_logs(told, shown))
    consultation, verdict = looked_at(consultant, state), drive_of(consultant, state)
    if options.json:
        from expert.export.log_report import log_report
        from expert.output import print_json

        print_json(log_report(testimonies, verdicts, consultation, verdict))
    else:
        from expert.output import tell
        from expert.ui.show_log import log_page

        page = log_page(knowledge, testimonies, terms.spring_kpa, consultation, verdict)
        tell(page, options.no_color)
    _complain(testimonies)
    # The results are out before anything is written that may fail.
    if options.case is not None:
        _keep(knowledge, with_logs(told_of(options, knowledge), shown), options.case)
    if options.plot is not None:
        _plot(knowledge, testimonies, terms.spring_kpa, options.plot)
    return exit_code(testimonies)


def with_shown(
    knowledge: Knowledge, told: Sequence[Event], options: argparse.Namespace
) -> list[Event]:
    """What the options tell of a car and what the logs of ``--log`` show.

    What is wrong with a log is said on stderr; the others count all the same.
    """
    if not options.log:
        return list(told)
    from expert.case.logged import log_events, terms_of, with_logs
    from expert.case.state import fold
    from expert.evidence.log.read import testimony

    terms = terms_of(knowledge, fold(told), channels_of(options, knowledge), options.lowest)
    testimonies = testimony(knowledge, terms, options.log)
    _complain(testimonies)
    return with_logs(told, log_events(knowledge, testimonies))


def waiting_logs(knowledge: Knowledge, options: argparse.Namespace) -> Logs:
    """The logs of ``--log``, for a dialogue that first asks what they are judged by."""
    from expert.ui.log_talk import Logs

    return Logs(tuple(options.log), channels_of(options, knowledge), options.lowest)


def channels_of(options: argparse.Namespace, knowledge: Knowledge) -> dict[str, Override]:
    """What ``--channel`` says of columns, by channel. Raises UsageError."""
    if not options.channel:
        return {}
    from expert.case.known import known
    from expert.evidence.log.overrides import overrides

    found = overrides(options.channel)
    for channel in found:
        known("channel", channel, knowledge.channels)
    return found


def exit_code(testimonies: Sequence[Testimony]) -> int:
    """3 when a file is missing or unreadable; else 0, unless none is of use."""
    from expert.errors import EXIT_MISSING

    codes = [one.code for one in testimonies]
    return EXIT_MISSING if EXIT_MISSING in codes else min(codes, default=DONE)


def _complain(testimonies: Sequence[Testimony]) -> None:
    """Say on stderr which logs are of no use, and why."""
    from expert.text import clean
    from expert.ui.words import sentence

    for one in testimonies:
        if not one.usable:
            sys.stderr.write(f"gatepost: {clean(one.file)}: {sentence(clean(one.reason))}\n")


def _refuse_early(options: argparse.Namespace) -> None:
    """Refuse a picture that could not be drawn in the end, before a log is read."""
    if options.plot is not None:
        from expert.export.log_plot import picture_suffix

        picture_suffix(options.plot)


def _events_of_case(knowledge: Knowledge, options: argparse.Namespace) -> list[Event]:
    """What the case of ``--case`` holds so far; nothing when it is new. Raises UsageError."""
    if options.case is None:
        return []
    from expert.case.journal import read
    from expert.case.place import case_file
    from expert.case.state import effective, fold

    path = case_file(options.case)
    if not path.exists():
        return []
    events = effective(read(path).events)
    _refuse_another_car(fold(events), options)
    return events


def _refuse_another_car(state: State, options: argparse.Namespace) -> None:
    from expert.errors import UsageError
    from expert.text import clean

    for field in ("setup", "gate", "bypass"):
        theirs, ours = getattr(state, field), getattr(options, field)
        if theirs is not None and ours is not None and theirs != ours:
            raise UsageError(
                f"That case is about a car with the {field} {clean(theirs, 60)}, not "
                f"{clean(ours, 60)}; name another."
            )


def _keep(knowledge: Knowledge, events: Sequence[Event], case: str) -> None:
    """Add to a case what it does not say already."""
    from expert.case.journal import Journal
    from expert.case.logged import news
    from expert.case.place import case_file

    with Journal.open(case_file(case), knowledge.digest) as journal:
        for event in news(journal.events, events):
            journal.append(event)
    sys.stderr.write("gatepost: kept; go on with gatepost diagnose --case\n")


def _plot(
    knowledge: Knowledge, testimonies: Sequence[Testimony], spring_kpa: float | None, path: Path
) -> None:
    """A picture of each usable log; several are numbered."""
    from expert.export.log_curves import telling
    from expert.export.log_plot import write_plot
    from expert.text import clean

    drawn = [one for one in testimonies if one.recording is not None and one.features is not None]
    for number, one in enumerate(drawn, 1):
        to = path if len(drawn) == 1 else path.with_stem(f"{path.stem}-{number}")
        if one.recording is not None and one.features is not None:
            shown = telling(knowledge, one.findings, one.symptoms)
            write_plot(to, one.recording, one.features, shown, spring_kpa)
            sys.stderr.write(f"gatepost: drawn to {clean(str(to))}\n")
    if not drawn:
        sys.stderr.write("gatepost: nothing to draw, since no log could be used\n")
