"""What logs of the bench answer, beside what the knowledge says: ``python -m tests.loop.compare``.

For each cause and check it compares how often the logs gave each answer with the probability that
the knowledge gives it, and prints where the knowledge loses most: the log-likelihood by which the
shares of the bench would explain the same answers better, in decibans over all cars. Symptoms that
a log showed are compared in the same way. It says where to look, not what to write: the bench has
one car of each kind, and a row is corrected by physics, not to make a number match.
"""

from __future__ import annotations

import argparse
import json
import math
import sys
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from expert.loading.folder import load, shipped_folder
from expert.model import Check, Knowledge

# What the count of an answer is raised by, as a rule of succession: nothing is impossible.
_RAISED: Final = 0.5
_DECIBAN: Final = 10.0 / math.log(10.0)
SLIP: Final = 0.02


@dataclass(frozen=True)
class Row:
    """One cause and one check: what was found, what was expected, and what that loses."""

    cause: str
    check: str
    cars: int
    found: Mapping[str, float]
    expected: Mapping[str, float]
    loss_db: float


def expected(check: Check, cause: str) -> dict[str, float]:
    """P(answer | this cause alone); of a nominal check that each flag is shown."""
    given, healthy = check.given.get(cause, {}), check.healthy
    if check.kind == "nominal":
        return {
            flag: 1.0 - (1.0 - given.get(flag, 0.0)) * (1.0 - healthy.get(flag, 0.0))
            for flag in list(check.answers)[1:]
        }
    rest = 1.0 - sum(given.values())
    shares = {
        answer: given.get(answer, 0.0) + max(rest, 0.0) * healthy.get(answer, 0.0)
        for answer in check.answers
        if answer != check.sound_answer()
    }
    return {check.sound_answer(): max(1.0 - sum(shares.values()), 0.0), **shares}


def _loss(found: Mapping[str, float], wanted: Mapping[str, float], cars: int) -> float:
    """How much better their own shares explain what was found, in decibans over all cars."""
    total = 0.0
    for answer, share in found.items():
        believed = (1.0 - SLIP) * wanted.get(answer, 0.0) + SLIP / max(len(wanted), 1)
        if share > 0.0:
            total += share * math.log(share / believed)
    return _DECIBAN * cars * max(total, 0.0)


def _row(cause: str, name: str, check: Check, answers: Sequence[Sequence[str]]) -> Row:
    wanted = expected(check, cause)
    cars = len(answers)
    counts = Counter(answer for some in answers for answer in some)
    if check.kind == "nominal":
        found = {flag: counts[flag] / cars for flag in wanted}
        loss = sum(
            _loss({"yes": share, "no": 1.0 - share}, {"yes": p, "no": 1.0 - p}, cars)
            for share, p in ((_shrunk(found[flag], cars), wanted[flag]) for flag in wanted)
        )
        return Row(cause, name, cars, found, wanted, loss)
    found = {answer: counts[answer] / cars for answer in wanted}
    raised = {
        answer: (counts[answer] + _RAISED * wanted[answer]) / (cars + _RAISED) for answer in wanted
    }
    return Row(cause, name, cars, found, wanted, _loss(raised, wanted, cars))


def _shrunk(share: float, cars: int) -> float:
    return (share * cars + _RAISED / 2.0) / (cars + _RAISED)


def compared(knowledge: Knowledge, outcomes: Iterable[Mapping[str, Any]]) -> list[Row]:
    """Every cause and check that logs answered, the largest loss first.

    Cars that truly do nothing are left out, for nobody would bring them.
    """
    seen: dict[tuple[str, str], list[Sequence[str]]] = {}
    symptoms: dict[tuple[str, str], list[bool]] = {}
    for one in outcomes:
        if one["cause"] not in knowledge.causes or not one["true"]:
            continue
        for check, answers in one["findings"]:
            seen.setdefault((one["cause"], check), []).append(answers)
        if one["usable"]:
            for symptom in knowledge.symptoms:
                there = symptom in one["shown"]
                symptoms.setdefault((one["cause"], symptom), []).append(there)
    rows = [
        _row(cause, check, knowledge.checks[check], answers)
        for (cause, check), answers in seen.items()
    ]
    for (cause, symptom), told in symptoms.items():
        leak = knowledge.policy.symptom_leak
        shows = knowledge.symptoms[symptom].causes.get(cause, 0.0)
        wanted = 1.0 - (1.0 - shows) * (1.0 - leak)
        share = sum(told) / len(told)
        near = _shrunk(share, len(told))
        pair = {"yes": wanted, "no": 1.0 - wanted}
        loss = _loss({"yes": near, "no": 1.0 - near}, pair, len(told))
        # A complaint that is not made is no finding, so only those that are made lose anything.
        if share:
            found = {"shown": share}
            rows.append(Row(cause, f"symptom {symptom}", len(told), found, {"shown": wanted}, loss))
    return sorted(rows, key=lambda row: -row.loss_db)


def lines(rows: Sequence[Row], most: int) -> Iterator[str]:
    """The largest losses, one line each: found against expected, in per cent."""
    for row in rows[:most]:
        pairs = ", ".join(
            f"{answer} {100.0 * row.found.get(answer, 0.0):.0f}/{100.0 * share:.0f}"
            for answer, share in row.expected.items()
            if row.found.get(answer, 0.0) > 0.0 or share >= 0.05
        )
        yield f"{row.loss_db:6.1f} dB  {row.cause:28}{row.check:22}{row.cars:4} cars  {pairs}"


def main(arguments: Sequence[str] | None = None) -> int:
    """Read the lines that the closed loop wrote with ``--out``, and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.loop.compare", description=__doc__)
    parser.add_argument("files", nargs="+", type=Path, help="what the closed loop wrote with --out")
    parser.add_argument("--most", type=int, default=40, help="how many lines")
    parser.add_argument("--causes", nargs="*", default=[], help="only these causes")
    parser.add_argument("--checks", nargs="*", default=[], help="only these checks")
    options = parser.parse_args(arguments)
    outcomes = [
        json.loads(line)
        for file in options.files
        for line in file.read_text(encoding="utf-8").splitlines()
    ]
    rows = [
        row
        for row in compared(load([shipped_folder()]), outcomes)
        if (not options.causes or row.cause in options.causes)
        and (not options.checks or row.check in options.checks)
    ]
    for line in lines(rows, options.most):
        sys.stdout.write(line + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
