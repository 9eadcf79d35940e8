"""gatepost knowledge: one function an action, which imports only what it needs."""

from __future__ import annotations

import json
import sys

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
        "effort": effort,
        "add": add,
        "learn": learn,
        "calibrate": calibrate,
    }
    return actions[options.action](options)


def folders_of(options: argparse.Namespace) -> list[Path]:
    """The shipped folder and those of --knowledge, in order."""
    from expert.loading.folder import shipped_folder

    return [shipped_folder(), *(options.knowledge or [])]


def print_json(value: object) -> None:
    """One JSON object on stdout."""
    sys.stdout.write(json.dumps(value, indent=2, ensure_ascii=False) + "\n")


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
    from expert.workbench.gaps import car_names, find_gaps
    from expert.workbench.gaps_report import gap_lines, gaps_json

    knowledge = load(folders_of(options))
    setups = options.setup or list(knowledge.setups)
    for setup in setups:
        known("setup", setup, knowledge.setups)
    if options.symptom is not None:
        known("symptom", options.symptom, knowledge.symptoms)
    found = find_gaps(knowledge, setups, options.symptom)
    if options.picture is not None:
        _draw_gaps(knowledge, found, options.picture)
    if options.json:
        print_json(gaps_json(found))
    else:
        lines = gap_lines(found, car_names(knowledge, setups))
        sys.stdout.write("".join(f"{line}\n" for line in lines))
    return PROBLEMS if any(gap.excuse is None for gap in found) else DONE


def _draw_gaps(knowledge: Knowledge, found: Sequence[Gap], path: Path) -> None:
    from expert.export.gap_graph import LookAlike, gap_graph
    from expert.export.picture import draw_picture

    pairs = []
    for gap in found:
        if gap.kind == "cause" and len(gap.entries) == 2:
            one, other = ((name, knowledge.causes[name].title) for name in gap.entries)
            excused = gap.excuse is not None
            pairs.append(LookAlike(one, other, gap.best or "", gap.value, excused))
    draw_picture(gap_graph(pairs, "Causes that look alike").source, path)
    sys.stderr.write(f"gatepost: drawn to {path}\n")


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
