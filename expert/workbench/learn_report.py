"""The report of ``gatepost knowledge learn``, as text and as JSON."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import Any, Final, TextIO

from expert.workbench.learn import Gathered, Lesson
from expert.workbench.learn_count import SOUND
from expert.workbench.learn_fit import RowChange
from expert.workbench.learn_read import WHY, Skipped
from expert.workbench.learn_score import Score
from expert.workbench.learn_weights import SeenChange
from expert.workbench.scores import Bin

MOST_CHANGES: Final = 10
MOST_TOLD: Final = 20


def teller(stream: TextIO) -> Callable[[Skipped], None]:
    """Says of each journal that is skipped why, and of very many only of the first."""
    told = 0

    def tell(skipped: Skipped) -> None:
        nonlocal told
        told += 1
        if told <= MOST_TOLD:
            stream.write(f"{skipped.message}\n")
        elif told == MOST_TOLD + 1:
            stream.write("More journals are skipped; the report counts them.\n")

    return tell


def refusal(lesson: Lesson) -> str:
    """Why nothing was written."""
    return (
        f"What was learned ranks other cases worse: log score {lesson.before.log:.4f} before, "
        f"{lesson.after.log:.4f} after. Nothing was written. Look for journals that do not belong "
        "here, give the files more weight with --strength, or write it all the same with --force."
    )


def lines(found: Gathered, lesson: Lesson) -> Iterator[str]:
    """The cases, the scores before and after, and the changes that move most."""
    yield from _cases(found)
    before, after = lesson.before, lesson.after
    yield (
        f"The numbers in the files weigh {lesson.strength:g} cases each. "
        f"Scored on {_cases_word(before.cases)} left out in turns:"
    )
    yield f"  {'':44}{'before':>8}{'after':>8}"
    for words, first, second in (
        ("log score (0 is best)", before.log, after.log),
        ("Brier score (0 is best, 2 is worst)", before.brier, after.brier),
        ("likeliest cause was the right one", before.right, after.right),
        ("calibration error of the likeliest cause", before.calibration, after.calibration),
    ):
        yield f"  {words:44}{first:8.4f}{second:8.4f}"
    yield from _table("before", before.bins)
    yield from _table("after", after.bins)
    yield from _changes(lesson)


def _cases(found: Gathered) -> Iterator[str]:
    other = f", {found.other} of them told with other knowledge" if found.other else ""
    yield f"{_cases_word(found.cases)} learned from{other}."
    for why, meaning in WHY.items():
        if found.skipped[why]:
            yield f"  {found.skipped[why]} skipped as {why}: {meaning}."


def _cases_word(count: int) -> str:
    return "1 case" if count == 1 else f"{count} cases"


def _table(when: str, table: Sequence[Bin]) -> Iterator[str]:
    yield f"  Stated for the likeliest cause, and true, {when}:"
    for one in table:
        word = "case " if one.count == 1 else "cases"
        yield (
            f"    {one.low:.1f} to {one.high:.1f}  {one.count:6} {word}"
            f"  stated {one.stated:.3f}  true {one.true:.3f}"
        )


def _changes(lesson: Lesson) -> Iterator[str]:
    seen, rows = lesson.learned.seen, lesson.learned.rows
    weights = "1 weight of a cause" if len(seen) == 1 else f"{len(seen)} weights of causes"
    answers = "1 row of a check" if len(rows) == 1 else f"{len(rows)} rows of checks"
    yield f"Changed: {weights}, {answers}. The largest:"
    for weight in sorted(seen, key=_by_weight)[:MOST_CHANGES]:
        yield (
            f"  {weight.cause}, seen {_key(weight)}: {weight.before:g} -> {weight.after:g} "
            f"({_cases_word(weight.cases)})"
        )
    for row in sorted(rows, key=_by_row)[:MOST_CHANGES]:
        moved = ", ".join(
            f"{answer} {row.before.get(answer, 0.0):g} -> {share:g}"
            for answer, share in row.after.items()
        )
        yield f"  {row.check}, {_row_name(row)}: {moved} ({_cases_word(row.cases)})"


def _by_weight(change: SeenChange) -> tuple[float, str]:
    return -abs(math.log(change.after / change.before)), change.cause


def _by_row(change: RowChange) -> tuple[float, str, str]:
    answers = change.after.keys() | change.before.keys()
    moved = (change.after.get(one, 0.0) - change.before.get(one, 0.0) for one in answers)
    return -sum(map(abs, moved)), change.check, change.cause


def _key(change: SeenChange) -> str:
    return change.column.replace("_", "-")


def _row_name(change: RowChange) -> str:
    return "healthy" if change.cause == SOUND else f"given {change.cause}"


def learn_json(found: Gathered, lesson: Lesson, written: Sequence[str]) -> dict[str, Any]:
    """The same as one object, with every change."""
    return {
        "format": 1,
        "cases": found.cases,
        "other_knowledge": found.other,
        "skipped": {why: found.skipped[why] for why in WHY},
        "strength": lesson.strength,
        "before": _score(lesson.before),
        "after": _score(lesson.after),
        "worse": lesson.worse,
        "seen": [
            {
                "cause": one.cause,
                "column": _key(one),
                "before": one.before,
                "after": one.after,
                "cases": one.cases,
            }
            for one in lesson.learned.seen
        ],
        "rows": [
            {
                "check": one.check,
                "cause": None if one.cause == SOUND else one.cause,
                "answers": [
                    {
                        "answer": answer,
                        "before": one.before.get(answer, 0.0),
                        "after": share,
                    }
                    for answer, share in one.after.items()
                ],
                "cases": one.cases,
            }
            for one in lesson.learned.rows
        ],
        "written": list(written),
    }


def _score(score: Score) -> dict[str, Any]:
    return {
        "cases": score.cases,
        "log": score.log,
        "brier": score.brier,
        "right": score.right,
        "calibration": score.calibration,
        "bins": bins_json(score.bins),
    }


def bins_json(table: Sequence[Bin]) -> list[dict[str, float]]:
    """Bins as JSON."""
    return [
        {
            "low": one.low,
            "high": one.high,
            "count": one.count,
            "stated": one.stated,
            "true": one.true,
        }
        for one in table
    ]
