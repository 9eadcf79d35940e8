"""The first line names the schema, where the folder has one."""

from __future__ import annotations

from pathlib import Path

from tests.rules.bench import lines

LAMP = "lamp: {title: a lamp}\n"
GOOD = "# yaml-language-server: $schema=schema/tools.json"


def test_a_line_that_is_missing_or_names_another(tmp_path: Path) -> None:
    schema = {"schema/tools.json": "{}\n"}
    assert lines("schema-line", tmp_path, {**schema, "tools.yaml": LAMP}) == [
        f"tools.yaml:1:1: the first line names no schema; add '{GOOD}'"
    ]
    wrong = f"{GOOD.replace('tools', 'cautions')}\n{LAMP}"
    assert lines("schema-line", tmp_path, {**schema, "tools.yaml": wrong}) == [
        f"tools.yaml:1:1: the first line names another schema; expected '{GOOD}'"
    ]
    assert lines("schema-line", tmp_path, {**schema, "tools.yaml": f"{GOOD}\n{LAMP}"}) == []


def test_the_way_to_the_schema_depends_on_the_folder(tmp_path: Path) -> None:
    case = "x:\n  title: a\n  setup: external\n  symptoms: [lazy]\n  answers: {light: dark}\n"
    case += "  expect: {cause: ring-missing}\n  basis: invented\n"
    other = case.replace("x:", "y:")
    files = {"schema/cases.json": "{}", "x.cases.yaml": case, "causes/y.cases.yaml": other}
    found = lines("schema-line", tmp_path, files)
    assert [line.partition("$schema=")[2] for line in found] == [
        "../schema/cases.json'",
        "schema/cases.json'",
    ]


def test_a_folder_without_schemas_need_not_name_them(tmp_path: Path) -> None:
    assert lines("schema-line", tmp_path, {"tools.yaml": LAMP}) == []


def test_a_mark_before_the_line_is_no_part_of_it(tmp_path: Path) -> None:
    files = {"schema/tools.json": "{}\n", "tools.yaml": f"\ufeff{GOOD}\r\n{LAMP}"}
    assert lines("schema-line", tmp_path, files) == []
