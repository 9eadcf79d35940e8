"""What the questions draw on, and what they come to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from expert.model import Knowledge, KnownCase
from expert.workbench.add.alike import Leaf
from expert.workbench.add.compose import Plain

EntryKind = Literal["cause", "check"]


@dataclass(frozen=True, slots=True)
class Setting:
    """The knowledge as it is, its cases, and the files of the folder that is written into.

    ``files`` maps a kind to the names of its files, without suffix, and the ids in each.
    """

    knowledge: Knowledge
    cases: Mapping[str, KnownCase]
    files: Mapping[EntryKind, Mapping[str, tuple[str, ...]]]


@dataclass(frozen=True, slots=True)
class NewCase:
    """A first case: its id, and what its file says of it."""

    id: str
    entry: Mapping[str, Plain]


@dataclass(frozen=True, slots=True)
class Station:
    """Where a tree asks a new check: in front of a subtree, which then gets another name.

    ``suspects`` maps answers to the causes that they lead to; all else goes on as before.
    """

    subtree: str
    renamed: str
    suspects: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class NewEntry:
    """All that is to be written: the entry, what others say of it, and its case.

    ``topic`` is the name of its file without suffix. For a cause, ``symptoms`` says how often each
    complaint shows it, ``given`` what checks answer, and ``suspects`` where trees suspect it. For a
    check, ``stations`` says where trees ask it.
    """

    kind: EntryKind
    id: str
    topic: str
    entry: Mapping[str, Plain]
    symptoms: Mapping[str, str] = field(default_factory=dict)
    given: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    suspects: Mapping[str, Leaf] = field(default_factory=dict)
    stations: Mapping[str, Station] = field(default_factory=dict)
    case: NewCase | None = None
