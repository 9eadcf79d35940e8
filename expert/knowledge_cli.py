"""gatepost knowledge: one function an action, which imports only what it needs."""

from __future__ import annotations

import sys

from expert.asked import folders_of
from expert.output import print_json

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence
    from pathlib import Path

    from expert.model import Knowledge
    from expert.workbench.check import Checked
    from expert.workbench.gaps import Gap

DONE = 0
PROBLEMS = 1


def run(options: argparse.Namespace) -> int:
    """Run the action that was asked for and return its exit code."""
    actions = {
        "check": check,
        "try": try_cases,
        "gaps": gaps,
        "show": show,
        "diff": diff,
        "effort": effort,
        "add": add,
        "learn": learn,
        "calibrate": calibrate,
    }
    return actions[options.action](options)


def check(options: argparse.Namespace) -> int:
    """List every mistake and whatever a rule finds, or say how much there is."""
    from expert.case.known import known
    from expert.rules.registry import BY_ID
    from expert.workbench.check import checked
    from expert.workbench.check_report import check_json, rule_lines, rules_json
    from expert.workbench.check_sarif import sarif

    for name in options.rule or []:
        known("rule", name, BY_ID)
    rules = [rule for name, rule in BY_ID.items() if name in (options.rule or BY_ID)]
    if options.rules:
        if options.json:
            print_json(rules_json(rules))
        else:
            sys.stdout.write("".join(f"{line}\n" for line in rule_lines(rules)))
        return DONE
    folders = folders_of(options)
    # With folders of one's own, the shipped one is left as it is.
    found = checked(folders, rules, (folders[1:] or folders) if options.fix else ())
    if options.json:
        print_json(check_json(found))
    elif options.sarif:
        print_json(sarif(found, rules))
    else:
        _tell(found)
    return PROBLEMS if found.findings else DONE


def _tell(found: Checked) -> None:
    """The findings on stdout, and what they come to on stderr."""
    from expert.workbench.check_report import fine, line, summary

    if found.fixed:
        sys.stderr.write(f"{found.fixed} mended.\n")
    if found.findings:
        sys.stdout.write("".join(f"{line(finding)}\n" for finding in found.findings))
        sys.stderr.write(f"{summary(found)}\n")
    elif found.knowledge is not None:
        sys.stdout.write(f"{fine(found.knowledge, len(found.excused))}\n")


def try_cases(options: argparse.Namespace) -> int:
    """Play known cases through as the shell would; 1 when one of them misses."""
    from expert.case.known import known
    from expert.loading.folder import load_with_cases
    from expert.workbench.tryout import misses
    from expert.workbench.tryout_pool import all_outcomes
    from expert.workbench.tryout_report import lines, summary, tryout_json

    knowledge, cases, places, _ = load_with_cases(folders_of(options))
    for name in options.case or []:
        known("case", name, cases)
    cases = {name: cases[name] for name in options.case or cases}
    came = all_outcomes(knowledge, cases)
    found = {name: misses(knowledge, case, came[name]) for name, case in cases.items()}
    if options.json:
        print_json(tryout_json(cases, came, found, places))
    else:
        for name, case in cases.items():
            text = lines(name, case, came[name], found[name], places)
            sys.stdout.write("".join(f"{line}\n" for line in text))
        sys.stdout.write(f"{summary(found)}\n")
    return PROBLEMS if any(found.values()) else DONE


def gaps(options: argparse.Namespace) -> int:
    """What the knowledge cannot tell; 1 where the files do not explain it."""
    from expert.case.known import known
    from expert.loading.folder import load
    from expert.workbench.gap_cars import layouts
    from expert.workbench.gaps import find_gaps, idle_excuses
    from expert.workbench.gaps_report import gap_lines, gaps_json

    knowledge = load(folders_of(options))
    for setup in options.setup or []:
        known("setup", setup, knowledge.setups)
    if options.symptom is not None:
        known("symptom", options.symptom, knowledge.symptoms)
    setups = [name for name in knowledge.setups if name in (options.setup or knowledge.setups)]
    found = find_gaps(knowledge, setups, options.symptom, options.below)
    # Of some cars or symptoms alone nobody can say that an excuse is idle.
    all_of_it = options.setup is None and options.symptom is None
    idle = idle_excuses(knowledge, found) if all_of_it else []
    if options.picture is not None:
        _draw_gaps(knowledge, found, list(layouts(knowledge, setups)), options.picture)
    if options.json:
        print_json(gaps_json(found, idle))
    else:
        lines = gap_lines(found, list(layouts(knowledge, setups)), idle)
        sys.stdout.write("".join(f"{line}\n" for line in lines))
    return PROBLEMS if any(gap.excuse is None for gap in found) else DONE


