"""How well messages are understood, on labelled messages of our own invention.

``python -m tests.mail_eval`` prints the figures of all parts, ``--misses`` what was missed, and
``--part build`` one part only; ``--file PATH`` measures any file of labelled messages.
``--speed`` measures messages a second on one core, ``--phrases-alone`` leaves the sentences of
``knowledge/heard`` and ``knowledge/letters`` out, and ``--readers`` says how far two readers of the
same messages agree.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from expert.desk.triage import Desk, Triage
from expert.evidence.mail.lexicon import Lexicon
from expert.evidence.mail.reader import read_one
from expert.evidence.mail.source import Raw
from expert.loading.folder import load, shipped_folder
from expert.mail_heard import kin_of
from expert.model import Knowledge

FOLDER = Path(__file__).parent / "mail"
# In the order in which they were written; what is not there is passed over.
NAMES = (
    "build",
    "second",
    "third",
    "fourth",
    "fifth",
    "sixth",
    "seventh",
    "eighth",
    "ninth",
    "tenth",
    "untouched",
)
PARTS = tuple(name for name in NAMES if (FOLDER / f"{name}.yaml").is_file())
# Those that a second reader has labelled, without seeing the first labels.
READ_TWICE = ("eighth", "ninth", "tenth", "untouched")


@dataclass(frozen=True)
class Labelled:
    """A message with what it says."""

    text: str
    kind: str
    symptoms: list[str]
    facts: frozenset[str]
    work: str | None = None
    setup: str | None = None
    spring: float | None = None
    boost: float | None = None
    target: float | None = None
    stop: bool = False

    def must_stand(self) -> bool:
        """Does the label say stop, or hold an answer that the knowledge calls that dangerous?"""
        dangerous = {f"{check}={answer}" for check, answer in lexicon().dangerous}
        return self.stop or not dangerous.isdisjoint(self.facts)


@dataclass
class Figures:
    """Counts over a part."""

    messages: int = 0
    complaints: int = 0
    main_right: int = 0
    kind_right: int = 0
    found: int = 0
    found_right: int = 0
    wanted: int = 0
    stops: int = 0
    stops_found: int = 0
    stops_right: int = 0
    false_on_unrelated: int = 0
    pressures: int = 0
    pressures_right: int = 0
    false_pressures: int = 0
    inexact: int = 0
    misses: list[str] = field(default_factory=list)


@cache
def knowledge() -> Knowledge:
    return load([shipped_folder()])


def labelled(part: str) -> list[Labelled]:
    """The messages of one part, or of a file that a path names."""
    path = Path(part) if part.endswith(".yaml") else FOLDER / f"{part}.yaml"
    entries: list[dict[str, Any]] = yaml.safe_load(path.read_text("utf-8"))
    return [
        Labelled(**{**entry, "facts": frozenset(entry["facts"]) | _work(entry)})
        for entry in entries
    ]


def _work(entry: dict[str, Any]) -> set[str]:
    work = entry.get("work")
    return {f"what-changed={work}"} if work else set()


@cache
def lexicon(sentences: bool = True) -> Lexicon:
    if not sentences:
        return Lexicon(knowledge())
    return Lexicon(knowledge(), kin_of([shipped_folder()], knowledge()))


def triaged(messages: Sequence[Labelled], sentences: bool = True) -> list[Triage]:
    """What the program makes of each message, alone; without sentences by phrases only."""
    desk = Desk(knowledge())
    return [
        desk.triage(read_one(number, Raw("-", one.text.encode()), lexicon(sentences)))
        for number, one in enumerate(messages, start=1)
    ]


def figures(part: str, sentences: bool = True) -> Figures:
    """The counts of one part."""
    messages = labelled(part)
    total = Figures()
    for one, triage in zip(messages, triaged(messages, sentences), strict=True):
        _count(one, triage, total)
    return total


def _count(one: Labelled, triage: Triage, total: Figures) -> None:
    told = triage.read.understanding
    assert triage.read.mail is not None
    total.messages += 1
    total.kind_right += told.kind == one.kind
    if told.kind != one.kind:
        total.misses.append(f"kind {told.kind}, not {one.kind}: {one.text}")
    if one.symptoms:
        total.complaints += 1
        right = told.symptoms[:1] == tuple(one.symptoms[:1])
        total.main_right += right
        if not right:
            total.misses.append(f"main {told.symptoms}, not {one.symptoms}: {one.text}")
    found = {f"{fact.check}={fact.answer}" for fact in told.facts}
    total.found += len(found)
    total.found_right += len(found & one.facts)
    total.wanted += len(one.facts)
    if found != one.facts:
        total.misses.append(
            f"facts too many {sorted(found - one.facts)}, missed {sorted(one.facts - found)}: "
            f"{one.text}"
        )
    if one.kind == "unrelated":
        total.false_on_unrelated += len(found) + len(told.symptoms)
    stopped = triage.assessed.drive == "stop"
    wanted_stop = one.must_stand()
    total.stops += wanted_stop
    total.stops_found += stopped
    total.stops_right += stopped and wanted_stop
    if stopped != wanted_stop:
        total.misses.append(f"stop {stopped}, not {wanted_stop}: {one.text}")
    for wanted, kpa in ((one.spring, told.spring_kpa), (one.boost, told.boost_kpa)):
        if wanted is not None:
            total.pressures += 1
            right = kpa is not None and abs(kpa - wanted) < 1.0
            total.pressures_right += right
            if not right:
                total.misses.append(f"pressure {kpa}, not {wanted}: {one.text}")
        elif kpa is not None and one.kind != "unrelated":
            total.false_pressures += 1
            total.misses.append(f"pressure {kpa}, not known: {one.text}")
    for fact in told.facts:
        total.inexact += triage.read.mail.text[fact.start : fact.end] != fact.quote


def share(part: int, whole: int) -> str:
    return f"{part}/{whole} ({100 * part / whole:.0f} %)" if whole else "0/0"


def agreement(part: str) -> str:
    """How far a second reader, who saw no labels, agrees with the labels of a part."""
    messages = labelled(part)
    entries = yaml.safe_load((FOLDER / f"{part}.second.yaml").read_text("utf-8"))
    readings = [
        Labelled("", **{**entry, "facts": frozenset(entry["facts"]) | _work(entry)})
        for entry in entries
    ]
    pairs = list(zip(messages, readings, strict=True))
    complaints = [pair for pair in pairs if pair[0].symptoms]
    facts = [sum(len(one.facts) for one in of) for of in zip(*pairs, strict=True)]
    both = sum(len(one.facts & other.facts) for one, other in pairs)
    main = sum(one.symptoms[:1] == other.symptoms[:1] for one, other in complaints)
    return "\n".join(
        (
            f"{part}: kind {share(sum(a.kind == b.kind for a, b in pairs), len(pairs))}",
            f"main symptom {share(main, len(complaints))}",
            f"facts of the labels {share(both, facts[0])}, of the reader {share(both, facts[1])}",
            f"stop {share(sum(a.stop == b.stop for a, b in pairs), len(pairs))}",
        )
    )


def table(parts: Sequence[str], sentences: bool = True) -> str:
    """The figures as the page shows them."""
    counted = {part: figures(part, sentences) for part in parts}
    lines = {
        "messages": lambda f: str(f.messages),
        "kind right": lambda f: share(f.kind_right, f.messages),
        "main symptom right": lambda f: share(f.main_right, f.complaints),
        "precision of facts": lambda f: share(f.found_right, f.found),
        "recall of facts": lambda f: share(f.found_right, f.wanted),
        "recall of stop driving": lambda f: share(f.stops_right, f.stops),
        "precision of stop driving": lambda f: share(f.stops_right, f.stops_found),
        "pressures right": lambda f: share(f.pressures_right, f.pressures),
        "pressures made up": lambda f: str(f.false_pressures),
        "false on unrelated mail": lambda f: str(f.false_on_unrelated),
        "quotes that are no substring": lambda f: str(f.inexact),
    }
    rows = [f"| figure | {' | '.join(parts)} |", "|---|" + "---|" * len(parts)]
    for name, shown in lines.items():
        rows.append(f"| {name} | {' | '.join(shown(counted[part]) for part in parts)} |")
    return "\n".join(rows)


def speed(seconds: float = 4.0) -> str:
    """Messages a second on one core after start, by what is done with them."""
    head = b"From: a@example.org\nMessage-ID: <x@example.org>\nSubject: boost\n\n"
    texts = [head + one.text.encode() for part in PARTS for one in labelled(part)]
    desk = Desk(knowledge())
    reads = [read_one(1, Raw("-", text), lexicon()) for text in texts]
    for one in reads:
        assert len(desk.triage(one).queries) <= 3

    def rate(act: Callable[[bytes], object]) -> float:
        count, start = 0, time.process_time()
        while time.process_time() - start < seconds:
            for text in texts:
                act(text)
            count += len(texts)
        return count / (time.process_time() - start)

    known = rate(lambda text: desk.triage(read_one(1, Raw("-", text), lexicon())).queries)
    only = rate(lambda text: read_one(1, Raw("-", text), lexicon()))
    fresh = Desk(knowledge())
    start = time.process_time()
    triages = [fresh.triage(one) for one in reads]
    ranked = len(reads) / (time.process_time() - start)
    start = time.process_time()
    for triage in triages:
        assert len(triage.queries) <= 3
    asked = len(reads) / (time.process_time() - start)
    return "\n".join(
        (
            f"read and understood: {only:.0f} messages/s",
            f"with verdict, ranking and questions, cars met before: {known:.0f} messages/s",
            f"verdict and ranking alone, cars not met before: {ranked:.0f} messages/s",
            f"questions alone, cars not met before: {asked:.0f} messages/s",
        )
    )


def main(arguments: Sequence[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.mail_eval", description=__doc__)
    parser.add_argument("--part", choices=PARTS)
    parser.add_argument("--file", metavar="PATH")
    parser.add_argument("--misses", action="store_true")
    parser.add_argument("--phrases-alone", action="store_true", help="without the sentences")
    parser.add_argument("--readers", action="store_true", help="how far two readers agree")
    parser.add_argument("--speed", action="store_true")
    options = parser.parse_args(arguments)
    parts = [one for one in (options.file, options.part) if one] or PARTS
    if options.speed:
        print(speed())
        return 0
    if options.readers:
        print("\n\n".join(agreement(part) for part in READ_TWICE))
        return 0
    sentences = not options.phrases_alone
    print(table(parts, sentences))
    if options.misses:
        for part in parts:
            print(f"\n{part}")
            print("\n".join(figures(part, sentences).misses))
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
