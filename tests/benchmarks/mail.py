"""Mail: messages a second on one core, memory over 100,000 messages, and how well is asked.

Everything is done that ``gatepost mail --json`` prints. The messages are invented: sentences put
together at random but seeded. On *not met before* no two messages say the same of their car, so
that nothing which was worked out for one serves another; *mixed* has vague and unrelated messages,
replies and newsletters among them, as a mailbox has.
"""

from __future__ import annotations

import io
import os
import random
from collections.abc import Iterable, Iterator
from contextlib import redirect_stdout
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from time import process_time
from typing import Final

import numpy as np

from expert.case.consult import Consultant, Consultation
from expert.case.offer import minutes_of
from expert.case.steps import FIRST, AskStep
from expert.cli import main
from expert.desk.asking import MailConsultation
from expert.desk.triage import Desk
from expert.evidence.mail.lexicon import Lexicon
from expert.evidence.mail.reader import read_one
from expert.evidence.mail.source import Raw
from expert.loading.folder import load, shipped_folder
from expert.mail_heard import kin_of
from expert.model import Knowledge
from expert.reasoning.plan import CHECKS_KEPT, Costs, actions, problem_of
from tests.benchmarks.figure import Figure
from tests.benchmarks.peaked import peak_bytes
from tests.mail_eval import PARTS, labelled

_FRESH = 3_000
_MIXED = 6_000
_FEW, _MANY = 20_000, 100_000
_LEAST_PER_S = 300
# A hundred bytes a message.
_MOST_GROWTH_MB = 8.0
_LIMIT_MB = 200.0

_SETUPS: Final = (
    "internal gate, 3 port solenoid.",
    "internal wastegate, tap in the coupler, three port solenoid.",
    "external gate with a 3 port solenoid.",
    "external wastegate, 3 port on the top port.",
    "external gate and a four port solenoid.",
    "internal gate and a ball and spring controller.",
    "bleed valve on an internal gate.",
    "external gate straight to the turbo, no controller.",
    "",
)
_COMPLAINTS: Final = (
    "The turbo makes no boost.",
    "It overboosts.",
    "Boost is stuck at the spring whatever the duty.",
    "Boost creeps up with the revs.",
    "Boost spikes and then settles.",
    "Boost hunts up and down.",
    "Boost falls off at the top.",
    "It flutters when I lift.",
    "The engine cuts out on boost.",
)
_FACTS: Final = (
    "The solenoid clicks fine.", "The solenoid does not click.", "No codes stored.",
    "There are no red flags.", "All hoses match the diagram.", "I fitted it last weekend.",
    "The car has been like this for years.", "It is worse when hot.", "There is oil in the hose.",
    "The pressure test holds.", "I can hear a leak under boost.", "The rod moves freely.",
    "The wastegate was rebuilt last month.", "Duty goes to 80 percent.", "Duty stays at zero.",
    "I changed the intercooler last week.", "New manifold fitted last week.",
    "New exhaust fitted last week.", "The gauge and the log agree.", "The throttle closes.",
)  # fmt: skip
_OTHER: Final = (
    "Where is my invoice for the coupler?",
    "Something is wrong with the boost, please help!",
    "Can you send me two silicone hoses and a catalogue?",
    "Is the desk open on Saturday?",
)


@cache
def _knowledge() -> Knowledge:
    return load([shipped_folder()])


def figures() -> Iterator[Figure]:
    yield from _speed()
    yield from _memory()
    yield from _choice()


def _complaint(draw: random.Random) -> str:
    """A complaint with a setup, some facts and pressures."""
    facts = draw.sample(_FACTS, draw.randint(0, 4))
    spring = f"The spring is {draw.randint(6, 16)} psi."
    target = f"Target is {draw.randint(14, 24)} psi."
    words = [draw.choice(_SETUPS), draw.choice(_COMPLAINTS), spring, target, *facts]
    return " ".join(word for word in words if word)


def _message(number: int, text: str, answers: int | None = None) -> bytes:
    reply = f"In-Reply-To: <{answers}@example.org>\n" if answers is not None else ""
    return (
        f"From rider@example.org Mon Mar  2 10:00:00 2026\nFrom: Rider {number} <r@example.org>\n"
        f"Date: Mon, 2 Mar 2026 10:00:00 +0000\nSubject: boost\n"
        f"Message-ID: <{number}@example.org>\n"
        f"{reply}\nHello, {text}\nRegards\n\n"
    ).encode("ascii")


def _fresh(path: Path, most: int) -> int:
    """A mailbox of complaints, no two about cars of which the same is said; its messages."""
    draw, seen = random.Random(1), set()
    while len(seen) < most:
        seen.add(_complaint(draw))
    path.write_bytes(b"".join(_message(n, text) for n, text in enumerate(sorted(seen))))
    return most


