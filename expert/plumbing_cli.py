"""gatepost hookup and gatepost boost; each imports only what it needs."""

from __future__ import annotations

import sys

from expert.asked import knowledge_of

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from pathlib import Path

    from expert.case.events import Field
    from expert.case.state import State
    from expert.evidence.hookup.found import Found
    from expert.evidence.hookup.layout import Layout
    from expert.evidence.hookup.verdict import Verdict
    from expert.model import Knowledge

DONE = 0
# A spring to judge by where none is given: that of a small gate, 7 psi; common practice, no source.
USUAL_SPRING_KPA = 48.26


def hookup(options: argparse.Namespace) -> int:
    """The hose table of a setup; or the verdict on what is really there."""
    knowledge = knowledge_of(options)
    _take_file(options)
    layout, title = _layout(knowledge, options)
    spring_kpa = _pressure_kpa("--spring", options.spring, USUAL_SPRING_KPA)
    _refuse_early(options)
    found, unseen = _found(knowledge, layout, options)
    if found is None and not options.json:
        return _table(knowledge, layout, title, options)
    from expert.evidence.hookup.found import as_it_should_be
    from expert.evidence.hookup.verdict import verdict

    judged = verdict(layout, found or as_it_should_be(layout), 1000.0 * spring_kpa)
    spring_known = options.spring is not None
    if options.json:
        from expert.export.hookup_report import hookup_report
        from expert.output import print_json

        looked = found is not None
        code = print_json(hookup_report(knowledge, options.setup, judged, spring_known, looked))
    else:
        code = _tell_verdict(knowledge, judged, spring_known, unseen, options)
    # The verdict is out before anything is written that may fail.
    if options.case is not None:
        _keep(knowledge, judged, spring_kpa if spring_known else None, unseen, options)
    if options.picture is not None:
        _picture(knowledge, layout, title, found, options.picture)
    return code


def boost(options: argparse.Namespace) -> int:
    """What boost to expect of a spring."""
    from expert.bench.air import kelvin, standard_pressure_pa
    from expert.bench.expect import Place, spring_of
    from expert.errors import UsageError
    from expert.evidence.hookup.expectation import expectation, numbers

    knowledge = knowledge_of(options)
    layout, title = _layout(knowledge, options)
    springs = [1000.0 * _pressure_kpa("--spring", one) for one in options.spring.split("+")]
    try:
        place = Place(
            standard_pressure_pa(_number("--altitude", options.altitude)),
            kelvin(_number("--temperature", options.temperature)),
        )
    except ValueError as error:
        raise UsageError(f"{error}.") from None
    expected = expectation(
        layout,
        spring_of(springs),
        place,
        duty=None if options.duty is None else _percent("--duty", options.duty) / 100.0,
        target_pa=_pressure_pa("--target", options.target),
        most_pa=_pressure_pa("--most", options.most),
    )
    if options.json:
        from expert.export.hookup_report import expectation_report
        from expert.output import print_json

        return print_json(expectation_report({"setup": options.setup, **numbers(expected)}))
    from expert.output import tell
    from expert.ui.show_boost import expected_blocks

    return tell(expected_blocks(expected, title), options.no_color)


def _take_file(options: argparse.Namespace) -> None:
    """Fill what the command line leaves open from the description, and refuse what clashes."""
    if options.file is None:
        return
    from expert.errors import UsageError
    from expert.evidence.hookup.file import read_description
    from expert.text import clean

    said = read_description(options.file)
    for name, value in (("setup", said.setup), ("gate", said.gate), ("bypass", said.bypass)):
        asked = getattr(options, name)
        if asked is not None and value is not None and asked != value:
            raise UsageError(
                f"{clean(str(options.file))} is for the {name} {clean(value, 60)!r}, not for "
                f"{clean(asked, 60)!r}; name the same one in both, or leave it out here."
            )
        setattr(options, name, asked or value)
    options.spring = options.spring or said.spring
    options.hose = [*said.hoses, *options.hose]
    options.tee = [*said.tees, *options.tee]
    options.split = [*said.split, *options.split]
    options.pinched = [*said.pinched, *options.pinched]
    options.check_valve = [*said.checks, *options.check_valve]
    if options.restrictor == "right":
        options.restrictor = said.restrictor
    options.unplugged = options.unplugged or not said.plugged


