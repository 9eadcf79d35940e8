"""Which cars a change can touch: ``expert/workbench/touched.py``.

That a car which is not touched comes out the same is tested in ``test_diff.py``, against playing
everything.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any

import pytest

from expert.loading.folder import load_with_cases, shipped_folder
from expert.model import Knowledge
from expert.workbench.touched import UNREAD, Touched
from expert.workbench.tryout import outcomes
from expert.workbench.tryout_quick import QuickConsultant
from tests import small

OUTER = frozenset({"turbo", "external-gate"})
INNER = frozenset({"turbo", "internal-gate"})
FIELDS = {"cause": "causes", "check": "checks", "symptom": "symptoms"}


def touched(**changes: Any) -> tuple[bool, bool]:
    """Whether the change touches an outer and an inner gate with the complaint lazy."""
    found = Touched(small.knowledge(), small.knowledge(**changes))
    return found.car(OUTER, OUTER, ["lazy"]), found.car(INNER, INNER, ["lazy"])


def with_cause(name: str, **changes: Any) -> dict[str, Any]:
    return {"causes": {**small.CAUSES, name: replace(small.CAUSES[name], **changes)}}


def with_check(name: str, **changes: Any) -> dict[str, Any]:
    return {"checks": {**small.CHECKS, name: replace(small.CHECKS[name], **changes)}}


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({}, (False, False)),
        (with_cause("ring-missing", title="Other words"), (False, False)),
        (with_cause("ring-missing", minutes=3.0), (True, False)),
        (with_cause("charge-leak", minutes=3.0), (True, True)),
        (with_cause("flap-stuck", needs=()), (True, True)),
        (with_check("lamp", how=("Other words.",)), (False, False)),
        (with_check("lamp", minutes=3.0), (True, False)),
        # A row of a cause that an inner gate cannot have.
        (with_check("run", given={**small.CHECKS["run"].given, "ring-missing": {}}), (True, False)),
        (with_check("lamp", needs=("soft-bypass",)), (True, False)),
        (with_check("lamp", answers={"ring": "A ring", "dark": "None"}), (True, False)),
        (with_check("red-flags", danger={}), (True, True)),
        ({"causes": dict(reversed(small.CAUSES.items()))}, (True, True)),
        ({"policy": small.policy(conclude=0.9)}, (True, True)),
        ({"policy": small.policy(basis="Other words")}, (False, False)),
    ],
)
def test_what_touches_which_gate(changes: dict[str, Any], expected: tuple[bool, bool]) -> None:
    assert touched(**changes) == expected


def test_a_preparation_touches_the_cars_of_its_checks() -> None:
    work = small.knowledge().preparations["gate-off"]
    assert touched(preparations={"gate-off": replace(work, minutes=1.0)}) == (True, False)
    assert touched(preparations={"gate-off": replace(work, title="Other words")}) == (False, False)


def test_a_symptom_touches_those_that_complain_of_it() -> None:
    old = small.knowledge()
    causes = {**small.LAZY.causes, "ring-missing": 0.1}
    shows = Touched(
        old, small.knowledge(symptoms={**old.symptoms, "lazy": replace(small.LAZY, causes=causes)})
    )
    assert shows.car(OUTER, OUTER, ["lazy"])
    assert shows.car(OUTER, OUTER, ["overboost", "lazy"])
    assert not shows.car(OUTER, OUTER, ["overboost"])
    assert not shows.car(INNER, INNER, ["lazy"])
    # The order of the branches decides where several answers are given at once.
    hoses = small.LAZY.subtrees["hoses"]
    turned = replace(hoses, then=dict(reversed(hoses.then.items())))  # type: ignore[union-attr]
    lazy = replace(small.LAZY, subtrees={**small.LAZY.subtrees, "hoses": turned})
    tree = Touched(old, small.knowledge(symptoms={**old.symptoms, "lazy": lazy}))
    assert tree.car(INNER, INNER, ["lazy"])
    assert not tree.car(INNER, INNER, ["overboost"])


def test_a_car_with_other_parts_is_touched() -> None:
    same = Touched(small.knowledge(), small.knowledge())
    assert same.car(OUTER, OUTER | {"soft-bypass"}, ["lazy"])


def scrambled(value: Any) -> Any:
    """Another value of the same type for a field that nothing should read."""
    if isinstance(value, str):
        return "Other words."
    if isinstance(value, Mapping) or is_dataclass(value) or value is None:
        return {} if isinstance(value, Mapping) else None
    return ()


def without_unread(knowledge: Knowledge) -> Knowledge:
    """The knowledge with every field that is called unread scrambled."""
    changes: dict[str, Any] = {}
    for kind, field in {**FIELDS, "preparation": "preparations"}.items():
        changes[field] = {
            name: replace(entry, **{one: scrambled(getattr(entry, one)) for one in UNREAD[kind]})
            for name, entry in getattr(knowledge, field).items()
        }
    return replace(knowledge, **changes)


def test_what_is_called_unread_is_a_field() -> None:
    knowledge = small.knowledge()
    for kind, field in {**FIELDS, "preparation": "preparations"}.items():
        entry = next(iter(getattr(knowledge, field).values()))
        assert {one.name for one in fields(entry)} >= UNREAD[kind]


def test_no_case_reads_what_is_called_unread() -> None:
    loaded = load_with_cases([shipped_folder()])
    # One of every ten, of all topics.
    cases = dict(list(loaded.cases.items())[::10])
    blank = without_unread(loaded.knowledge)
    assert blank != loaded.knowledge
    before = outcomes(QuickConsultant(loaded.knowledge), cases)
    assert outcomes(QuickConsultant(blank), cases) == before
