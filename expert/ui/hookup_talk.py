"""The plumbing asked for port by port: where does the hose on this port go?"""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field

from expert.errors import UsageError
from expert.evidence.hookup.found import AIR, CAP, known_port
from expert.evidence.hookup.layout import Layout, Port
from expert.evidence.hookup.words import port_words
from expert.model import Knowledge
from expert.ui.protocol import (
    Block,
    Cancelled,
    Choice,
    Choices,
    Heading,
    Interrupted,
    Leave,
    Paragraph,
    Steps,
    Talker,
)

UNKNOWN = "unknown"
BACK = "back"
_INTRO = (
    "Engine off and cold. At each port, run a finger along its hose to the other end; never judge "
    "by eye."
)
_BLOW = (
    "Marks on a solenoid differ between makers, so do not go by them. Blow through it: unplugged, "
    "air passes between two of its ports; powered, between two others.",
    "On a three-port solenoid the port that is in both pairs is common. The other port of the pair "
    "at rest is normally-open, the third one normally-closed.",
    "On a four-port solenoid two pairs join at rest: call the one pair pressure and lower-side, "
    "the other vent and upper-side. Powered, pressure joins upper-side.",
)


@dataclass
class Answers:
    """What was answered so far, port by port, in the order in which it was said."""

    ends: dict[Port, str] = field(default_factory=dict)

    def texts(self) -> list[str]:
        """The answers as the texts that ``found_from`` reads; unknown ones are left out."""
        seen: set[Port] = set()
        texts = []
        for port, end in self.ends.items():
            if end != UNKNOWN and port not in seen:
                texts.append(f"{port}={end}")
                seen |= {port, end}
        return texts

    def unseen(self) -> tuple[Port, ...]:
        """The ports that nobody could tell."""
        joined = set(self.ends.values())
        return tuple(p for p, end in self.ends.items() if end == UNKNOWN and p not in joined)


def ask_ports(
    knowledge: Knowledge, layout: Layout, talker: Talker, known: Mapping[Port, str] | None = None
) -> Answers:
    """Ask for every port of the signal that is not ``known`` yet, each hose once.

    When the input ends, or is interrupted, the ports that are left were not seen; what was said so
    far is shown once more, so that nothing is lost.
    """
    answers = Answers(dict(known or {}))
    try:
        _ask_all(knowledge, layout, talker, answers, len(answers.ends))
    except (Leave, Interrupted) as ended:
        with suppress(Leave):
            for block in summary_blocks(answers):
                talker.tell(block)
        if isinstance(ended, Interrupted):
            raise KeyboardInterrupt from None
        for port in _ports(layout):
            if _is_open(port, answers):
                answers.ends[port] = UNKNOWN
    return answers


def _ports(layout: Layout) -> list[Port]:
    """Ports with a hose first, in the order in which the air goes; water ports last."""
    hosed = [port for hose in layout.hoses.values() for port in (hose.from_, hose.to)]
    rest = [port for port in layout.ports if port not in hosed]
    return [*hosed, *sorted(rest, key=lambda port: ".water-" in port)]


def _ask_all(
    knowledge: Knowledge, layout: Layout, talker: Talker, answers: Answers, given: int
) -> None:
    talker.tell(Heading("What is really there"))
    talker.tell(Paragraph(_INTRO))
    if not layout.parts.isdisjoint(("three-port", "four-port")):
        talker.tell(Steps("First find the solenoid's ports", _BLOW))
    while open_ports := [port for port in _ports(layout) if _is_open(port, answers)]:
        port, *free = open_ports
        # A hose followed from its other end may turn out to sit on a port not told before.
        free += [one for one in answers.unseen() if one != port]
        reply = _ask(knowledge, layout, port, free, talker)
        if reply == BACK:
            if len(answers.ends) > given:
                answers.ends.popitem()
            else:
                talker.tell(Paragraph("This is the first port; there is nothing to go back to."))
            continue
        answers.ends[port] = reply


def _is_open(port: Port, answers: Answers) -> bool:
    return port not in answers.ends and port not in answers.ends.values()


def _ask(knowledge: Knowledge, layout: Layout, port: Port, free: list[Port], talker: Talker) -> str:
    words = [*free, AIR, CAP, UNKNOWN, BACK]
    talker.tell(Heading(port))
    talker.tell(Paragraph(layout.ports[port]))
    choices = [Choice(AIR, "no hose, no cap: open to the air"), Choice(CAP, "a cap")]
    choices += [Choice(one, layout.ports[one]) for one in free]
    talker.tell(Paragraph(f"Where does the hose on {port_words(knowledge, port)} go?", strong=True))
    talker.tell(Choices(tuple(choices)))
    talker.tell(Paragraph("or: unknown, back"))
    while True:
        try:
            line = talker.ask("port> ", words).strip()
        except Cancelled:
            talker.tell(Paragraph("Line dropped. Go on, or press Ctrl-C again to leave."))
            continue
        try:
            return _read(line, [choice.id for choice in choices], port, layout)
        except UsageError as error:
            talker.tell(Paragraph(str(error)))


def _read(line: str, words: list[str], port: Port, layout: Layout) -> str:
    """The answer that a line gives about a port: a word, or its number."""
    if line in (UNKNOWN, BACK) or line in words:
        return line
    if line.isascii() and line.isdigit() and len(line) < 4 and 1 <= int(line) <= len(words):
        return words[int(line) - 1]
    if not line:
        raise UsageError("Type the port at the other end or its number; or air, cap or unknown.")
    if line == port:
        raise UsageError(f"A hose cannot go from {port} to itself; type the port at its other end.")
    if line in layout.ports:
        raise UsageError(f"{line} has been told already; type back to change what you said.")
    return known_port(line, words)


def summary_blocks(answers: Answers) -> list[Block]:
    """The answers once more, so that they can be given as options the next time."""
    said = tuple(f"--hose {text}" for text in answers.texts())
    return [Steps("What you said so far, as options for the next time", said)] if said else []
