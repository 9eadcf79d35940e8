"""Nodes to the frozen model, by the type that each field of the model expects.

A decoder is compiled once for each type. It notes every mistake in the ``Reading`` and goes on
with a blank value, so that one pass finds them all; what it returns is only used when the file
has no mistakes, or to find further mistakes that do not follow from the first.
"""

from __future__ import annotations

import types
from collections.abc import Callable, Mapping
from dataclasses import MISSING, dataclass, fields, is_dataclass
from functools import cache
from typing import Annotated, Any, Final, Literal, Union, get_args, get_origin, get_type_hints

from yaml import MappingNode, Node, ScalarNode, SequenceNode

from expert.loading.forms import FORMS, MisformedError, answer, plain
from expert.loading.nearest import nearest
from expert.loading.reading import Reading, listed, quoted
from expert.model import Form, Prose, Ref

Read = Callable[[Node, Reading], Any]

# What a form wants, where that is not a number.
_WANTED: Final[Mapping[str, str]] = {
    "prose": "a text",
    "phrase": "a phrase of a message",
    "name": "the name of a column",
    "id": "an id",
    "port": "a port",
    "weight": "a word or a number over 0",
    "feature": "a measured value",
}


@dataclass(frozen=True, slots=True)
class Decoder:
    """How one type is read from a node, and what stands for it where it cannot be."""

    read: Read
    blank: Callable[[], Any]


def yaml_key(name: str) -> str:
    """The key in a file for a field of the model: ``from_`` is from, ``up_to`` is up-to."""
    return name.rstrip("_").replace("_", "-")


@cache
def decoder(hint: Any) -> Decoder:
    """The decoder for a type of the model."""
    origin = get_origin(hint)
    arguments = get_args(hint)
    if origin is Annotated:
        return _annotated(*arguments)
    if origin is Literal:
        return _choice({word: word for word in arguments})
    if origin is tuple:
        return _list(decoder(arguments[0]), unique=arguments[0] != Prose)
    if origin is Mapping:
        return _mapping(*arguments)
    if origin in (Union, types.UnionType):
        return _union([member for member in arguments if member is not type(None)])
    if hint is bool:
        return _choice({"true": True, "false": False})
    if hint is str:
        return _annotated(str, Form("plain"))
    if is_dataclass(hint):
        return _record(hint)
    raise TypeError(f"no decoder for {hint!r}")


def first_key(record: Any) -> str:
    """The first key of a mapping that becomes this record."""
    return yaml_key(fields(record)[0].name)


def kind_of(node: Node) -> str:
    """What a node is, in the words of someone who writes the file."""
    if isinstance(node, MappingNode):
        return "a mapping (key: value)" if node.value else "an empty mapping"
    if isinstance(node, SequenceNode):
        return "a list"
    return f"the text {quoted(node.value)}" if node.value else "nothing"


def _annotated(base: Any, mark: Ref | Form) -> Decoder:
    if isinstance(mark, Ref):
        return _reference(mark.kind)
    if mark.name == "plain":
        return _scalar(plain, "a text", "")
    if mark.name == "answers":
        return _one_or_several(answer)
    blank = {float: 0.0, int: 1}.get(base, "")
    return _scalar(FORMS[mark.name], _WANTED.get(mark.name, "a number"), blank)


def _scalar(form: Callable[[str], Any], wanted: str, blank: Any) -> Decoder:
    def read(node: Node, reading: Reading) -> Any:
        if node.__class__ is not ScalarNode:
            reading.add(node, f"found {kind_of(node)}; expected {wanted}")
            return blank
        try:
            return form(node.value)
        except MisformedError as problem:
            found = f"found {quoted(node.value)}; " if node.value.strip() else ""
            reading.add(node, f"{found}{problem}")
            return blank

    return Decoder(read, lambda: blank)


def _one_or_several(form: Callable[[str], str]) -> Decoder:
    """A text or a list of texts, as a tuple either way."""
    one = _scalar(form, "an answer or a list of answers", "")
    several = _list(one, unique=True)

    def read(node: Node, reading: Reading) -> tuple[str, ...]:
        if node.__class__ is not SequenceNode:
            return (one.read(node, reading),)
        if not node.value:
            reading.add(node, "found an empty list; expected an answer, or unknown")
        result: tuple[str, ...] = several.read(node, reading)
        return result

    return Decoder(read, tuple)


def _reference(kind: str) -> Decoder:
    def read(node: Node, reading: Reading) -> str:
        if node.__class__ is not ScalarNode:
            reading.add(node, f"found {kind_of(node)}; expected the id of a {kind}")
            return ""
        reading.refs[kind].append(node)
        text: str = node.value
        return text

    return Decoder(read, str)


def _choice(words: Mapping[str, Any]) -> Decoder:
    blank = next(iter(words.values()))

    def read(node: Node, reading: Reading) -> Any:
        if node.__class__ is ScalarNode and node.value in words:
            return words[node.value]
        close = nearest(node.value, words) if isinstance(node, ScalarNode) else None
        hint = f"; did you mean '{close}'?" if close else ""
        reading.add(node, f"found {kind_of(node)}; expected one of {listed(words)}{hint}")
        return blank

    return Decoder(read, lambda: blank)


