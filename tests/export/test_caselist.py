"""The cases of a folder, one line each; a broken one is listed as broken and the rest go on."""

from __future__ import annotations

import os
from pathlib import Path

from expert.case.events import Answered, Confirmed, Described
from expert.case.journal import Journal
from expert.export.caselist import case_lines, listed_cases


def cases(folder: Path) -> Path:
    with Journal.open(folder / "one.case.jsonl", "digest") as journal:
        journal.append(Described("setup", "outer"))
        journal.append(Described("symptom", "lazy"))
        journal.append(Answered("lamp", ("ring",)))
    with Journal.open(folder / "two.case.jsonl", "digest") as journal:
        journal.append(Described("symptom", "lazy"))
        journal.append(Confirmed("ring-missing"))
    (folder / "three.case.jsonl").write_text("\x1b[31mno journal\n")
    with Journal.open(folder / "four.case.jsonl", "digest"):
        pass
    for age, name in enumerate(["one", "two", "three", "four"]):
        os.utime(folder / f"{name}.case.jsonl", (1_000_000 - age, 1_000_000 - age))
    return folder


def test_every_case_is_listed_the_latest_first(tmp_path: Path) -> None:
    one, two, three, four = listed_cases(cases(tmp_path))
    assert (one["setup"], one["symptoms"], one["answers"]) == ("outer", ["lazy"], 1)
    assert two["confirmed"] == "ring-missing"
    assert three["problem"] is not None
    assert three["begun"] is None
    assert (four["setup"], four["symptoms"]) == (None, [])


def test_lines_are_for_people_and_harmless(tmp_path: Path) -> None:
    one, two, three, four = case_lines(listed_cases(cases(tmp_path)))
    assert "lazy, outer  (1 answers)" in one
    assert "(found ring-missing)" in two
    assert three.startswith("unreadable: ")
    assert "nothing said yet" in four
    assert all("\x1b" not in line and "\n" not in line for line in (one, two, three, four))


def test_an_empty_folder_has_no_cases(tmp_path: Path) -> None:
    assert listed_cases(tmp_path / "nowhere") == []
    assert case_lines([]) == []
