"""Every text of the knowledge that people read, and where it stands."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Annotated, Any, Final, NamedTuple, get_args, get_origin, get_type_hints

from expert.model import Form, Knowledge, KnownCase

Path = tuple[str | int, ...]

KINDS: Final[Mapping[str, str]] = {
    "tool": "tools",
    "caution": "cautions",
    "preparation": "preparations",
    "part": "parts",
    "setup": "setups",
    "bypass": "bypasses",
    "cause": "causes",
    "check": "checks",
    "symptom": "symptoms",
}


class Written(NamedTuple):
    """One text: the entry it is in, the path to it inside that, and the text."""

    kind: str
    name: str
    path: Path
    text: str

    @property
    def field(self) -> str:
        """The field of the entry, by its name in the model."""
        return str(self.path[0])


def written(knowledge: Knowledge, cases: Mapping[str, KnownCase]) -> Iterator[Written]:
    """Every text of every entry and case, in the order of the files."""
    for kind, field in KINDS.items():
        for name, entry in getattr(knowledge, field).items():
            for path, text in texts_of(entry):
                yield Written(kind, name, path, text)
    for name, case in cases.items():
        for path, text in texts_of(case):
            yield Written("case", name, path, text)


def texts_of(entry: Any) -> Iterator[tuple[Path, str]]:
    """The texts of one entry, each with the path to it."""
    for name, shape in shapes(entry.__class__):
        value = getattr(entry, name)
        if shape == "text":
            yield (name,), value
        elif shape == "list":
            for index, text in enumerate(value):
                yield (name, index), text
        elif shape == "mapping":
            for key, text in value.items():
                yield (name, key), text
        else:
            for key, inner in value.items():
                for path, text in texts_of(inner):
                    yield (name, key, *path), text


@cache
def shapes(record: Any) -> tuple[tuple[str, str], ...]:
    """The fields of a class that hold texts, and how: text, list, mapping, or entries of texts."""
    hints = get_type_hints(record, include_extras=True)
    found = ((item.name, _shape(hints[item.name])) for item in fields(record))
    return tuple((name, shape) for name, shape in found if shape)


def _shape(hint: Any) -> str:
    if _is_prose(hint):
        return "text"
    arguments = get_args(hint)
    if get_origin(hint) is tuple and _is_prose(arguments[0]):
        return "list"
    if get_origin(hint) is Mapping:
        if _is_prose(arguments[1]):
            return "mapping"
        if is_dataclass(arguments[1]):
            return "entries"
    return ""


def _is_prose(hint: Any) -> bool:
    return get_origin(hint) is Annotated and get_args(hint)[1] == Form("prose")
