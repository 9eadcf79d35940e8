"""What differs between two states of the knowledge, entry by entry and field by field."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from math import log10
from typing import Annotated, Any, Final, Literal, get_args, get_origin, get_type_hints

from expert.loading.decode import yaml_key
from expert.loading.folder import Loaded
from expert.loading.kinds import ALL_KINDS, CASE, POLICY, Kind
from expert.model import PROBABILITY_WORDS, Ask, Fork, Form, Go, Suspect
from expert.workbench.worddiff import word_diff

What = Literal["added", "removed", "changed"]
Path = tuple[str, ...]

_WORDS: Final = {share: word for word, share in PROBABILITY_WORDS.items()}
# Of these fields the order of the keys has a meaning.
_ORDERED: Final = frozenset({"answers", "up_to", "then", "has"})
_TEXTS: Final = frozenset({"prose"})


@dataclass(frozen=True, slots=True)
class FieldChange:
    """One value that differs: the path to it as in the model, and both sides in words.

    A side is None where there is no such value. ``words`` is a word diff where both are texts,
    and ``decibans`` the change of a likelihood, where both are over 0.
    """

    path: Path
    old: str | None
    new: str | None
    words: str | None = None
    decibans: float | None = None


@dataclass(frozen=True, slots=True)
class Change:
    """One entry that differs; ``fields`` is empty unless it is on both sides."""

    kind: str
    id: str
    what: What
    fields: tuple[FieldChange, ...] = ()


def entries_of(loaded: Loaded, kind: Kind) -> Mapping[str, Any]:
    """All entries of a kind, by id."""
    if kind is CASE:
        return loaded.cases
    if kind.name == POLICY:
        return {POLICY: loaded.knowledge.policy}
    found: Mapping[str, Any] = getattr(loaded.knowledge, kind.field)
    return found


def changes(old: Loaded, new: Loaded) -> list[Change]:
    """Every entry that differs, by kind; within one the new order, then what was removed."""
    found: list[Change] = []
    for kind in ALL_KINDS:
        before, after = entries_of(old, kind), entries_of(new, kind)
        for name, entry in after.items():
            if name not in before:
                found.append(Change(kind.name, name, "added"))
            elif differing := field_changes(before[name], entry):
                found.append(Change(kind.name, name, "changed", differing))
        found += [Change(kind.name, name, "removed") for name in before if name not in after]
    return found


def field_changes(old: Any, new: Any) -> tuple[FieldChange, ...]:
    """The values that differ between two entries of one kind."""
    return () if old is new else tuple(_record(old, new, ()))


def worded(value: float) -> str:
    """A probability as its word, if it has one, and as a number."""
    word = _WORDS.get(value)
    return f"{value:g}" if word is None else f"{word} ({value:g})"


@cache
def _hints(entry: Hashable) -> dict[str, Any]:
    hints: dict[str, Any] = get_type_hints(entry, include_extras=True)
    return hints


def _record(old: Any, new: Any, path: Path) -> Iterator[FieldChange]:
    for field in fields(old):
        one, other = getattr(old, field.name), getattr(new, field.name)
        yield from _value(_hints(old.__class__)[field.name], one, other, (*path, field.name))


def _value(hint: Any, old: Any, new: Any, path: Path) -> Iterator[FieldChange]:
    if isinstance(old, Mapping) and isinstance(new, Mapping):
        yield from _mapping(hint, old, new, path)
    elif isinstance(old, (Ask, Fork, Suspect, Go)) and isinstance(new, (Ask, Fork, Suspect, Go)):
        yield from _tree(old, new, path)
    elif is_dataclass(old) and type(old) is type(new):
        yield from _record(old, new, path)
    elif old != new:
        yield _changed(hint, old, new, path)


def _mapping(
    hint: Any, old: Mapping[str, Any], new: Mapping[str, Any], path: Path
) -> Iterator[FieldChange]:
    inner = _inner(hint)
    for key, value in new.items():
        if key in old:
            yield from _value(inner, old[key], value, (*path, key))
        else:
            yield from _one_sided(inner, None, value, (*path, key))
    for key, value in old.items():
        if key not in new:
            yield from _one_sided(inner, value, None, (*path, key))
    shared = [key for key in old if key in new]
    if path[-1] in _ORDERED and shared != [key for key in new if key in old]:
        yield FieldChange((*path, "order"), ", ".join(old), ", ".join(new))


def _inner(hint: Any) -> Any:
    """The type of what stands behind the keys of a mapping."""
    arguments = get_args(hint)
    return arguments[1] if len(arguments) == 2 else Any


def _one_sided(hint: Any, old: Any, new: Any, path: Path) -> Iterator[FieldChange]:
    """A key that only one side has; a row is told value by value."""
    value = old if new is None else new
    if isinstance(value, Mapping):
        for key, inner in value.items():
            before, after = (None, inner) if old is None else (inner, None)
            yield from _one_sided(_inner(hint), before, after, (*path, key))
    else:
        yield _changed(hint, old, new, path)


def _tree(old: Any, new: Any, path: Path) -> Iterator[FieldChange]:
    """Nodes that ask the same are compared branch by branch; others are told as a whole."""
    if isinstance(old, Ask) and isinstance(new, Ask) and old.check == new.check:
        yield from _mapping(Any, old.then, new.then, (*path, "then"))
    elif isinstance(old, Fork) and isinstance(new, Fork):
        yield from _mapping(Any, old.has, new.has, (*path, "has"))
    elif old != new:
        yield FieldChange(path, node_words(old), node_words(new))


def node_words(node: Any) -> str:
    """A node of a tree in a few words."""
    match node:
        case Ask(check):
            return f"asks {check}"
        case Suspect(suspect):
            return f"suspects {', '.join(suspect)}"
        case Go(subtree):
            return f"goes on at {subtree}"
        case Fork(has):
            return f"branches on {', '.join(has)}"
    return str(node)


def _changed(hint: Any, old: Any, new: Any, path: Path) -> FieldChange:
    form = _form(hint)
    one, other = _told(form, old), _told(form, new)
    words = decibans = None
    if form in _TEXTS and old is not None and new is not None:
        words = word_diff(old, new)
    if form == "probability" and _is_likelihood(path) and old and new:
        decibans = 10.0 * log10(new / old)
    return FieldChange(path, one, other, words, decibans)


def _is_likelihood(path: Path) -> bool:
    """Is it the share of cars, with a cause or sound, that show something?"""
    return path[0] in ("given", "healthy", "causes")


def _form(hint: Any) -> str | None:
    if get_origin(hint) is Annotated:
        return next((mark.name for mark in get_args(hint)[1:] if isinstance(mark, Form)), None)
    return None


def _told(form: str | None, value: Any) -> str | None:
    if value is None:
        return None
    if form == "probability":
        return worded(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, tuple):
        return ", ".join(str(item) for item in value) or "none"
    if isinstance(value, (Ask, Fork, Suspect, Go)):
        return node_words(value)
    if is_dataclass(value):
        inner = ((yaml_key(field.name), getattr(value, field.name)) for field in fields(value))
        return ", ".join(f"{key} {_told(None, one)}" for key, one in inner if one is not None)
    if isinstance(value, Mapping):
        return ", ".join(f"{key} {_told(None, one)}" for key, one in value.items()) or "none"
    return str(value)