def _list(item: Decoder, unique: bool) -> Decoder:
    item_read = item.read

    def read(node: Node, reading: Reading) -> tuple[Any, ...]:
        if node.__class__ is not SequenceNode:
            reading.add(node, f"found {kind_of(node)}; expected a list")
            return ()
        result = tuple([item_read(element, reading) for element in node.value])
        if unique and len(set(result)) != len(result):
            _report_repeated(node.value, reading)
        return result

    return Decoder(read, tuple)


def _report_repeated(elements: list[Node], reading: Reading) -> None:
    seen: set[str] = set()
    for element in elements:
        if element.__class__ is ScalarNode:
            if element.value in seen:
                reading.add(element, f"{quoted(element.value)} is in this list twice")
            seen.add(element.value)


def _mapping(key_hint: Any, value_hint: Any) -> Decoder:
    key_read = decoder(key_hint).read
    # A tree holds trees: its decoder is looked up when one is read, not while it is made.
    value_read = decoder(value_hint).read
    every_key = get_args(key_hint) if get_origin(key_hint) is Literal else ()

    def read(node: Node, reading: Reading) -> dict[Any, Any]:
        if node.__class__ is not MappingNode:
            reading.add(node, f"found {kind_of(node)}; expected a mapping (key: value)")
            return {}
        result = {key_read(key, reading): value_read(value, reading) for key, value in node.value}
        if len(result) != len(node.value):
            report_duplicates(node, reading)
        for key in every_key:
            if key not in result:
                reading.add(node, f"'{key}' is missing here; add it")
        return result

    return Decoder(read, dict)


def _union(members: list[Any]) -> Decoder:
    if len(members) == 1:
        return Decoder(decoder(members[0]).read, lambda: None)
    # Each kind of tree node is known by its first key; a text alone is the name of a subtree.
    by_key = {yaml_key(fields(member)[0].name): member for member in members}
    named = members[-1]

    def read(node: Node, reading: Reading) -> Any:
        if node.__class__ is ScalarNode and node.value:
            return named(node.value)
        if node.__class__ is MappingNode:
            for key, _ in node.value:
                if key.__class__ is ScalarNode and key.value in by_key:
                    return decoder(by_key[key.value]).read(node, reading)
        wanted = f"expected a mapping with {_either(by_key)}, or the name of a subtree"
        reading.add(node, f"found {kind_of(node)}; {wanted}")
        return named("")

    return Decoder(read, lambda: named(""))


def _either(names: Mapping[str, Any]) -> str:
    *most, last = (f"'{name}:'" for name in names)
    return f"{', '.join(most)} or {last}"


def _record(cls: Any) -> Decoder:
    hints = get_type_hints(cls, include_extras=True)
    parts = {yaml_key(item.name): (item.name, decoder(hints[item.name])) for item in fields(cls)}
    reads = {key: (name, part.read) for key, (name, part) in parts.items()}
    required = {
        item.name: parts[yaml_key(item.name)][1].blank
        for item in fields(cls)
        if item.default is MISSING and item.default_factory is MISSING
    }
    required_names = required.keys()

    def blank() -> Any:
        return cls(**{name: make() for name, make in required.items()})

    def read(node: Node, reading: Reading) -> Any:
        if node.__class__ is not MappingNode:
            reading.add(node, f"found {kind_of(node)}; expected a mapping with {listed(parts)}")
            return blank()
        values: dict[str, Any] = {}
        misspelt: set[str | None] = set()
        for key, value in node.value:
            part = reads.get(key.value) if key.__class__ is ScalarNode else None
            if part is None:
                misspelt.add(_report_key(key, parts, reading))
                continue
            name, part_read = part
            values[name] = part_read(value, reading)
        if len(values) != len(node.value):
            report_duplicates(node, reading)
        if not required_names <= values.keys():
            for name, make in required.items():
                if name not in values:
                    values[name] = make()
                    if yaml_key(name) not in misspelt:
                        reading.add(node, f"'{yaml_key(name)}' is missing here; add it")
        return cls(**values)

    return Decoder(read, blank)


def _report_key(key: Node, parts: Mapping[str, Any], reading: Reading) -> str | None:
    """Note a key that is not known; the key that was probably meant."""
    if key.__class__ is not ScalarNode:
        reading.add(key, f"found {kind_of(key)} as a key; expected one of {listed(parts)}")
        return None
    reading.add_unknown(key, "the key", parts)
    return nearest(key.value, parts)


def report_duplicates(node: Node, reading: Reading) -> None:
    """Note every key of a mapping that was there before."""
    first: dict[str, Node] = {}
    for key, _ in node.value:
        if key.__class__ is ScalarNode:
            before = first.setdefault(key.value, key)
            if before is not key:
                line = before.start_mark.line + 1
                reading.add(key, f"the key {quoted(key.value)} is here twice; see line {line}")
