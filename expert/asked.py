"""The knowledge that a command line asks for, and what it says of the car."""

from __future__ import annotations

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from pathlib import Path

    from expert.case.events import Event
    from expert.model import Knowledge


def folders_of(options: argparse.Namespace) -> list[Path]:
    """The shipped folder and those of --knowledge, in order."""
    from expert.loading.folder import shipped_folder

    return [shipped_folder(), *(options.knowledge or [])]


def knowledge_of(options: argparse.Namespace) -> Knowledge:
    """What stands in these folders. Raises KnowledgeError or MissingError."""
    from expert.loading.folder import load

    return load(folders_of(options))


def told_of(options: argparse.Namespace, knowledge: Knowledge) -> list[Event]:
    """What the options say of a car, as events. Raises UsageError with the nearest name."""
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