def _layout(knowledge: Knowledge, options: argparse.Namespace) -> tuple[Layout, str]:
    from expert.case.car import parts_of
    from expert.errors import UsageError
    from expert.evidence.hookup.layout import layout_of

    if options.setup is None:
        named = ", ".join(knowledge.setups)
        raise UsageError(f"Name the setup: gatepost hookup SETUP. There are: {named}.")
    parts = parts_of(knowledge, options.setup, options.gate, options.bypass)
    title = knowledge.setups[options.setup].title
    return layout_of(knowledge, options.setup, options.bypass, parts), title


def _found(
    knowledge: Knowledge, layout: Layout, options: argparse.Namespace
) -> tuple[Found | None, tuple[str, ...]]:
    """What is there, or None when nothing was said; and the ports that were not seen."""
    if not _says_what_is_there(options):
        return None, ()
    # What is refused is refused before anybody has answered questions in vain.
    found = _found_of(layout, options.hose, options)
    if not options.ask:
        return found, ()
    from expert.errors import UsageError
    from expert.evidence.hookup.found import joined_ends
    from expert.ui.choose import talker
    from expert.ui.hookup_talk import ask_ports, summary_blocks

    voice = talker(options.plain, False if options.no_color else None)
    answers = ask_ports(knowledge, layout, voice, joined_ends(layout, options.hose))
    try:
        return _found_of(layout, answers.texts(), options), answers.unseen()
    except UsageError:
        for block in summary_blocks(answers):
            voice.tell(block)
        raise


def _says_what_is_there(options: argparse.Namespace) -> bool:
    said = (
        *(options.hose, options.tee, options.split, options.pinched, options.check_valve),
        *(options.file, options.ask, options.unplugged, options.restrictor != "right"),
    )
    return any(said)


def _found_of(layout: Layout, hoses: list[str], options: argparse.Namespace) -> Found:
    from expert.evidence.hookup.found import found_from

    return found_from(
        layout,
        hoses,
        split=options.split,
        pinched=options.pinched,
        checks=options.check_valve,
        restrictor=options.restrictor,
        plugged=not options.unplugged,
        tees=options.tee,
    )


def _table(knowledge: Knowledge, layout: Layout, title: str, options: argparse.Namespace) -> int:
    from expert.output import tell
    from expert.ui.show_hookup import hose_table

    if options.picture is not None:
        _picture(knowledge, layout, title, None, options.picture)
    return tell(hose_table(knowledge, layout, title), options.no_color)


def _picture(
    knowledge: Knowledge, layout: Layout, title: str, found: Found | None, path: Path
) -> None:
    from expert.export.hookup_graph import hookup_graph
    from expert.export.picture import draw_picture

    draw_picture(hookup_graph(knowledge, layout, title, found).source, path)
    sys.stderr.write(f"gatepost: drawn to {path}\n")


def _refuse_early(options: argparse.Namespace) -> None:
    """Refuse what could not be done in the end, before anything is asked or worked out."""
    from expert.errors import UsageError

    if options.json and options.ask:
        raise UsageError(
            "--ask and --json do not go together; tell the hoses with --hose or --file."
        )
    if options.picture is not None:
        from expert.export.picture import kind_of

        kind_of(options.picture)
    if options.case is None:
        return
    if not _says_what_is_there(options):
        raise UsageError(
            "Nothing was said of what is really there, so there is nothing to add to a case; "
            "add --hose, --file or --ask."
        )
    from expert.case.journal import read
    from expert.case.place import case_file
    from expert.case.state import fold

    path = case_file(options.case)
    if path.exists():
        _refuse_another_car(fold(read(path).events), options)


