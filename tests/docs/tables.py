"""The tables that docs/knowledge.md takes from the model, word for word.

``python -m tests.docs.tables`` writes them into the page anew.
"""

from __future__ import annotations

import re
import types
from collections.abc import Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from typing import Annotated, Any, Final, Literal, Union, get_args, get_origin, get_type_hints

from expert import model
from expert.loading.decode import yaml_key
from expert.loading.kinds import ALL_KINDS
from expert.model import FEATURES, Form, Ref
from tests.docs.pages import KNOWLEDGE, text_of

RECORDS: Final[Mapping[str, Any]] = {
    record.__name__: record
    for record in (
        model.Tool,
        model.Caution,
        model.Preparation,
        model.Part,
        model.Plumbing,
        model.Hose,
        model.Cause,
        model.Seen,
        model.Check,
        model.Measure,
        model.Symptom,
        model.LogChannel,
        model.MoreNames,
        model.LogReading,
        model.Bounds,
        model.KnownCase,
        model.Expected,
        model.Policy,
        model.Column,
        model.Slip,
    )
}
FORM_WORDS: Final = {
    "prose": "text",
    "phrase": "phrase",
    "name": "name of a column",
    "probability": "probability",
    "positive": "number over 0",
    "count": "whole number over 0",
    "answers": "answer, or a list of them",
    "nonnegative": "number of 0 or more",
    "signed": "number",
    "weight": "`common`, `occasional`, `rare` or number over 0",
    "id": "id",
    "port": "part.port",
    "feature": "measured value",
    "threshold": "number or `overboost-margin`",
}
PART = re.compile(r"(<!-- table: (?P<name>[\w ]+) -->\n).*?(<!-- end -->)", re.DOTALL)


def value_words(hint: Any) -> str:
    """What a key takes, in the words of the page."""
    origin, arguments = get_origin(hint), get_args(hint)
    if origin is Annotated:
        mark: Ref | Form = arguments[1]
        return f"id of a {mark.kind}" if isinstance(mark, Ref) else FORM_WORDS[mark.name]
    if origin is Literal:
        *most, last = (f"`{word}`" for word in arguments)
        return f"{', '.join(most)} or {last}"
    if origin is tuple:
        return f"list: {value_words(arguments[0])}"
    if origin is Mapping:
        key, value = (value_words(argument) for argument in arguments)
        return f"mapping: {key} → ({value})" if "→" in value else f"mapping: {key} → {value}"
    if origin in (Union, types.UnionType):
        members = [member for member in arguments if member is not type(None)]
        return value_words(members[0]) if len(members) == 1 else "tree"
    if hint is bool:
        return "`true` or `false`"
    assert is_dataclass(hint), hint
    assert isinstance(hint, type)
    return f"keys of {spoken(hint.__name__)}"


def spoken(name: str) -> str:
    """The name of a class in words: KnownCase is known case."""
    return re.sub(r"(?<=[a-z])(?=[A-Z])", " ", name).lower()


def must(item: Field[Any]) -> str:
    """Whether a key must be there, and what holds when it is not."""
    if item.default is MISSING and item.default_factory is MISSING:
        return "yes"
    if isinstance(item.default, bool):
        return f"no (`{str(item.default).lower()}`)"
    return f"no (`{item.default}`)" if isinstance(item.default, str) else "no"


def key_table(record: Any) -> str:
    hints = get_type_hints(record, include_extras=True)
    lines = ["| Key | Needed | Value | Meaning |", "|---|---|---|---|"]
    for item in fields(record):
        cells = (
            f"`{yaml_key(item.name)}`",
            must(item),
            value_words(hints[item.name]),
            item.metadata["description"],
        )
        lines.append(f"| {' | '.join(cells)} |")
    return "\n".join(lines)


def home_table() -> str:
    lines = ["| Place | One file holds | Keys | Schema |", "|---|---|---|---|"]
    for kind in ALL_KINDS:
        folder = kind.in_folder and not kind.home.startswith("*")
        place = f"`{kind.home}/`" if folder else f"`{kind.home}`"
        if not kind.alone:
            holds = f"{kind.field}, each under its id"
        elif kind.in_folder:
            holds = f"one {kind.name}; the name of the file is its id"
        else:
            holds = f"the {kind.name}"
        record = spoken(kind.entry.__name__)
        anchor = record.replace(" ", "-")
        lines.append(f"| {place} | {holds} | [{record}](#{anchor}) | `{kind.schema}.json` |")
    return "\n".join(lines)


def feature_table() -> str:
    lines = ["| Value | What it is |", "|---|---|"]
    lines += [f"| `{name}` | {words[0].upper()}{words[1:]}. |" for name, words in FEATURES.items()]
    return "\n".join(lines)


def table(name: str) -> str:
    special = {"homes": home_table, "features": feature_table}
    return special[name]() if name in special else key_table(RECORDS[name])


def refreshed(text: str) -> str:
    """The page with every generated table as it should be."""
    return PART.sub(lambda part: f"{part[1]}{table(part['name'])}\n{part[3]}", text)


if __name__ == "__main__":
    KNOWLEDGE.write_text(refreshed(text_of(KNOWLEDGE)), encoding="utf-8")
