"""Ports, ends and moves in plain words."""

from __future__ import annotations

from expert.evidence.hookup.found import AIR, CAP
from expert.evidence.hookup.layout import Port
from expert.evidence.hookup.moves import Cap, Fit, Move, Remove, Step, Swap, Uncap, Untee
from expert.evidence.hookup.repairs import Free, PlugIn, Renew, Repair, Restrict, TakeOut
from expert.evidence.hookup.verdict import Verdict
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
        case Untee(one, other):
            return f"Take out the tee that joins {named(one)} to {named(other)}."
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
            return f"Take the cap off {named(port)}."


def repair_words(knowledge: Knowledge, repair: Repair) -> str:
    """A repair as an instruction."""

    def between(one: Port, other: Port) -> str:
        return f"between {port_words(knowledge, one)} and {port_words(knowledge, other)}"

    match repair:
        case Renew(one, other):
            return f"Replace the hose {between(one, other)}: it leaks."
        case Free(one, other):
            return f"Reroute or replace the hose {between(one, other)}: it is pinched."
        case TakeOut(one, other):
            return f"Take the check valve out of the hose {between(one, other)}."
        case Restrict("blocked", "ball-controller"):
            return "Clear the bleed hole of the ball controller: it is blocked."
        case Restrict(fault, _):
            if fault == "blocked":
                return "Clear the restrictor of the bleed controller: it is blocked."
            return "Fit the restrictor of the bleed controller: it is missing."
        case PlugIn():
            return "Plug the boost solenoid in."


def mending_words(knowledge: Knowledge, verdict: Verdict) -> list[str]:
    """Everything to be done, in an order in which it can be done."""
    return [
        *(repair_words(knowledge, one) for one in verdict.repairs),
        *(step_words(knowledge, step) for step in verdict.moves),
    ]
