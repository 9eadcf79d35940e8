"""JSON Schema (draft-07) for each kind of knowledge file, so that editors help while one types.

Generated from the types and descriptions of the model. ``python -m expert.loading.schema`` says
whether the shipped files are up to date; with ``--write DIR`` it writes them.
"""

from __future__ import annotations

import argparse
import json
import sys
import types
from collections.abc import Mapping, Sequence
from dataclasses import MISSING, fields, is_dataclass
from pathlib import Path
from typing import Annotated, Any, Final, Literal, Union, get_args, get_origin, get_type_hints

from expert.errors import EXIT_DONE, EXIT_PROBLEMS, MissingError
from expert.loading.decode import yaml_key
from expert.loading.folder import shipped_folder
from expert.loading.forms import (
    AS_DESIGNED,
    ID,
    LONGEST_ID,
    LONGEST_NAME,
    OVERBOOST_MARGIN,
    RESERVED,
)
from expert.loading.kinds import ALL_KINDS, SCHEMA_FOLDER, Kind
from expert.model import FEATURES, PROBABILITY_WORDS, Form, Frequency, Prose, Ref

Schema = dict[str, Any]

_DRAFT: Final = "http://json-schema.org/draft-07/schema#"
_ID_SCHEMA: Final[Schema] = {
    "type": "string",
    "pattern": f"^{ID}$",
    "maxLength": LONGEST_ID,
    "not": {"enum": sorted(RESERVED)},
}
_CAUSE_ID_SCHEMA: Final[Schema] = {"type": "string", "pattern": f"^(?:{AS_DESIGNED})?{ID}$"}
_FORM_SCHEMAS: Final[Mapping[str, Schema]] = {
    "prose": {"type": "string", "pattern": r"^\s*\S.*\s*$"},
    "phrase": {"type": "string", "pattern": r"^\s*[^\s.].*$"},
    "name": {"type": "string", "pattern": r"\S", "maxLength": LONGEST_NAME},
    "probability": {
        "anyOf": [{"type": "number", "minimum": 0, "maximum": 1}, {"enum": [*PROBABILITY_WORDS]}]
    },
    "positive": {"type": "number", "exclusiveMinimum": 0},
    "weight": {
        "anyOf": [
            {"enum": list(get_args(Frequency))},
            {"type": "number", "exclusiveMinimum": 0},
        ]
    },
    "count": {"type": "integer", "minimum": 1},
    "answers": {
        "anyOf": [
            {"type": "string", "pattern": f"^{ID}$"},
            {
                "type": "array",
                "items": {"type": "string", "pattern": f"^{ID}$"},
                "minItems": 1,
                "uniqueItems": True,
            },
        ]
    },
    "nonnegative": {"type": "number", "minimum": 0},
    "signed": {"type": "number"},
    "id": _ID_SCHEMA,
    "port": {"type": "string", "pattern": rf"^{ID}\.{ID}$"},
    "feature": {"enum": [*FEATURES]},
    "threshold": {"anyOf": [{"type": "number"}, {"enum": [OVERBOOST_MARGIN]}]},
}


def file_schema(kind: Kind) -> Schema:
    """The schema of a file of a kind."""
    definitions: dict[str, Schema] = {}
    entry = _type_schema(kind.entry, definitions)
    if kind.more is not None:
        entry = {"anyOf": [entry, _type_schema(kind.more, definitions)]}
    if kind.alone:
        body: Schema = {"allOf": [entry]}
    else:
        names = _CAUSE_ID_SCHEMA if kind.name == "cause" else _ID_SCHEMA
        body = {
            "type": "object",
            "propertyNames": names,
            "additionalProperties": entry,
        }
    title = f"A knowledge file: {kind.schema}"
    return {"$schema": _DRAFT, "title": title, **body, "definitions": definitions}


def schema_files() -> dict[str, str]:
    """The text of every schema file, by its name."""
    return {
        f"{kind.schema}.json": json.dumps(file_schema(kind), indent=2) + "\n" for kind in ALL_KINDS
    }


def modeline(kind: Kind) -> str:
    """The first line of a file of a kind, which tells editors where its schema is."""
    up = "../" if kind.in_folder else ""
    return f"# yaml-language-server: $schema={up}{SCHEMA_FOLDER}/{kind.schema}.json"


