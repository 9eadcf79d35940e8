"""Where entries name other entries, found by the types of the model's fields."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Annotated, Any, NamedTuple, get_args, get_origin, get_type_hints

from expert.model import OTHERWISE, Fork, Form, Ref

Path = tuple[str | int, ...]


class Named(NamedTuple):
    """An id that an entry names: the kind that it must be of, and the path to it in the entry."""

    kind: str
    id: str
    path: Path


def named_in(entry: Any) -> Iterator[Named]:
    """Every id that an entry names, in the order of its fields.

    A port and a branch of a fork name their part; an answer is no entry and names nothing.
    """
    yield from _record(entry, ())


@cache
def _hints(entry: Hashable) -> dict[str, Any]:
    hints: dict[str, Any] = get_type_hints(entry, include_extras=True)
    return hints


def _record(value: Any, path: Path) -> Iterator[Named]:
    hints = _hints(value.__class__)
    for field in fields(value):
        hint = hints[field.name]
        yield from _value(hint, getattr(value, field.name), (*path, field.name))


def _value(hint: Any, value: Any, path: Path) -> Iterator[Named]:
    if isinstance(value, Fork):
        for part, branch in value.has.items():
            if part != OTHERWISE:
                yield Named("part", part, (*path, "has", part))
            yield from _value(Any, branch, (*path, "has", part))
    elif is_dataclass(value):
        # What stands in a tree has several types; each of its nodes knows its own fields.
        yield from _record(value, path)
    elif isinstance(value, Mapping):
        key_hint, inner = _arguments(hint)
        for key, item in value.items():
            yield from _value(key_hint, key, (*path, key))
            yield from _value(inner, item, (*path, key))
    elif isinstance(value, tuple):
        (inner, *_) = _arguments(hint)
        for number, item in enumerate(value):
            yield from _value(inner, item, (*path, number))
    elif isinstance(value, str):
        yield from _text(hint, value, path)


def _text(hint: Any, value: str, path: Path) -> Iterator[Named]:
    for mark in _marks(hint):
        if isinstance(mark, Ref):
            yield Named(mark.kind, value, path)
        elif mark == Form("port"):
            yield Named("part", value.partition(".")[0], path)


def _marks(hint: Any) -> Iterator[Any]:
    """The marks of a type; those of each type that a field may have."""
    if get_origin(hint) is Annotated:
        yield from get_args(hint)[1:]
    elif get_origin(hint) is not None:
        for inner in get_args(hint):
            yield from _marks(inner)


def _arguments(hint: Any) -> tuple[Any, ...]:
    """What a mapping or a list holds; a field that may be left out has it inside."""
    if get_origin(hint) is Annotated:
        hint = get_args(hint)[0]
    if get_origin(hint) in (Mapping, tuple):
        return get_args(hint)
    return next((_arguments(one) for one in get_args(hint) if get_args(one)), (Any, Any))
