"""Learning from journals as a whole: better where the files were wrong, refused where it is not."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from expert.case.events import Answered
from expert.errors import GatepostError
from expert.model import Knowledge, Seen
from expert.workbench.learn import Gathered, gather, header, lesson
from expert.workbench.learn_read import Skipped
from tests.small import CHECKS, knowledge
from tests.workbench.journals import drawn, story, write

BOOK = knowledge()


def gathered(folder: Path, book: Knowledge = BOOK) -> tuple[Gathered, list[Skipped]]:
    told: list[Skipped] = []
    return gather([folder], book, told.append), told


def true_cars() -> Knowledge:
    """Cars that are otherwise than the files say: hardly any ring, and lamps that mislead."""
    causes = dict(BOOK.causes)
    for name, weight in {"ring-missing": 0.3, "charge-leak": 4.0, "wheel-broken": 20.0}.items():
        causes[name] = replace(causes[name], seen=Seen(just_fitted=weight, settled="rare"))
    lamp = replace(CHECKS["lamp"], healthy={"ring": 0.4})
    return replace(BOOK, causes=causes, checks={**BOOK.checks, "lamp": lamp})


def test_learning_comes_nearer_to_how_cars_are(tmp_path: Path) -> None:
    truth = true_cars()
    found, told = gathered(
        write(tmp_path, list(drawn(truth, BOOK.digest, "outer", "lazy", 400, 1)))
    )
    assert (found.cases, told) == (400, [])
    taught = lesson(found, BOOK, 20.0)
    assert not taught.worse
    assert taught.after.log < taught.before.log - 0.1
    assert taught.after.brier < taught.before.brier
    learned = taught.learned.knowledge
    assert learned.checks["lamp"].healthy["ring"] == pytest.approx(0.4, abs=0.08)
    weight = learned.policy.weight
    ratio = weight(learned.causes["wheel-broken"].seen.just_fitted) / weight(
        learned.causes["charge-leak"].seen.just_fitted
    )
    # True: 20 / 4; in the files: 9 / 9.
    assert 2.5 < ratio < 7.5
    # The cases were cars just worked on; nothing is said of others.
    assert learned.causes["wheel-broken"].seen.settled == "occasional"


def test_more_cases_bring_it_nearer(tmp_path: Path) -> None:
    truth, distances = true_cars(), []
    for count in (20, 600):
        folder = write(tmp_path / str(count), list(drawn(truth, "x", "outer", "lazy", count, 2)))
        found, _ = gathered(folder)
        assert found.other == count
        ring = lesson(found, BOOK, 20.0).learned.knowledge.checks["lamp"].healthy["ring"]
        distances.append(abs(ring - 0.4))
    assert distances[1] < distances[0]


def test_what_ranks_other_cases_worse_is_called_so(tmp_path: Path) -> None:
    """Cars that are as the files say, and few of them: believed blindly, they only mislead."""
    told = list(drawn(BOOK, BOOK.digest, "outer", "lazy", 30, 3))
    found, _ = gathered(write(tmp_path, told))
    blind, careful = lesson(found, BOOK, 0.01), lesson(found, BOOK, 2000.0)
    assert blind.worse
    assert blind.after.log > blind.before.log + 0.1
    assert abs(careful.after.log - careful.before.log) < 0.05


def test_nothing_to_learn_from_is_one_message(tmp_path: Path) -> None:
    found, told = gathered(write(tmp_path, [story("ring-missing")[:-1]]))
    assert [one.why for one in told] == ["unfinished"]
    with pytest.raises(GatepostError, match=r"no closed case to learn from \(1 unfinished\)"):
        lesson(found, BOOK, 20.0)


def test_a_single_case_is_held_against_the_files_alone(tmp_path: Path) -> None:
    found, _ = gathered(write(tmp_path, [story("ring-missing", Answered("lamp", ("ring",)))]))
    taught = lesson(found, BOOK, 20.0)
    assert taught.before == taught.after
    assert taught.learned.rows


def test_the_order_and_names_of_files_do_not_matter(tmp_path: Path) -> None:
    stories = list(drawn(true_cars(), BOOK.digest, "outer", "lazy", 30, 4))
    one = write(tmp_path / "one", stories)
    (tmp_path / "two").mkdir()
    for k, path in enumerate(sorted(one.iterdir(), reverse=True)):
        path.rename(tmp_path / "two" / f"x{k:03}.case.jsonl")
    first = gathered(write(tmp_path / "one", stories))[0]
    second = gathered(tmp_path / "two")[0]
    assert lesson(first, BOOK, 20.0) == lesson(second, BOOK, 20.0)


def test_the_header_says_how_it_was_made(tmp_path: Path) -> None:
    found, _ = gathered(write(tmp_path, [story("ring-missing", Answered("lamp", ("ring",)))]))
    text = " ".join(header(found, lesson(found, BOOK, 7.0), BOOK))
    assert "from 1 closed cases and the knowledge with the digest 0123456789abcdef" in text
    assert "weigh 7 cases each" in text
    assert "000000.case" not in text
    assert "2031" not in text
