"""gatepost knowledge: one function an action, which imports only what it needs."""

from __future__ import annotations

import json
import sys

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from pathlib import Path

DONE = 0


def run(options: argparse.Namespace) -> int:
    """Run the action that was asked for and return its exit code."""
    actions = {
        "check": check,
        "effort": effort,
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
    """List every mistake, or say how much there is."""
    from expert.loading.folder import load

    knowledge = load(folders_of(options))
    counts = {
        "setups": knowledge.setups,
        "bypass layouts": knowledge.bypasses,
        "symptoms": knowledge.symptoms,
        "causes": knowledge.causes,
        "checks": knowledge.checks,
    }
    words = ", ".join(f"{len(entries)} {kind}" for kind, entries in counts.items())
    sys.stdout.write(f"No mistakes in {words} (digest {knowledge.digest}).\n")
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
