"""Looking through folders and mending files, from the disk and back to it."""

from __future__ import annotations

import gc
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.errors import MissingError
from expert.loading.folder import load
from expert.rules.registry import BY_ID, RULES
from expert.workbench.check import checked
from expert.workbench.check_report import check_json, line
from expert.workbench.check_sarif import sarif
from tests.rules.bench import folders, write

MESSY = "\ufefflamp:  \r\n  title: a lamp  \r\n\r\n\r\n"
TIDY = "lamp:\n  title: a lamp\n"
OF_FILES = [
    BY_ID[name]
    for name in ("byte-order-mark", "line-ends", "trailing-blanks", "last-line", "schema-line")
]


def test_mistakes_of_form_come_as_findings_without_knowledge(tmp_path: Path) -> None:
    both = folders(tmp_path, {"tools.yaml": "lamp: {titel: a lamp}\n"})
    found = checked(both, RULES)
    assert found.knowledge is None
    assert {(one.rule, one.severity) for one in found.findings} == {("form", "error")}
    assert {one.place.line for one in found.findings} == {1}
    assert "did you mean 'title'" in " ".join(one.message for one in found.findings)


def test_mistakes_in_what_was_heard_are_told_like_all_others(tmp_path: Path) -> None:
    both = folders(tmp_path, {"heard/a.yaml": "lazy: [no push]\nlazi: [no shove]\n"})
    found = checked(both, RULES)
    (one,) = found.findings
    assert (one.rule, one.severity) == ("form", "error")
    assert line(one) == (
        f"{tmp_path}/ours/heard/a.yaml:2:1: error:"
        " the label 'lazi' is not known; did you mean 'lazy'? [form]"
    )
    (told,) = check_json(found)["findings"]
    assert (told["line"], told["column"], told["rule"]) == (2, 1, "form")
    (result,) = sarif(found, RULES)["runs"][0]["results"]
    region = result["locations"][0]["physicalLocation"]["region"]
    assert (result["ruleId"], region["startLine"], region["startColumn"]) == ("form", 2, 1)


def test_mistakes_in_letters_are_told_like_all_others(tmp_path: Path) -> None:
    letters = "- text: No push.\n  means: {lazi: No push}\n"
    (one,) = checked(folders(tmp_path, {"letters/a.yaml": letters}), RULES).findings
    assert line(one) == (
        f"{tmp_path}/ours/letters/a.yaml:2:11: error:"
        " the label 'lazi' is not known; did you mean 'lazy'? [form]"
    )


def test_what_was_heard_without_mistakes_finds_nothing(tmp_path: Path) -> None:
    both = folders(tmp_path, {"heard/a.yaml": "lazy: [no push]\n"})
    found = checked(both, OF_FILES)
    assert found.knowledge is not None
    assert not [one for one in found.findings if "heard" in one.place.file]


def test_everything_is_mended_in_one_go(tmp_path: Path) -> None:
    both = folders(tmp_path, {"tools.yaml": MESSY, "schema/tools.json": "{}\n"})
    small, ours = both
    before = {path: path.read_bytes() for path in small.rglob("*") if path.is_file()}
    there = [one for one in checked(both, OF_FILES).findings if "ours" in one.place.file]
    assert {one.rule for one in there} == {one.id for one in OF_FILES}
    found = checked(both, OF_FILES, [ours])
    assert found.fixed == len(there)
    assert found.fixable == 0
    line = "# yaml-language-server: $schema=schema/tools.json\n"
    assert (ours / "tools.yaml").read_bytes().decode("utf-8") == line + TIDY
    # Nothing else is written, and nothing is left behind.
    assert {path: path.read_bytes() for path in small.rglob("*") if path.is_file()} == before
    assert sorted(path.name for path in ours.iterdir()) == ["schema", "tools.yaml"]


def test_without_being_asked_nothing_is_mended(tmp_path: Path) -> None:
    both = folders(tmp_path, {"tools.yaml": MESSY})
    assert checked(both, OF_FILES).fixed == 0
    assert (both[1] / "tools.yaml").read_bytes().decode("utf-8") == MESSY


def test_folders_that_are_not_to_be_mended_stay(tmp_path: Path) -> None:
    both = folders(tmp_path, {"tools.yaml": MESSY})
    assert checked(both, OF_FILES, both[:1]).fixed == 0
    assert (both[1] / "tools.yaml").read_bytes().decode("utf-8") == MESSY


def test_garbage_is_collected_again_afterwards(tmp_path: Path) -> None:
    assert gc.isenabled()
    checked(folders(tmp_path, {"tools.yaml": TIDY}), OF_FILES)
    assert gc.isenabled()
    with pytest.raises(MissingError):
        checked([tmp_path / "no-such"], OF_FILES)
    assert gc.isenabled()


def test_a_missing_folder_is_one_message(tmp_path: Path) -> None:
    with pytest.raises(MissingError, match="no-such"):
        checked([tmp_path / "no-such"], RULES)


def test_files_of_editors_are_passed_over(tmp_path: Path) -> None:
    both = folders(tmp_path, {"tools.yaml": TIDY, ".tools.yaml.swp": "x", "tools.yaml~": "y"})
    assert checked(both, OF_FILES, both).fixed == 0
    assert (both[1] / "tools.yaml~").read_text(encoding="utf-8") == "y"


TEXTS = st.lists(
    st.sampled_from(["lamp: {title: a lamp}", "# a note", "", "  ", "\r", "torch:", "  title: b"]),
    max_size=8,
).map("\n".join)


@given(TEXTS, st.sampled_from(["", "\n", "\r\n", "  "]), st.booleans())
def test_mending_never_changes_what_a_file_says(
    tmp_path_factory: pytest.TempPathFactory, text: str, end: str, mark: bool
) -> None:
    ours = tmp_path_factory.mktemp("ours")
    small = folders(ours / "base", {})[0]
    write(ours, {"tools.yaml": ("\ufeff" if mark else "") + text + end})
    first = checked([small, ours], OF_FILES)
    if first.knowledge is None:
        return
    rest = checked([small, ours], OF_FILES, [ours])
    assert rest.knowledge is not None
    assert rest.knowledge.tools == first.knowledge.tools == load([small, ours]).tools
    assert [one for one in rest.findings if one.place.file.startswith(str(ours / "tools"))] == []
