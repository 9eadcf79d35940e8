"""The report of ``gatepost knowledge diff``, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Final

from expert.loading.decode import yaml_key
from expert.loading.kinds import ALL_KINDS
from expert.workbench.changes import Change, FieldChange
from expert.workbench.diff import Came, CaseChange, Difference, Leaves, OpeningChange
from expert.workbench.diff_leaves import LeafChange, Way
from expert.workbench.sides import Side

# More answers that lead the same way are counted.
_MOST_ANSWERS: Final = 3
_MOST_CARS: Final = 6
_SORTS: Final = {
    "leaf": "another end",
    "other": "another check",
    "extra": "a check more",
    "dropped": "a check less",
}
_FIELDS: Final = {kind.name: kind.field for kind in ALL_KINDS}


def lines(found: Difference, old: Side, new: Side) -> Iterator[str]:
    """Everything that differs, then what comes of it."""
    differing = _counted(len(found.changes), "entry differs", "entries differ")
    yield f"From {old.name} to {new.name}: {differing}."
    kind = ""
    for change in found.changes:
        if change.kind != kind:
            kind = change.kind
            yield f"{_FIELDS[kind]}:"
        yield from _change(change, old, new)
    if not (found.changes or found.cases or found.leaves or found.openings):
        return
    yield ""
    yield from _cases(found, old, new)
    yield from _leaves(found, new)
    yield from _openings(found)


def field_line(change: FieldChange) -> str:
    """One value that differs, in words."""
    path = " ".join(yaml_key(step) for step in change.path)
    if change.old is None:
        return f"{path}: new, {change.new}"
    if change.new is None:
        return f"{path}: gone, was {change.old}"
    if change.words is not None:
        return f"{path}: {change.words}"
    weight = "" if change.decibans is None else f" ({change.decibans:+.1f} decibans)"
    return f"{path}: {change.old} -> {change.new}{weight}"


def _change(change: Change, old: Side, new: Side) -> Iterator[str]:
    side = old if change.what == "removed" else new
    yield f"  {side.place(change.kind, change.id)}: {change.what} {change.id}"
    for field in change.fields:
        place = new.place(change.kind, change.id, *field.path)
        yield f"    {place.line}:{place.column} {field_line(field)}"


def _cases(found: Difference, old: Side, new: Side) -> Iterator[str]:
    known = _counted(found.cases_known, "known case", "known cases")
    other = len(found.cases) or "none"
    yield (
        f"Cases: of {known} {found.cases_played} can be touched and were played; "
        f"{other} differ{'s' if other == 1 else ''}."
    )
    for case in found.cases:
        side = old if case.only == "old" else new
        only = f" (only in {side.name})" if case.only else ""
        yield f"  {side.place('case', case.id)}: {case.id}{only}: {case.title}"
        yield f"    before: {_came(case.before)}"
        yield f"    after:  {_came(case.after)}"
        yield from _asked(case)


def _came(came: Came | None) -> str:
    if came is None:
        return "the case does not fit"
    one = came.outcome
    end = f"named {one.named}" if one.named else "handed over"
    told = [f"{end} after {_counted(len(one.asked), 'check', 'checks')}", f"drive {one.drive}"]
    if one.wrong:
        told.append(f"named on the way: {', '.join(one.wrong)}")
    if one.doubtful:
        told.append(f"doubtful: {', '.join(one.doubtful)}")
    told.append(f"likeliest: {', '.join(one.first)}")
    if came.missed:
        told.append(f"misses: {', '.join(came.missed)}")
    return "; ".join(told)


def _asked(case: CaseChange) -> Iterator[str]:
    """Where what was asked parts, and how it goes on from there."""
    if case.before is None or case.after is None:
        return
    before = [check for check, _ in case.before.outcome.asked]
    after = [check for check, _ in case.after.outcome.asked]
    if before == after:
        return
    same = 0
    while same < min(len(before), len(after)) and before[same] == after[same]:
        same += 1
    yield (
        f"    after {_counted(same, 'check', 'checks')} it asked {_listed(before[same:])}; "
        f"now {_listed(after[same:])}"
    )


def _leaves(found: Difference, new: Side) -> Iterator[str]:
    yield f"Trees: {_counted(len(found.leaves), 'place', 'places')} where they part."
    for leaves in found.leaves:
        change = leaves.change
        place = leaf_place(change, new)
        below = f", {_counted(change.leaves, 'leaf', 'leaves')} below" if change.leaves > 1 else ""
        yield f"  {place}: {change.symptom}, {_SORTS[change.sort]}{below}"
        yield f"    way:    {_way(change.way)}"
        yield f"    before: {change.before}"
        yield f"    after:  {change.after}"
        yield f"    cars:   {_cars(leaves)}"


def leaf_place(change: LeafChange, new: Side) -> str:
    """Where the new tree stands at this place, as far as it goes."""
    return str(new.place("symptom", change.symptom, *(change.place or ())))


def _cars(leaves: Leaves) -> str:
    if not leaves.cars:
        return "all"
    more = len(leaves.cars) - _MOST_CARS
    shown = "; ".join(leaves.cars[:_MOST_CARS])
    return f"{shown}; and {more} more" if more > 0 else shown


def _way(way: Way) -> str:
    return ", ".join(f"{check} {_answers(answers)}" for check, answers in way) or "the first check"


def _answers(answers: Sequence[str]) -> str:
    more = len(answers) - _MOST_ANSWERS
    shown = "|".join(answers[:_MOST_ANSWERS])
    return f"{shown}|{more} more" if more > 0 else shown


def _openings(found: Difference) -> Iterator[str]:
    yield f"First questions: {len(found.openings) or 'none'} changed."
    for one in found.openings:
        gate = f", {one.gate} gate" if one.gate else ""
        yield f"  {one.symptom} on {one.setup}{gate}:"
        if one.before.first != one.after.first:
            yield f"    first: {one.before.first} -> {one.after.first}"
        if one.before.after_history != one.after.after_history:
            yield f"    after the history: {one.before.after_history} -> {one.after.after_history}"


def _listed(names: Sequence[str]) -> str:
    return ", ".join(names) or "nothing more"


def _counted(count: int, one: str, many: str) -> str:
    return f"{count or 'no'} {one if count == 1 else many}"


def diff_json(found: Difference, old: Side, new: Side) -> dict[str, Any]:
    """The same as one object."""
    return {
        "format": 1,
        "old": {"name": old.name, "digest": old.loaded.knowledge.digest},
        "new": {"name": new.name, "digest": new.loaded.knowledge.digest},
        "changes": [_change_json(change, old, new) for change in found.changes],
        "cases_known": found.cases_known,
        "cases_played": found.cases_played,
        "cases": [_case_json(case, old, new) for case in found.cases],
        "leaves": [_leaf_json(leaves, new) for leaves in found.leaves],
        "first_questions": [_opening_json(one) for one in found.openings],
    }


def _change_json(change: Change, old: Side, new: Side) -> dict[str, Any]:
    side = old if change.what == "removed" else new
    return {
        "kind": change.kind,
        "id": change.id,
        "what": change.what,
        "place": str(side.place(change.kind, change.id)),
        "fields": [
            {
                "place": str(new.place(change.kind, change.id, *field.path)),
                **field_json(field),
            }
            for field in change.fields
        ],
    }


def field_json(field: FieldChange) -> dict[str, Any]:
    """One value that differs, as in the object."""
    return {
        "path": [yaml_key(step) for step in field.path],
        "old": field.old,
        "new": field.new,
        "words": field.words,
        "decibans": field.decibans,
    }


def _case_json(case: CaseChange, old: Side, new: Side) -> dict[str, Any]:
    side = old if case.only == "old" else new
    return {
        "id": case.id,
        "place": str(side.place("case", case.id)),
        "title": case.title,
        "only": case.only,
        "before": _came_json(case.before),
        "after": _came_json(case.after),
    }


def _came_json(came: Came | None) -> dict[str, Any] | None:
    if came is None:
        return None
    one = came.outcome
    return {
        "named": one.named,
        "asked": [check for check, _ in one.asked],
        "drive": one.drive,
        "doubtful": list(one.doubtful),
        "first": list(one.first),
        "wrong": list(one.wrong),
        "misses": list(came.missed),
    }


def _leaf_json(leaves: Leaves, new: Side) -> dict[str, Any]:
    change = leaves.change
    return {
        "symptom": change.symptom,
        "place": leaf_place(change, new),
        "sort": change.sort,
        "way": [{"check": check, "answers": list(answers)} for check, answers in change.way],
        "before": change.before,
        "after": change.after,
        "leaves": change.leaves,
        "cars": list(leaves.cars),
    }


def _opening_json(one: OpeningChange) -> dict[str, Any]:
    return {
        "symptom": one.symptom,
        "setup": one.setup,
        "gate": one.gate,
        "before": {"first": one.before.first, "after_history": one.before.after_history},
        "after": {"first": one.after.first, "after_history": one.after.after_history},
    }
