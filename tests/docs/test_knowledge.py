"""docs/knowledge.md against the model, the loader and the shipped files."""

from __future__ import annotations

import json
from dataclasses import fields, replace
from pathlib import Path
from typing import get_args

import pytest

from expert.case.car import GATES
from expert.case.safety import HOSES, OVERPRESSURE_SYMPTOMS, RED_FLAGS
from expert.case.steps import RUN
from expert.loading.decode import yaml_key
from expert.loading.folder import load, shipped_folder
from expert.loading.linking.causes import WORKED_ON
from expert.model import PROBABILITY_WORDS, Ask, Fork, Kind, Knowledge, Suspect
from expert.reasoning.network import AS_DESIGNED
from tests.docs.conftest import Shell
from tests.docs.pages import KNOWLEDGE, blocks, code, rows, section, text_of
from tests.docs.tables import PART, RECORDS, refreshed


def test_tables_are_those_of_the_model() -> None:
    text = text_of(KNOWLEDGE)
    assert refreshed(text) == text, "run: python -m tests.docs.tables"


def test_every_record_of_the_model_has_its_table() -> None:
    names = [part["name"] for part in PART.finditer(text_of(KNOWLEDGE))]
    assert sorted(names) == sorted(["homes", "features", *RECORDS])


def test_words_for_probabilities() -> None:
    table = rows(section(KNOWLEDGE, "## Words for probabilities"))
    assert {code(word)[0]: float(number) for word, number, _ in table} == PROBABILITY_WORDS


def test_kinds_of_check() -> None:
    table = rows(section(KNOWLEDGE, "### Kinds of check"))
    assert [code(row[0])[0] for row in table] == list(get_args(Kind))


def test_nodes_of_trees() -> None:
    table = rows(section(KNOWLEDGE, "### Trees"))
    keys = {word.rstrip(":") for row in table for word in code(row[0])}
    assert keys == {yaml_key(item.name) for node in (Ask, Fork, Suspect) for item in fields(node)}


def test_ids_known_by_name(shipped: Knowledge) -> None:
    _, _, under = section(KNOWLEDGE, "## Where things are").partition("| Id |")
    table = rows(f"| Id |{under}")
    named = {name for row in table for name in code(row[0])}
    assert named == {
        HOSES,
        RED_FLAGS,
        RUN,
        WORKED_ON,
        "what-changed",
        *OVERPRESSURE_SYMPTOMS,
        *GATES.values(),
        AS_DESIGNED,
    }
    everything = {*shipped.checks, *shipped.symptoms, *shipped.parts, AS_DESIGNED}
    assert named <= everything
    changed = [row for row in table if "what-changed" in row[0]]
    assert set(code(changed[0][1])) <= shipped.checks["what-changed"].answers.keys()


def test_weight_of_silence(shipped: Knowledge) -> None:
    # The arithmetic of the page: odds of the answer held, for a cause that names it with
    # almost-certain against one that does not, with the slip of an asked answer among three.
    slip = shipped.policy.slip.asked
    named = (1 - slip) * PROBABILITY_WORDS["almost-certain"] + slip / 3
    silent = (1 - slip) * 0.002 + slip / 3
    product = "(.93 * .98 + .0067) / (.002 * .98 + .0067) = 106"
    assert product in text_of(KNOWLEDGE)
    assert named / silent == pytest.approx(106, abs=1)


def test_the_tree_of_the_page_loads(scratch: Path) -> None:
    (fragment,) = [
        block.text
        for block in blocks(section(KNOWLEDGE, "### Trees"))
        if block.text.startswith("tree:")
    ]
    folder = scratch / "page" / "symptoms"
    folder.mkdir(parents=True)
    head = "title: a\nwhat: b\ndanger: none\nbasis: c\ncauses: {charge-leak-big: probable}\n"
    (folder / "page.yaml").write_text(head + fragment, encoding="utf-8")
    knowledge = load([scratch / "knowledge", scratch / "page"])
    assert set(knowledge.symptoms["page"].subtrees) == {"hoses", "gate"}


def inserted(text: str, path: list[str], lines: str) -> str:
    """The text with lines added as the first ones under the key that the path leads to."""
    where = 0
    for depth, key in enumerate(path):
        found = text.find(f"\n{'  ' * depth}{key}:\n", where)
        assert found >= 0, f"no {key} to add lines under"
        where = found + 1
    where = text.index("\n", where) + 1
    return text[:where] + lines + text[where:]


def weight(output: str) -> float:
    cause = next(c for c in json.loads(output)["causes"] if c["id"] == "rod-held-by-shield")
    return next(float(why["decibans"]) for why in cause["why"] if why["check"] == "release")


def test_the_example_runs_as_written(shell: Shell, scratch: Path) -> None:
    steps = blocks(section(KNOWLEDGE, "## A cause in ten minutes"))
    assert all(step.mark for step in steps)
    output = ""
    seen = set()
    for mark, _, text in steps:
        order, _, rest = mark.partition(" ")
        seen.add(order.rstrip(":"))
        if order in ("run", "run:"):
            done = shell(text)
            output = done.stdout
            if rest == "finds":
                assert done.returncode == 1
                continue
            assert (done.returncode, done.stderr) == (0, ""), text
            if rest:
                assert (weight(output) > 0) == (rest == "for")
        elif order == "found":
            ours = [line for line in output.splitlines() if line.startswith("our-shop")]
            assert ours == text.splitlines()
        elif order == "write":
            (scratch / rest).write_text(text, encoding="utf-8")
        elif order == "insert":
            name, _, path = rest.partition(": ")
            before = (scratch / name).read_text(encoding="utf-8")
            (scratch / name).write_text(inserted(before, path.split(", "), text), encoding="utf-8")
        elif order == "replace":
            name, _, change = rest.partition(": ")
            old, new = change.split(" -> ")
            before = (scratch / name).read_text(encoding="utf-8")
            assert before.count(old) == 1
            (scratch / name).write_text(before.replace(old, new), encoding="utf-8")
            done = shell("gatepost knowledge check --knowledge our-shop")
            assert (done.returncode, done.stdout + done.stderr) == (1, text)
            (scratch / name).write_text(before, encoding="utf-8")
        elif order == "ranked":
            assert first_of(text) == first_of(output)
            assert first_of(text).startswith("Heat shield holds the gate rod")
        else:
            pytest.fail(f"nothing is known of the mark {mark!r}")
    assert seen == {"run", "found", "write", "insert", "replace", "ranked"}


def first_of(ranking: str) -> str:
    """The title that a ranking begins with."""
    lines = ranking.splitlines()
    start = lines.index("How likely each cause is")
    return lines[start + 1].split("  ")[1]


def test_the_first_command_of_a_folder_of_ones_own(shell: Shell) -> None:
    done = shell("gatepost knowledge check")
    assert (done.returncode, done.stderr) == (0, "")


def test_a_name_of_your_logger_is_a_line_in_your_own_folder(tmp_path: Path) -> None:
    """The example of the page, with which a column of that name is boost."""
    (written,) = [
        one for one in blocks(text_of(KNOWLEDGE)) if one.mark == "write names/channels.yaml"
    ]
    (tmp_path / "channels.yaml").write_text(written.text, encoding="utf-8")
    boost = load([shipped_folder(), tmp_path]).channels["boost"]
    shipped = load([shipped_folder()]).channels["boost"]
    assert boost == replace(shipped, names=("Ladedruck nach Filter", *shipped.names))
