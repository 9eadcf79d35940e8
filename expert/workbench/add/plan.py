"""Which files change, and how, so that a new entry is there. Nothing is written here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from yaml import MappingNode, ScalarNode

from expert.errors import GatepostError, UsageError
from expert.loading.folder import Loaded
from expert.loading.kinds import CASE, KINDS, SCHEMA_FOLDER
from expert.loading.source import read_bytes, shown_path
from expert.workbench.add.compose import entry_text, row_text
from expert.workbench.add.insert import (
    add_entry,
    add_in_front,
    add_key,
    add_to_list,
    add_to_mapping,
    entry_lines,
    root_of,
)
from expert.workbench.add.rawtext import RawText
from expert.workbench.add.setting import NewEntry
from expert.workbench.add.target import Target, paths_by_shown

_CASES: Final = ".cases.yaml"
_REPLACES: Final = (
    "An entry of a later folder replaces the earlier one, hence the whole copy. It does not follow "
    "later changes to the original."
)


@dataclass(frozen=True, slots=True)
class Change:
    """A file as it was, None when it was not there, and as it will be."""

    path: Path
    before: bytes | None
    after: bytes


@dataclass(frozen=True, slots=True)
class Piece:
    """Lines that are new in a file."""

    file: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """All changes, in an order in which the folder loads after each; what is new; and remarks."""

    changes: tuple[Change, ...]
    pieces: tuple[Piece, ...]
    notes: tuple[str, ...]


@dataclass(slots=True)
class _Work:
    """The files as they become."""

    loaded: Loaded
    target: Target
    paths: Mapping[str, Path]
    before: dict[Path, bytes | None] = field(default_factory=dict)
    now: dict[Path, RawText] = field(default_factory=dict)
    pieces: list[Piece] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


def plan(new: NewEntry, loaded: Loaded, target: Target) -> Plan:
    """The changes for a new entry. Raises GatepostError where a file cannot take them."""
    work = _Work(loaded, target, paths_by_shown(target))
    home = target.folder / KINDS[new.kind].home
    kind = KINDS[new.kind]
    _append(work, home / f"{new.topic}.yaml", kind.schema, entry_text(new.id, new.entry))
    for check, row in new.given.items():
        _add_row(work, new.id, check, row)
    for symptom, often in new.symptoms.items():
        path = _own(work, "symptom", symptom)
        shown = shown_path(path)
        raw = work.now[path]
        _change(work, path, add_to_mapping(raw, ("causes",), new.id, often, shown))
        leaf = new.suspects.get(symptom)
        if leaf is not None:
            raw = work.now[path]
            _change(work, path, add_to_list(raw, leaf.path, new.id, shown))
    for symptom, station in new.stations.items():
        path = _own(work, "symptom", symptom)
        shown, raw = shown_path(path), work.now[path]
        _change(work, path, add_in_front(raw, station, new.id, shown))
    if new.case is not None:
        text = entry_text(new.case.id, new.case.entry)
        _append(work, home / f"{new.topic}{_CASES}", CASE.schema, text)
    changes = (Change(path, work.before[path], raw.data()) for path, raw in work.now.items())
    notes = [*work.notes, _REPLACES] if work.notes else []
    return Plan(tuple(changes), tuple(work.pieces), tuple(notes))


def _append(work: _Work, path: Path, schema: str, text: str) -> None:
    """Put an entry at the end of a file, or into a new one."""
    _open(work, path)
    raw = work.now[path]
    if not raw.lines:
        head = f"# yaml-language-server: $schema=../{SCHEMA_FOLDER}/{schema}.json\n"
        known = (work.target.folder / SCHEMA_FOLDER / f"{schema}.json").is_file()
        work.now[path] = RawText.of(f"{head * known}{text}".encode(), shown_path(path))
    else:
        work.now[path] = add_entry(raw, text, shown_path(path))
    work.pieces.append(Piece(shown_path(path), tuple(text.splitlines())))


def _add_row(work: _Work, cause: str, check: str, row: Mapping[str, str]) -> None:
    path = _own(work, "check", check)
    shown = shown_path(path)
    raw = work.now[path]
    if _has(raw, check, "given", shown):
        after = add_to_mapping(raw, (check, "given"), cause, row_text(row), shown)
    else:
        after = add_key(raw, (check,), "given", {cause: dict(row)}, shown)
    _change(work, path, after)


def _has(raw: RawText, name: str, key: str, shown: str) -> bool:
    root = root_of(raw, shown)
    pairs = root.value if isinstance(root, MappingNode) else []
    return any(
        isinstance(inner, ScalarNode) and inner.value == key
        for entry, value in pairs
        if isinstance(entry, ScalarNode) and entry.value == name and isinstance(value, MappingNode)
        for inner, _ in value.value
    )


def _change(work: _Work, path: Path, after: RawText) -> None:
    before = work.now[path]
    work.now[path] = after
    work.pieces.append(Piece(shown_path(path), _new_lines(before, after)))


def _new_lines(before: RawText, after: RawText) -> tuple[str, ...]:
    """The lines of the second text that the first has not, as they stand together."""
    old, new = before.text().splitlines(), after.text().splitlines()
    start = 0
    while start < min(len(old), len(new)) and old[start] == new[start]:
        start += 1
    end = 0
    while end < min(len(old), len(new)) - start and old[-1 - end] == new[-1 - end]:
        end += 1
    return tuple(new[start : len(new) - end])


def _own(work: _Work, kind: str, name: str) -> Path:
    """The target's file that holds an entry, which is copied there first if need be."""
    source = work.paths[work.loaded.places.file(kind, name)]
    folder = work.target.folder
    if source.is_relative_to(folder):
        _open(work, source)
        return source
    if work.target.is_before(source):
        raise UsageError(
            f"{shown_path(source)} overrides {name}, so a change in {shown_path(folder)} would "
            "have no effect. Name the last folder with --into DIR."
        )
    path = folder / KINDS[kind].home / source.name
    if path in work.now and _holds(work.now[path], name, kind):
        return path
    _copy(work, source, path, kind, name)
    work.notes.append(f"{name} is copied whole from {shown_path(source)} to {shown_path(path)}.")
    return path


def _holds(raw: RawText, name: str, kind: str) -> bool:
    if KINDS[kind].alone:
        return bool(raw.lines)
    root = root_of(raw, name)
    return isinstance(root, MappingNode) and any(key.value == name for key, _ in root.value)


def _copy(work: _Work, source: Path, path: Path, kind: str, name: str) -> None:
    raw = RawText.of(read_bytes(source, shown_path(source)), shown_path(source))
    _open(work, path)
    there = work.now[path]
    if KINDS[kind].alone:
        work.now[path] = raw
        return
    lines = entry_lines(raw, name, shown_path(source))
    if there.lines:
        work.now[path] = add_entry(there, lines, shown_path(path))
        return
    schema = KINDS[kind].schema
    known = (work.target.folder / SCHEMA_FOLDER / f"{schema}.json").is_file()
    head = f"# yaml-language-server: $schema=../{SCHEMA_FOLDER}/{schema}.json\n"
    work.now[path] = RawText.of(f"{head * known}{lines}".encode(), shown_path(path))


def _open(work: _Work, path: Path) -> None:
    if path in work.now:
        return
    if not path.exists():
        work.before[path], work.now[path] = None, RawText(())
        return
    if path.is_symlink() and not path.resolve().is_file():
        raise GatepostError(f"{shown_path(path)}: this link leads nowhere; mend it first")
    data = read_bytes(path, shown_path(path))
    work.before[path] = data
    work.now[path] = RawText.of(data, shown_path(path))