def _draw_gaps(
    knowledge: Knowledge, found: Sequence[Gap], every: Sequence[tuple[str, str | None]], path: Path
) -> None:
    """The look-alikes as a picture, and where it is on stderr."""
    from expert.export.gap_graph import LookAlike, gap_graph
    from expert.export.picture import draw_picture
    from expert.workbench.gaps import APART
    from expert.workbench.gaps_report import place_words

    pairs = []
    for gap in found:
        if gap.subject.gap == APART:
            (one, other), check = gap.subject.entries, gap.subject.check
            where, explained = place_words(gap.where, every), gap.excuse is not None
            pairs.append(LookAlike(one, other, check, gap.value or 0.0, where, explained))
    draw_picture(gap_graph(knowledge.causes, pairs).source, path)
    sys.stderr.write(f"gatepost: drawn to {path}\n")


def show(options: argparse.Namespace) -> int:
    """One entry, or several of different kinds with the same id, and all that it takes part in."""
    from expert.case.known import known
    from expert.loading.folder import load_with_cases
    from expert.workbench.show_entry import KIND_NAMES, shown
    from expert.workbench.show_entry_report import lines, show_json

    if options.kind is not None:
        known("kind", options.kind, KIND_NAMES)
    folders = folders_of(options)
    found = shown(load_with_cases(folders), folders, options.id, options.kind)
    if options.json:
        print_json(show_json(found))
    else:
        text = "\n\n".join("\n".join(lines(one)) for one in found)
        sys.stdout.write(f"{text}\n")
    return DONE


def diff(options: argparse.Namespace) -> int:
    """What differs between two states of the knowledge, and what comes of it."""
    from expert.workbench.diff import difference
    from expert.workbench.diff_report import diff_json, lines
    from expert.workbench.sides import sides

    old, new = sides(options.old, options.new, options.knowledge or [])
    found = difference(old, new)
    if options.json:
        print_json(diff_json(found, old, new))
    else:
        sys.stdout.write("".join(f"{line}\n" for line in lines(found, old, new)))
    return DONE


def effort(options: argparse.Namespace) -> int:
    """Minutes and checks to the right cause: by the trees, by value, and the least there is."""
    from expert.case.known import known
    from expert.loading.folder import load_with_places
    from expert.workbench.effort import Fleet, efforts
    from expert.workbench.effort_report import effort_json, footer, header, lines

    knowledge, places = load_with_places(folders_of(options))
    symptoms, setups = (
        options.symptom or list(knowledge.symptoms),
        options.setup or list(knowledge.setups),
    )
    for symptom in symptoms:
        known("symptom", symptom, knowledge.symptoms)
    for setup in setups:
        known("setup", setup, knowledge.setups)
    rows = efforts(knowledge, symptoms, setups, Fleet(options.cars, options.seed))
    if options.json:
        print_json(effort_json(list(rows), places))
        return DONE
    sys.stdout.write(header(options.cars))
    for row in rows:
        sys.stdout.write("".join(f"{line}\n" for line in lines(row, places)))
        sys.stdout.flush()
    sys.stdout.write(footer())
    return DONE


def add(options: argparse.Namespace) -> int:
    """Write a new cause or check in a conversation."""
    from expert.ui.add_talk import Wanted, run
    from expert.ui.choose import talker

    wanted = Wanted(options.kind, options.into, options.knowledge or [], options.resume)
    return run(wanted, talker(options.plain, False if options.no_color else None))


def learn(options: argparse.Namespace) -> int:
    """Learn from closed cases; 1 when other cases would be ranked worse by it."""
    from expert.loading.folder import load_with_cases
    from expert.workbench.learn import gather, header, lesson
    from expert.workbench.learn_report import learn_json, lines, refusal, teller
    from expert.workbench.learn_write import overlay, refuse_unless_ours, write

    if options.out is not None:
        refuse_unless_ours(options.out, options.knowledge or [])
    knowledge, _, _, documents = load_with_cases(folders_of(options))
    found = gather(options.cases, knowledge, teller(sys.stderr))
    taught = lesson(found, knowledge, options.strength)
    refused = taught.worse and not options.force
    files = overlay(taught.learned, documents, header(found, taught, knowledge))
    written = [] if refused or options.out is None else write(options.out, files)
    if options.json:
        print_json(learn_json(found, taught, written))
    else:
        text = [*lines(found, taught), *(f"Written: {name}" for name in written)]
        sys.stdout.write("".join(f"{line}\n" for line in text))
    if refused:
        sys.stderr.write(f"gatepost: {refusal(taught)}\n")
    return PROBLEMS if refused else DONE


def calibrate(options: argparse.Namespace) -> int:
    """Hold stated probabilities against invented cars; 1 when they are not right."""
    from expert.loading.folder import load
    from expert.workbench.calibrate import calibrations
    from expert.workbench.calibrate_report import calibrate_json, lines

    found = calibrations(load(folders_of(options)), options.cars, options.seed)
    if options.json:
        print_json(calibrate_json(found, options.seed))
    else:
        sys.stdout.write("".join(f"{line}\n" for line in lines(found)))
    return PROBLEMS if found[0].off else DONE
