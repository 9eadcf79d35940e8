"""The report of ``gatepost knowledge show``, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Final

from expert.errors import Place
from expert.loading.decode import yaml_key
from expert.workbench.changes import FieldChange
from expert.workbench.show_entry import Earlier, Mention, Row, Shown

# A text that was not there before, or is not there any more.
_NOTHING: Final = "nothing"
_ENDS: Final = ("expect", "cause")


def lines(one: Shown) -> Iterator[str]:
    """One entry with its provenance, its text, and what it takes part in."""
    yield f"{_spot(one.place)}: {one.kind} {one.id}, from the folder {one.folder}"
    for earlier in one.earlier:
        yield from _earlier(earlier)
    yield ""
    yield from one.text.split("\n")
    yield from _part("In the trees", [f"{_mention(each)}" for each in one.trees])
    yield from _part(
        "Shown as a complaint",
        [
            f"{_spot(each.place)}: {each.symptom}, by {each.share:g} of the cars with {each.cause}"
            for each in one.complaints
        ],
    )
    yield from _part("How checks answer", [line for row in one.rows for line in _row(row)])
    cautions = [f"{name}: {each.signal}: {each.text}" for name, each in one.cautions.items()]
    yield from _part("Cautions", cautions)
    ends = [each for each in one.cases if each.path == _ENDS]
    told = [each for each in one.cases if each.path != _ENDS]
    yield from _part("Known cases that end at it", [f"{_spot(e.place)}: {e.id}" for e in ends])
    yield from _part("Known cases that name it", [_mention(each) for each in told])
    yield from _part("Named elsewhere", [_mention(each) for each in one.others])


def _part(heading: str, items: Sequence[str]) -> Iterator[str]:
    if items:
        yield ""
        yield f"{heading}:"
        yield from (f"  {item}" for item in items)


def _earlier(earlier: Earlier) -> Iterator[str]:
    same = "" if earlier.differs else ", which says the same"
    yield f"  overrides {_spot(earlier.place)}{same}"
    for change in earlier.differs:
        yield f"    {field_words(change)}"


def field_words(change: FieldChange) -> str:
    """One field that differs, in a line."""
    path = way(change.path)
    if change.words is not None:
        return f"{path}: {change.words}"
    weight = "" if change.decibans is None else f" ({change.decibans:+.1f} dB)"
    old, new = (_NOTHING if side is None else side for side in (change.old, change.new))
    return f"{path}: {old} -> {new}{weight}"


def way(path: Sequence[str | int]) -> str:
    """A path inside an entry, as keys in its file; positions in lists are left out."""
    return " / ".join(yaml_key(step) for step in path if isinstance(step, str))


def _mention(each: Mention) -> str:
    return f"{_spot(each.place)}: {each.kind} {each.id}, {way(each.path)}"


def _row(row: Row) -> Iterator[str]:
    yield f"{_spot(row.place)}: {row.check}, with {row.cause}"
    for one in row.shares:
        yield (
            f"    {one.answer:24} {one.share:6.3f} of them, {one.healthy:6.3f} of sound cars, "
            f"{one.decibans:+6.1f} dB"
        )


def _spot(place: Place) -> str:
    return f"{place.file}:{place.line}"


def show_json(entries: Sequence[Shown]) -> dict[str, Any]:
    """All entries as one object."""
    return {"format": 1, "entries": [_entry(one) for one in entries]}


def _entry(one: Shown) -> dict[str, Any]:
    return {
        "kind": one.kind,
        "id": one.id,
        "place": str(one.place),
        "folder": one.folder,
        "text": one.text,
        "overrides": [
            {
                "place": str(earlier.place),
                "differs": [_field(change) for change in earlier.differs],
            }
            for earlier in one.earlier
        ],
        "trees": [
            {"symptom": each.id, "path": way(each.path), "place": str(each.place)}
            for each in one.trees
        ],
        "complaints": [
            {
                "symptom": each.symptom,
                "cause": each.cause,
                "share": each.share,
                "place": str(each.place),
            }
            for each in one.complaints
        ],
        "checks": [
            {
                "check": row.check,
                "cause": row.cause,
                "place": str(row.place),
                "answers": [
                    {
                        "answer": share.answer,
                        "share": round(share.share, 6),
                        "healthy": round(share.healthy, 6),
                        "decibans": round(share.decibans, 2),
                    }
                    for share in row.shares
                ],
            }
            for row in one.rows
        ],
        "cautions": [
            {"id": name, "signal": each.signal, "text": each.text}
            for name, each in one.cautions.items()
        ],
        "cases": [
            {
                "id": each.id,
                "path": way(each.path),
                "ends": each.path == _ENDS,
                "place": str(each.place),
            }
            for each in one.cases
        ],
        "others": [
            {"kind": each.kind, "id": each.id, "path": way(each.path), "place": str(each.place)}
            for each in one.others
        ],
    }


def _field(change: FieldChange) -> dict[str, Any]:
    return {
        "path": way(change.path),
        "before": change.old,
        "after": change.new,
        "decibans": change.decibans,
    }
