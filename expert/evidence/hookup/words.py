"""Ports, ends and moves in plain words."""

from __future__ import annotations

from expert.evidence.hookup.found import AIR, CAP
from expert.evidence.hookup.layout import Port
from expert.evidence.hookup.moves import Cap, Fit, Move, Remove, Step, Swap, Uncap
from expert.model import Knowledge


def port_words(knowledge: Knowledge, port: Port) -> str:
    """A port by its name, and what it is a port of."""
    part = port.partition(".")[0]
    title = knowledge.parts[part].title if part in knowledge.parts else part
    return f"{port} ({title})"


def end_words(end: str) -> str:
    """What is on a port: a hose to another port, nothing, or a cap."""
    if end == AIR:
        return "nothing, open"
    if end == CAP:
        return "a cap"
    return f"hose to {end}"


def step_words(knowledge: Knowledge, step: Step) -> str:
    """A move as an instruction."""

    def named(port: Port) -> str:
        return port_words(knowledge, port)

    match step:
        case Swap(one, other):
            return f"Swap the two hoses on {named(one)} and on {named(other)}."
        case Move(staying, from_, to):
            return (
                f"Move the hose from {named(staying)}: take its end off {named(from_)} and put it "
                f"on {named(to)}."
            )
        case Remove(one, other):
            return f"Take off the hose between {named(one)} and {named(other)}."
        case Fit(one, other):
            return f"Fit a hose from {named(one)} to {named(other)}."
        case Cap(port):
            return f"Cap {named(port)}."
        case Uncap(port):
            return f"Take the cap off {named(port)} and leave it open."