def _mixed(path: Path, most: int) -> int:
    """A mailbox as mailboxes are: six complaints in ten, two replies, two of other things."""
    draw = random.Random(2)
    with path.open("wb") as file:
        for number in range(most):
            kind = draw.random()
            if kind < 0.6 or number < 100:
                file.write(_message(number, _complaint(draw)))
            elif kind < 0.8:
                file.write(_message(number, draw.choice(_FACTS), number - draw.randint(1, 90)))
            else:
                file.write(_message(number, draw.choice(_OTHER)))
    return most


def _speed() -> Iterator[Figure]:
    with TemporaryDirectory() as folder:
        for name, write, most in (
            ("cars not met before", _fresh, _FRESH),
            ("mixed", _mixed, _MIXED),
        ):
            path = Path(folder, "mail.mbox")
            count = write(path, most)
            # Start: the program, its knowledge and its imports.
            one = Path(folder, "one.mbox")
            one.write_bytes(_message(1, "The turbo makes no boost."))
            _cpu_seconds(one)
            seconds = _cpu_seconds(path) - _cpu_seconds(one)
            yield Figure(
                f"a message, {name}",
                1e3 * seconds / count,
                "ms",
                1e3 / _LEAST_PER_S,
                f"{count / seconds:.0f} messages/s",
            )


def _cpu_seconds(path: Path) -> float:
    """Processor time of one run with ``--json``, of all threads together."""
    begun = process_time()
    with redirect_stdout(io.StringIO()):
        main(["mail", str(path), "--json"])
    return process_time() - begun


def _memory() -> Iterator[Figure]:
    peaks = []
    with TemporaryDirectory() as folder:
        for count in (_FEW, _MANY):
            path = Path(folder, "mail.mbox")
            _mixed(path, count)
            command = ["-m", "expert", "mail", str(path), "--json"]
            one_thread = {**os.environ, "OPENBLAS_NUM_THREADS": "1"}
            peaks.append(peak_bytes(Path(folder), command, one_thread) / 1e6)
    few, many = peaks
    yield Figure(f"peak memory over {_MANY:,} messages", many, "MB", _LIMIT_MB)
    yield Figure(f"what the last {_MANY - _FEW:,} of them added", many - few, "MB", _MOST_GROWTH_MB)


def _choice() -> Iterator[Figure]:
    """The first check that is asked, beside that of the full plan, on the labelled messages."""
    knowledge = _knowledge()
    lexicon = Lexicon(knowledge, kin_of([shipped_folder()], knowledge))
    desk, consultant = Desk(knowledge), Consultant(knowledge)
    same, lost, whole = 0, 0.0, 0.0
    seen: set[Consultation] = set()
    for text in (one.text for part in PARTS for one in labelled(part)):
        read = read_one(1, Raw("-", text.encode("utf-8")), lexicon)
        mail = desk.triage(read).assessed.consultation
        if mail is None or mail in seen:
            continue
        plain = consultant.consult(mail.state)
        asked, planned = _first(mail.to_ask, plain), _first(_planned(plain, mail), plain)
        if asked is None or planned is None:
            continue
        seen.add(mail)
        same += asked == planned
        best, taken = _expected(plain, (planned, asked))
        lost += taken - best
        whole += best
    count = len(seen)
    yield Figure(
        "first check that is also the plan's", 100 * same / count, "%", None, f"{count} cars"
    )
    note = f"of {whole / count:.0f} minutes to a working car"
    yield Figure("what the others lose, over all", lost / count, "min", None, note)


def _expected(plain: Consultation, names: tuple[str, str]) -> list[float]:
    """Minutes to a working car that begins with each of two checks, looking two checks ahead."""
    order = sorted(plain.values, key=lambda name: -plain.values[name])
    order = [name for name in order if not plain.knowledge.checks[name].loads_engine][:CHECKS_KEPT]
    kept = list(dict.fromkeys([*names, *order]))
    minutes = np.array(
        [minutes_of(plain.knowledge, plain.knowledge.checks[name], ()) for name in kept]
    )
    costs = Costs(minutes, plain.repair_cost, plain.knowledge.policy.workshop_minutes)
    problem = problem_of(plain.belief, [plain.predictions[name] for name in kept], costs)
    found = {kept[one.index]: one.expected for one in actions(problem) if one.kind == "check"}
    return [found[name] for name in names]


def _planned(plain: Consultation, mail: MailConsultation) -> list[str]:
    """What the full plan would ask by mail: its own next check, then those of the highest value."""
    led = [plain.step.offer] if isinstance(plain.step, AskStep) else []
    return [one.id for one in [*led, *plain.offers] if one.value > 0.0 and mail.at_home(one.id)]


def _first(names: Iterable[str], plain: Consultation) -> str | None:
    """The first check that takes a look at the car; red flags and history are asked in any case."""
    return next((one for one in names if one not in FIRST and one in plain.open_checks), None)
