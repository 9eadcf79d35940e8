"""The kinds of entries: ``expert/loading/kinds.py``."""

from __future__ import annotations

from dataclasses import fields

from expert.loading.kinds import ALL_KINDS, CASE, HOMES, KINDS
from expert.model import Knowledge


def test_every_field_of_the_knowledge_has_its_kind() -> None:
    names = {field.name for field in fields(Knowledge)} - {"digest"}
    assert {kind.field for kind in KINDS.values()} == names


def test_homes_are_files_or_folders() -> None:
    assert HOMES["tools.yaml"].name == "tool"
    assert not HOMES["tools.yaml"].in_folder
    assert HOMES["symptoms"].alone
    assert HOMES["symptoms"].in_folder
    assert not HOMES["causes"].alone


def test_case_files_have_no_home_of_their_own() -> None:
    assert [kind for kind in ALL_KINDS if kind.name not in KINDS] == [CASE]
    assert CASE.in_folder
    assert CASE.home not in HOMES
