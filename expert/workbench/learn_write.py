"""What was learned as a folder of knowledge files, which goes on top of the hand-written ones.

An entry is overridden whole, so each is copied from the file that holds it, with nothing changed
but its learned numbers. Behind each stands how many cases it was learned from. What stood in a
journal is not in these files, other than as a count.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any, Final

import yaml
from yaml import MappingNode, Node, ScalarNode, SequenceNode

from expert.errors import MissingError, UsageError
from expert.export.files import PART, staged
from expert.loading.decode import yaml_key
from expert.loading.document import Document
from expert.loading.kinds import KINDS, Kind
from expert.loading.source import MOST_BYTES, shown_path
from expert.workbench.learn_count import SOUND
from expert.workbench.learn_fit import Learned, RowChange
from expert.workbench.learn_weights import SeenChange

MARK: Final = (
    "# Learned from closed cases by `gatepost knowledge learn`, which writes this file anew."
)
# A file may have a mebibyte; entries are put into one more file long before that.
_FULL: Final = MOST_BYTES // 2
_WIDTH: Final = 96

Documents = Sequence[tuple[Kind, Document]]


# A tag that the dumper takes for what any text has by itself, so that it never writes one.
_TAG: Final = "!"


class _Dumper(yaml.Dumper):
    """Writes nodes as they were read: every text plain where it can be, whatever it looks like."""

    def resolve(self, kind: type, value: str | None, implicit: Any) -> str:
        """Every text and every collection is what it is."""
        return _TAG


def overlay(learned: Learned, documents: Documents, header: Sequence[str]) -> dict[str, str]:
    """The text of every file, by its name in the folder.

    ``documents`` are all files of the knowledge, later ones over earlier ones; ``header`` says in
    lines how the numbers were made.
    """
    seen: defaultdict[str, list[SeenChange]] = defaultdict(list)
    rows: defaultdict[str, list[RowChange]] = defaultdict(list)
    for weight in learned.seen:
        seen[weight.cause].append(weight)
    for row in learned.rows:
        rows[row.check].append(row)
    head = "".join(f"{line}\n" for line in [MARK, *(f"# {line}" for line in header)])
    nodes = {name: _nodes(documents, name) for name in ("cause", "check")}
    causes = (_cause(name, nodes["cause"][name], changes) for name, changes in seen.items())
    checks = (_check(name, nodes["check"][name], changes) for name, changes in rows.items())
    return {**_files("causes", head, causes), **_files("checks", head, checks)}


def _nodes(documents: Documents, kind: str) -> dict[str, MappingNode]:
    """The node of every entry of a kind; that of the last file that holds it."""
    found: dict[str, MappingNode] = {}
    for of, document in documents:
        if of is KINDS[kind] and isinstance(document.root, MappingNode):
            for key, node in document.root.value:
                if isinstance(key, ScalarNode) and isinstance(node, MappingNode):
                    found[key.value] = node
    return found


def _files(folder: str, head: str, entries: Iterator[str]) -> dict[str, str]:
    files: dict[str, str] = {}
    text = ""
    for entry in entries:
        if text and len(text.encode()) + len(entry.encode()) > _FULL:
            files[f"{folder}/learned-{len(files) + 1}.yaml"] = head + text
            text = ""
        text += entry
    if text:
        files[f"{folder}/learned-{len(files) + 1}.yaml"] = head + text
    return files


def _cause(name: str, node: MappingNode, changes: Sequence[SeenChange]) -> str:
    by_key = {yaml_key(change.column): change for change in changes}
    seen = [
        f"{yaml_key(key)}: {_number(by_key[key].after)}  {_cases(by_key[key].cases)}"
        if key in by_key
        else f"{key}: {_text(_value(_value(node, 'seen'), key))}"
        for key in ("just-fitted", "settled")
    ]
    return _entry(name, node, {"seen": seen})


def _check(name: str, node: MappingNode, changes: Sequence[RowChange]) -> str:
    by_cause = {change.cause: change for change in changes}
    learned = {}
    if SOUND in by_cause:
        learned["healthy"] = _row(by_cause.pop(SOUND))
    if by_cause:
        given = _value(node, "given")
        assert isinstance(given, MappingNode)
        lines: list[str] = []
        for key, row in given.value:
            if key.value in by_cause:
                lines += [f"{key.value}:", *_indented(_row(by_cause[key.value]))]
            else:
                lines += _dumped(key, row)
        learned["given"] = lines
    return _entry(name, node, learned)


def _row(change: RowChange) -> list[str]:
    return [
        f"{answer}: {_number(share)}"
        + (f"  {_cases(change.cases)}" if share != change.before.get(answer) else "")
        for answer, share in change.after.items()
    ]


def _entry(name: str, node: MappingNode, learned: Mapping[str, Sequence[str]]) -> str:
    """A whole entry, with the learned keys in place of its own or behind them."""
    lines = [f"{name}:"]
    keys = [key.value for key, _ in node.value]
    for key, value in node.value:
        if key.value in learned:
            lines += [f"  {key.value}:", *_indented(_indented(learned[key.value]))]
        else:
            lines += _indented(_dumped(key, value))
    for key, text in learned.items():
        if key not in keys:
            lines += [f"  {key}:", *_indented(_indented(text))]
    return "".join(f"{line}\n" for line in lines)


def _indented(lines: Sequence[str]) -> list[str]:
    return [f"  {line}" if line else line for line in lines]


def _dumped(key: Node, value: Node) -> list[str]:
    """One key with its value, as lines of YAML."""
    node = MappingNode(_TAG, [(_tagged(key), _tagged(value))], flow_style=False)
    dumper: Any = _Dumper
    text: str = yaml.serialize(node, Dumper=dumper, width=_WIDTH, allow_unicode=True)
    return text.rstrip("\n").split("\n")


def _tagged(node: Node) -> Node:
    if isinstance(node, MappingNode):
        pairs = [(_tagged(key), _tagged(value)) for key, value in node.value]
        return MappingNode(_TAG, pairs, flow_style=node.flow_style)
    if isinstance(node, SequenceNode):
        items = [_tagged(item) for item in node.value]
        return SequenceNode(_TAG, items, flow_style=node.flow_style)
    assert isinstance(node, ScalarNode)
    return ScalarNode(_TAG, node.value, style=node.style)


def _value(node: Node, key: str) -> Node:
    assert isinstance(node, MappingNode)
    values: dict[str, Node] = {name.value: value for name, value in node.value}
    return values[key]


def _text(node: Node) -> str:
    """A word or a number; these never need quotes."""
    assert isinstance(node, ScalarNode)
    return str(node.value)


def _number(value: float) -> str:
    return f"{value:.10g}"


def _cases(count: int) -> str:
    return "# 1 case" if count == 1 else f"# {count} cases"


# The folder.


def refuse_unless_ours(folder: Path, loaded: Sequence[Path]) -> None:
    """Raise UsageError unless the folder is new, empty, or an overlay that was learned before.

    It may not be one of those that are ``loaded``: what was learned would be learned once more.
    """
    shown = shown_path(folder)
    if any(folder.resolve() == one.resolve() for one in loaded):
        raise UsageError(
            f"{shown}: is loaded with --knowledge, so its cases would count twice; leave it out "
            "there, or name another folder with --out."
        )
    try:
        if not folder.exists():
            return
        if not folder.is_dir():
            raise UsageError(f"{shown}: this is a file; name a new folder with --out.")
        strange = next((path for path in folder.rglob("*") if not _ours(folder, path)), None)
    except OSError as error:
        raise _unwritable(folder, error) from None
    if strange is not None:
        raise UsageError(
            f"{shown}: holds {shown_path(strange)}, which was not learned, and would be mixed with "
            "what is; name a new folder with --out."
        )


def _ours(folder: Path, path: Path) -> bool:
    if path.is_dir() and not path.is_symlink():
        return path.parent == folder and path.name in ("causes", "checks")
    if path.is_symlink():
        return False
    if path.name.startswith(".learned-") and path.suffix == PART:
        # Left behind by a crash.
        return True
    if path.suffix != ".yaml" or not path.name.startswith("learned-"):
        return False
    with path.open("rb") as stream:
        return stream.read(len(MARK.encode())) == MARK.encode()


def write(folder: Path, files: Mapping[str, str]) -> list[str]:
    """Put the files into the folder in place of those learned before; their paths as shown.

    Everything is on the disk under other names before anything is replaced. Raises MissingError,
    and then whatever was made is taken away again.
    """
    made: list[Path] = []
    parts: list[tuple[Path, Path]] = []
    try:
        old = set(folder.rglob("learned-*.yaml")) if folder.is_dir() else set()
        for name, text in files.items():
            path = folder / name
            _make_folders(path.parent, made)
            parts.append((staged(path, text.encode("utf-8")), path))
            made.append(parts[-1][0])
        for part, path in parts:
            part.replace(path)
        left = set(folder.rglob(f".learned-*{PART}"))
        for path in (old - {path for _, path in parts}) | left:
            path.unlink()
        return [shown_path(path) for _, path in parts]
    except OSError as error:
        for path in reversed(made):
            with suppress(OSError):
                path.rmdir() if path.is_dir() else path.unlink()
        raise _unwritable(folder, error) from None


def _make_folders(folder: Path, made: list[Path]) -> None:
    """The folder and those above it; what had to be made is noted, the outermost first."""
    missing = []
    while not folder.exists():
        missing.append(folder)
        folder = folder.parent
    for one in reversed(missing):
        one.mkdir()
        made.append(one)


def _unwritable(folder: Path, error: OSError) -> MissingError:
    reason = (error.strerror or str(error)).lower()
    return MissingError(
        f"{shown_path(folder)}: cannot be written: {reason}. Nothing was kept; name another folder "
        "with --out."
    )