def _type_schema(hint: Any, definitions: dict[str, Schema]) -> Schema:
    origin, arguments = get_origin(hint), get_args(hint)
    if origin is Annotated:
        return _marked_schema(arguments[1])
    if origin is Literal:
        return {"enum": list(arguments)}
    if origin is tuple:
        return _list_schema(arguments[0], definitions)
    if origin is Mapping:
        return _mapping_schema(arguments[0], arguments[1], definitions)
    if origin in (Union, types.UnionType):
        members = [member for member in arguments if member is not type(None)]
        return _union_schema(members, definitions)
    if is_dataclass(hint):
        return _record_schema(hint, definitions)
    return {"type": "boolean"} if hint is bool else {"type": "string", "minLength": 1}


def _marked_schema(mark: Ref | Form) -> Schema:
    if isinstance(mark, Form):
        return dict(_FORM_SCHEMAS[mark.name])
    return dict(_CAUSE_ID_SCHEMA if mark.kind == "cause" else _ID_SCHEMA)


def _list_schema(item: Any, definitions: dict[str, Schema]) -> Schema:
    schema = {"type": "array", "items": _type_schema(item, definitions)}
    return schema if item == Prose else {**schema, "uniqueItems": True}


def _mapping_schema(key: Any, value: Any, definitions: dict[str, Schema]) -> Schema:
    values = _type_schema(value, definitions)
    if get_origin(key) is Literal:
        words = get_args(key)
        return {
            "type": "object",
            "properties": dict.fromkeys(words, values),
            "required": list(words),
            "additionalProperties": False,
        }
    return {
        "type": "object",
        "propertyNames": _type_schema(key, definitions),
        "additionalProperties": values,
    }


def _union_schema(members: list[Any], definitions: dict[str, Schema]) -> Schema:
    if len(members) == 1:
        return _type_schema(members[0], definitions)
    # Only the nodes of trees are unions; a tree holds trees, so its definition must be there
    # before those of its nodes are made.
    reference = {"$ref": "#/definitions/Tree"}
    if "Tree" not in definitions:
        definitions["Tree"] = {}
        nodes = [_type_schema(member, definitions) for member in members]
        named = {"type": "string", "minLength": 1, "description": "The name of a subtree."}
        definitions["Tree"] = {"anyOf": [*nodes, named]}
    return reference


def _record_schema(cls: Any, definitions: dict[str, Schema]) -> Schema:
    reference = {"$ref": f"#/definitions/{cls.__name__}"}
    if cls.__name__ in definitions:
        return reference
    definition: Schema = {"type": "object"}
    definitions[cls.__name__] = definition
    # A dataclass without a docstring gets its signature for one.
    if cls.__doc__ and not cls.__doc__.startswith(f"{cls.__name__}("):
        definition["description"] = cls.__doc__
    hints = get_type_hints(cls, include_extras=True)
    definition["properties"] = {
        yaml_key(item.name): _described(_type_schema(hints[item.name], definitions), item)
        for item in fields(cls)
    }
    definition["required"] = [
        yaml_key(item.name)
        for item in fields(cls)
        if item.default is MISSING and item.default_factory is MISSING
    ]
    definition["additionalProperties"] = False
    return reference


def _described(schema: Schema, item: Any) -> Schema:
    description = item.metadata.get("description")
    if "$ref" in schema:
        # In draft-07 everything beside a $ref is ignored.
        schema = {"allOf": [schema]}
    if description:
        schema = {"description": description, **schema}
    if isinstance(item.default, str | bool):
        schema["default"] = item.default
    return schema


def main(arguments: Sequence[str]) -> int:
    """Compare the schema files of the shipped knowledge, or write them to a folder."""
    parser = argparse.ArgumentParser(prog="python -m expert.loading.schema", description=__doc__)
    parser.add_argument("--write", metavar="DIR", type=Path, help="write the files into DIR")
    folder = parser.parse_args(arguments).write
    try:
        return _compare(shipped_folder() / SCHEMA_FOLDER) if folder is None else _write(folder)
    except OSError as error:
        problem = MissingError(f"{error.filename}: {error.strerror}")
        sys.stderr.write(f"{problem}\n")
        return problem.exit_code


def _write(folder: Path) -> int:
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in schema_files().items():
        (folder / name).write_text(text, encoding="utf-8")
    return EXIT_DONE


def _compare(folder: Path) -> int:
    """Print the names of files that differ from what the model gives."""
    differing = [
        name
        for name, text in schema_files().items()
        if not (folder / name).is_file() or (folder / name).read_text(encoding="utf-8") != text
    ]
    for name in differing:
        sys.stdout.write(f"{folder / name} is not what the model gives; write it anew\n")
    return EXIT_PROBLEMS if differing else EXIT_DONE


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
