"""One entry as it stands in its file, where it comes from, and all that it takes part in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import log10
from pathlib import Path
from typing import Any, Final

from expert.case.known import known
from expert.errors import Place
from expert.loading.folder import Loaded
from expert.loading.kinds import ALL_KINDS, CASE, KINDS, POLICY
from expert.loading.places import Entry
from expert.loading.source import shown_path
from expert.model import Caution, Check
from expert.reasoning.network import Channel, channel
from expert.workbench.changes import FieldChange, entries_of, field_changes
from expert.workbench.show_entry_mentions import named_in

KIND_NAMES: Final = tuple(kind.name for kind in ALL_KINDS)
_TREE: Final = ("tree", "subtrees")


@dataclass(frozen=True, slots=True)
class Earlier:
    """An entry that was overridden: where it is, and what is otherwise now."""

    place: Place
    differs: tuple[FieldChange, ...]


@dataclass(frozen=True, slots=True)
class Share:
    """One answer: its share of the cars with a cause, and of sound ones, and its weight.

    The weight is that of one answer at the car, for the cause against a sound car, in decibans.
    """

    answer: str
    share: float
    healthy: float
    decibans: float


@dataclass(frozen=True, slots=True)
class Row:
    """How cars with a cause answer a check: the answers that are stated, and the sound one."""

    check: str
    cause: str
    place: Place
    shares: tuple[Share, ...]


@dataclass(frozen=True, slots=True)
class Complaint:
    """How often a car with a cause shows a symptom."""

    symptom: str
    cause: str
    place: Place
    share: float


@dataclass(frozen=True, slots=True)
class Mention:
    """An entry that names the one that is shown, at ``path`` inside it."""

    kind: str
    id: str
    path: tuple[str | int, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class Shown:
    """All that is known of one entry; ``text`` are its lines, the key included.

    ``trees`` are the mentions in trees, ``cases`` the known cases that end at it or are told with
    it, ``others`` all further mentions.
    """

    kind: str
    id: str
    place: Place
    folder: str
    text: str
    earlier: tuple[Earlier, ...]
    trees: tuple[Mention, ...]
    complaints: tuple[Complaint, ...]
    rows: tuple[Row, ...]
    cautions: Mapping[str, Caution]
    cases: tuple[Mention, ...]
    others: tuple[Mention, ...]


def shown(loaded: Loaded, folders: Sequence[Path], name: str, kind: str | None) -> list[Shown]:
    """Every entry with this id, or only the one of a kind, in the order of the kinds.

    Raises UsageError with the nearest id when there is none.
    """
    kinds = [one for one in ALL_KINDS if kind in (None, one.name)]
    ids = [one for each in kinds for one in entries_of(loaded, each)]
    known(kind or "entry", name, dict.fromkeys(ids))
    found = [one.name for one in kinds if name in entries_of(loaded, one)]
    return [_shown(loaded, folders, one, name) for one in found]


def _shown(loaded: Loaded, folders: Sequence[Path], kind: str, name: str) -> Shown:
    places = loaded.places
    mentions = list(_mentions(loaded, kind, name))
    in_tree = [one for one in mentions if one.kind == "symptom" and one.path[0] in _TREE]
    told = [one for one in mentions if one.kind == CASE.name]
    rows = tuple(_rows(loaded, kind, name))
    complaints = tuple(_complaints(loaded, kind, name))
    weighed = {*(one.place for one in rows), *(one.place for one in complaints)}
    listed = [*in_tree, *told]
    others = [one for one in mentions if one not in listed and one.place not in weighed]
    text = entry_text(places.entry(kind, name))
    return Shown(
        kind,
        name,
        places.of(kind, name),
        _folder(places.file(kind, name), folders),
        text,
        tuple(_earlier(loaded, kind, name)),
        tuple(in_tree),
        complaints,
        rows,
        _cautions(loaded, kind, name),
        tuple(told),
        tuple(others),
    )


def entry_text(entry: Entry) -> str:
    """The lines of an entry in its file, as they stand there, without the blank ones at the end.

    Comments after its last line belong to what follows.
    """
    lines = entry.document.text.split("\n")
    if entry.key is None:
        return "\n".join(lines).strip("\n")
    key, value = entry.nodes()
    first, mark = key.start_mark.line, value.end_mark
    # A block ends where the next token begins: at the start of a later line.
    last = mark.line if mark.column == 0 else mark.line + 1
    kept = lines[first : max(last, first + 1)]
    while len(kept) > 1 and (not kept[-1].strip() or kept[-1].startswith("#")):
        kept.pop()
    return "\n".join(kept)


def _mentions(loaded: Loaded, kind: str, name: str) -> Iterator[Mention]:
    """Every place at which another entry names this one."""
    for each in ALL_KINDS:
        for owner, entry in entries_of(loaded, each).items():
            found = [one.path for one in named_in(entry) if (one.kind, one.id) == (kind, name)]
            for path in dict.fromkeys(found):
                place = loaded.places.of(each.name, owner, *path)
                yield Mention(each.name, owner, path, place)


def _earlier(loaded: Loaded, kind: str, name: str) -> Iterator[Earlier]:
    value = loaded.places.entry(kind, name).value
    for entry in loaded.places.overridden(kind, name):
        place = entry.document.place(entry.nodes()[0])
        yield Earlier(place, field_changes(entry.value, value))


def _folder(file: str, folders: Sequence[Path]) -> str:
    """The folder of knowledge that a file is in, as messages show it."""
    names = [shown_path(folder) for folder in folders]
    inside = [name for name in names if file.startswith(f"{name}/")]
    return max(inside, key=len, default=".")


def _complaints(loaded: Loaded, kind: str, name: str) -> Iterator[Complaint]:
    for symptom, entry in loaded.knowledge.symptoms.items():
        for cause, share in entry.causes.items():
            if (kind, name) in (("cause", cause), ("symptom", symptom)):
                place = loaded.places.of("symptom", symptom, "causes", cause)
                yield Complaint(symptom, cause, place, share)


def _rows(loaded: Loaded, kind: str, name: str) -> Iterator[Row]:
    slip = loaded.knowledge.policy.slip.asked
    for check, entry in loaded.knowledge.checks.items():
        if entry.kind == "history":
            continue
        for cause, stated in entry.given.items():
            if (kind, name) in (("cause", cause), ("check", check)):
                place = loaded.places.of("check", check, "given", cause)
                yield Row(check, cause, place, tuple(_shares(entry, cause, stated, slip)))


def _shares(check: Check, cause: str, stated: Mapping[str, float], slip: float) -> Iterator[Share]:
    reading = channel(check, (cause,))
    sound = check.sound_answer()
    for answer in check.answers:
        if answer != sound and answer not in stated:
            continue
        share = stated.get(answer, max(0.0, 1.0 - sum(stated.values())))
        healthy = check.healthy.get(answer, 0.0)
        if answer == sound:
            healthy = max(0.0, 1.0 - sum(check.healthy.values()))
        yield Share(answer, share, healthy, _decibans(reading, answer, slip))


def _decibans(reading: Channel, answer: str, slip: float) -> float:
    """The weight of an answer for the only cause of ``reading`` against none, slip included."""
    terms = reading.reading((answer,))
    stray = slip / len(reading.answers)
    with_cause = (1.0 - slip) * float(terms.of_single()[0]) + stray
    without = (1.0 - slip) * terms.of_none() + stray
    return 10.0 * log10(with_cause / without)


def _cautions(loaded: Loaded, kind: str, name: str) -> dict[str, Caution]:
    """The cautions of an entry, and of the work that comes before a check."""
    if kind in (CASE.name, POLICY):
        return {}
    entry: Any = entries_of(loaded, KINDS[kind])[name]
    before = entry.prepare if kind == "check" else ()
    work = [loaded.knowledge.preparations[one] for one in before]
    found = [one.id for each in (entry, *work) for one in named_in(each) if one.kind == "caution"]
    return {one: loaded.knowledge.cautions[one] for one in dict.fromkeys(found)}
