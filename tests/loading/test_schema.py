"""JSON Schema for editors: ``expert/loading/schema.py``."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft7Validator

from expert.loading.folder import shipped_folder
from expert.loading.kinds import HOMES, KINDS, SCHEMA_FOLDER, Kind
from expert.loading.schema import file_schema, main, modeline, schema_files
from tests.loading.folders import SMALL, edited, mistakes_in
from tests.loading.test_decode import REFUSED

# Editors read YAML by the core schema of YAML 1.2.2, section 10.3.2, where only these texts are
# not strings. PyYAML's own loaders follow YAML 1.1, where "no" is a boolean.
CORE = {
    "null": r"null|Null|NULL|~|",
    "bool": r"true|True|TRUE|false|False|FALSE",
    "int": r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+",
    "float": r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?",
}


class CoreLoader(yaml.SafeLoader):
    """Reads YAML as an editor does."""

    yaml_implicit_resolvers: dict[str, list[tuple[str, re.Pattern[str]]]] = {}  # noqa: RUF012


for tag, pattern in CORE.items():
    CoreLoader.add_implicit_resolver(
        f"tag:yaml.org,2002:{tag}", re.compile(f"^(?:{pattern})$"), None
    )


def as_editors_read(text: str) -> Any:
    return yaml.load(text, Loader=CoreLoader)


def shipped_files() -> Iterator[tuple[Kind, Path]]:
    folder = shipped_folder()
    for home, kind in HOMES.items():
        paths = sorted((folder / home).glob("*.yaml")) if kind.in_folder else [folder / home]
        for path in paths:
            if not path.name.endswith(".cases.yaml"):
                yield kind, path


def kind_of(name: str) -> Kind:
    return HOMES[name.split("/", maxsplit=1)[0]]


def errors(name: str, text: str) -> list[str]:
    validator = Draft7Validator(file_schema(kind_of(name)))
    return [error.message for error in validator.iter_errors(as_editors_read(text))]


def test_the_core_schema_reads_as_the_standard_says() -> None:
    # Source: YAML 1.2.2, example 10.3 and its table.
    text = "[null, ~, true, no, 0, -19, 0., .5, 1e3, 12e-03, 2002-04-28, 1:30]"
    expected = [None, None, True, "no", 0, -19, 0.0, 0.5, 1000.0, 0.012, "2002-04-28", "1:30"]
    assert as_editors_read(text) == expected


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_the_schemas_are_schemas(kind: Kind) -> None:
    Draft7Validator.check_schema(file_schema(kind))


def test_the_files_are_what_the_model_gives() -> None:
    folder = shipped_folder() / SCHEMA_FOLDER
    found = {path.name: path.read_text(encoding="utf-8") for path in folder.iterdir()}
    assert found == schema_files(), "run: python -m expert.loading.schema --write knowledge/schema"


@pytest.mark.parametrize(
    ("kind", "path"), [pytest.param(kind, path, id=path.name) for kind, path in shipped_files()]
)
def test_every_shipped_file_names_its_schema_and_fits_it(kind: Kind, path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    first, second = text.split("\n")[:2]
    assert first == modeline(kind)
    assert second.startswith("# ")
    schema = path.parent / first.partition("$schema=")[2]
    validator = Draft7Validator(json.loads(schema.read_text(encoding="utf-8")))
    assert [error.message for error in validator.iter_errors(as_editors_read(text))] == []


@pytest.mark.parametrize("name", SMALL)
def test_what_the_loader_accepts_fits(name: str) -> None:
    assert errors(name, SMALL[name]) == []


# What the loader refuses and a schema cannot, since a YAML reader does not tell it: a key that is
# there twice, and what a complex key or a merge key was.
BEYOND_SCHEMAS = ("is here twice", "as a key", "'<<'", "found a list; expected an id")


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        (file, old, new)
        for file, old, new, report in REFUSED
        if not any(words in report for words in BEYOND_SCHEMAS)
    ],
)
def test_what_the_decoder_refuses_does_not_fit(file: str, old: str, new: str) -> None:
    assert errors(file, edited(file, old, new)[file])


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        ("causes/all.yaml", "ring-missing:", "ring missing:"),
        ("causes/all.yaml", "fix: Fit it.", "fix: 3"),
        ("tools.yaml", "{title: a lamp}", "{}"),
        ("parts/all.yaml", "{tap: a brass tap}", "{Tap: a brass tap}"),
        ("symptoms/lazy.yaml", "{subtree: run}", "{subtree: [run]}"),
        ("symptoms/lazy.yaml", "{subtree: run}", "3"),
        ("cautions.yaml", "WARNING", "Warning"),
    ],
)
def test_other_documents_that_do_not_fit(name: str, old: str, new: str) -> None:
    assert errors(name, edited(name, old, new)[name])


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        ("checks/all.yaml", "{crescent: .01}", "{crescent: 1}"),
        ("symptoms/lazy.yaml", "{subtree: run}", "run"),
        ("causes/all.yaml", "  title: Ring left out", "  title: >\n    Ring\n    left out"),
        ("causes/all.yaml", "  title: Ring left out", "  title: no"),
    ],
)
def test_other_documents_that_fit_and_load(name: str, old: str, new: str, tmp_path: Path) -> None:
    files = edited(name, old, new)
    assert errors(name, files[name]) == []
    assert mistakes_in(tmp_path, files) == []


def test_fields_carry_their_descriptions() -> None:
    definitions = file_schema(KINDS["cause"])["definitions"]
    title = definitions["Cause"]["properties"]["title"]
    assert title["description"] == "The fault in a few words, as one would say it at the bench."
    words, number = definitions["Seen"]["properties"]["just-fitted"]["anyOf"]
    assert number == {"type": "number", "exclusiveMinimum": 0}
    assert words["enum"] == [
        "common",
        "occasional",
        "rare",
    ]


def test_modelines() -> None:
    assert modeline(KINDS["cause"]).endswith("$schema=../schema/cause.json")
    assert modeline(KINDS["bypass"]).endswith("$schema=../schema/plumbing.json")
    assert modeline(KINDS["tool"]).endswith("$schema=schema/tools.json")


def test_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([]) == 0
    assert main(["--write", str(tmp_path / "new" / "schema")]) == 0
    assert sorted(path.name for path in (tmp_path / "new" / "schema").iterdir()) == sorted(
        schema_files()
    )
    (tmp_path / "file").write_text("")
    assert main(["--write", str(tmp_path / "file")]) == 3
    assert capsys.readouterr().err.startswith(f"{tmp_path / 'file'}: ")


def test_drift_is_found(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["--write", str(tmp_path / SCHEMA_FOLDER)])
    monkeypatch.setattr("expert.loading.schema.shipped_folder", lambda: tmp_path)
    assert main([]) == 0
    (tmp_path / SCHEMA_FOLDER / "cause.json").write_text("{}")
    (tmp_path / SCHEMA_FOLDER / "part.json").unlink()
    assert main([]) == 1
    out = capsys.readouterr().out
    assert [line.split(" is not")[0].rpartition("/")[2] for line in out.splitlines()] == [
        "part.json",
        "cause.json",
    ]
