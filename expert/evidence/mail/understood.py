"""What was understood of a message: plain data, every piece with the words that say so."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from expert.evidence.mail.figures import Figure
from expert.evidence.mail.lexicon import Meaning
from expert.evidence.mail.message import Mail
from expert.evidence.mail.stance import Stance

MessageKind = Literal["complaint", "vague", "unrelated", "broken"]


@dataclass(frozen=True, slots=True)
class Heard:
    """A phrase in a message: what it stands for, how it is meant, and where it is.

    ``start`` and ``end`` count characters of the message's text, or of its subject where
    ``in_subject``; ``quote`` is exactly what stands there.
    """

    meaning: Meaning
    stance: Stance
    quote: str
    start: int
    end: int
    in_subject: bool = False


@dataclass(frozen=True, slots=True)
class Fact:
    """An answer to a check, with the exact words that give it."""

    check: str
    answer: str
    quote: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Understanding:
    """What one message says of the car. Pressures are gauge kPa, None where not said or unclear.

    ``resting_kpa`` is a boost that was seen with the solenoid unpowered or the controller at its
    lowest, ``pump_kpa`` what opened the gate on a hand pump. ``unclear`` are figures about which
    one has to ask, ``parts`` those that are named, ``setups`` those that have them all. ``heard``
    holds everything, facts and what is none; ``alarming`` are words that may tell of danger and
    were not taken so, ``danger`` is the probability that it tells of danger.
    """

    kind: MessageKind
    symptoms: tuple[str, ...] = ()
    setup: str | None = None
    gate: str | None = None
    bypass: str | None = None
    setups: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    recent_work: str | None = None
    spring_kpa: float | None = None
    boost_kpa: float | None = None
    target_kpa: float | None = None
    resting_kpa: float | None = None
    pump_kpa: float | None = None
    facts: tuple[Fact, ...] = ()
    unclear: tuple[Figure, ...] = ()
    figures: tuple[Figure, ...] = ()
    heard: tuple[Heard, ...] = ()
    alarming: tuple[Heard, ...] = ()
    danger: float = 0.0


@dataclass(frozen=True, slots=True)
class Read:
    """A message of a file: read, or broken for a reason; ``number`` counts from 1."""

    number: int
    file: str
    mail: Mail | None
    problem: str
    understanding: Understanding