def _refuse_another_car(state: State, options: argparse.Namespace) -> None:
    from expert.errors import UsageError

    for field, ours in _car_of(options):
        theirs = getattr(state, field)
        if theirs is not None and ours is not None and theirs != ours:
            raise UsageError(
                f"That case is about a car with the {field} {theirs}, not {ours}; name another."
            )


def _car_of(options: argparse.Namespace) -> list[tuple[Field, str | None]]:
    return [("setup", options.setup), ("gate", options.gate), ("bypass", options.bypass)]


def _keep(
    knowledge: Knowledge,
    judged: Verdict,
    spring_kpa: float | None,
    unseen: tuple[str, ...],
    options: argparse.Namespace,
) -> None:
    """Add the car and the findings to a case; what was not seen answers nothing."""
    from expert.case.events import Answered, Described, Event
    from expert.case.journal import Journal
    from expert.case.place import case_file
    from expert.case.state import fold
    from expert.evidence.hookup.findings import findings

    if unseen:
        sys.stderr.write(
            "gatepost: not every port was seen, so nothing was added to the case; look at the rest "
            "and ask again\n"
        )
        return
    with Journal.open(case_file(options.case), knowledge.digest) as journal:
        state = fold(journal.events)
        _refuse_another_car(state, options)
        said: list[tuple[Field, str | float | None]] = [
            *_car_of(options),
            ("spring_kpa", spring_kpa),
        ]
        events: list[Event] = [
            Described(field, value)
            for field, value in said
            if value is not None and getattr(state, field) is None
        ]
        events += [
            Answered(one.check, one.answers, "hookup") for one in findings(knowledge, judged)
        ]
        for event in events:
            journal.append(event)
    sys.stderr.write("gatepost: kept; go on with gatepost diagnose --case\n")


def _tell_verdict(
    knowledge: Knowledge,
    judged: Verdict,
    spring_known: bool,
    unseen: tuple[str, ...],
    options: argparse.Namespace,
) -> int:
    from expert.evidence.hookup.findings import findings
    from expert.output import tell
    from expert.ui.show_hookup import findings_fact, verdict_blocks

    blocks = verdict_blocks(knowledge, judged, spring_known, unseen)
    if not unseen:
        answers = [
            f"{one.check}={answer}@hookup"
            for one in findings(knowledge, judged)
            for answer in one.answers
        ]
        blocks.append(findings_fact(answers))
    return tell(blocks, options.no_color)


def _pressure_kpa(option: str, text: str | None, default: float = 0.0) -> float:
    """A spring or a boost that a car can have. Raises UsageError that names the option."""
    from expert.case.pressures import LIMITS_KPA
    from expert.errors import UsageError
    from expert.text import clean
    from expert.units import ReadingError, parse_kpa

    if text is None:
        return default
    try:
        value_kpa = parse_kpa(text.strip())
    except ReadingError as error:
        raise UsageError(f"{option} {clean(text, 40)!r}: {error}") from None
    least, most = LIMITS_KPA["spring_kpa" if option == "--spring" else "target_kpa"]
    if not least <= value_kpa <= most:
        raise UsageError(
            f"{option} {clean(text, 40)!r}: expected a gauge pressure from {least:.0f} to "
            f"{most:.0f} kPa."
        )
    return value_kpa


def _pressure_pa(option: str, text: str | None) -> float | None:
    return None if text is None else 1000.0 * _pressure_kpa(option, text)


def _number(option: str, text: str) -> float:
    """A plain number. Raises UsageError."""
    from expert.errors import UsageError
    from expert.loading.forms import MisformedError, number
    from expert.text import clean

    try:
        return number(text.strip())
    except MisformedError:
        raise UsageError(f"{option} {clean(text, 40)!r}: expected a number.") from None


def _percent(option: str, text: str) -> float:
    from expert.errors import UsageError
    from expert.text import clean
    from expert.units import ReadingError, parse_percent

    try:
        value = parse_percent(text)
    except ReadingError as error:
        raise UsageError(f"{option} {clean(text, 40)!r}: {error}") from None
    if not 0.0 <= value <= 100.0:
        raise UsageError(f"{option} {clean(text, 40)!r}: expected 0 to 100 percent.")
    return value
