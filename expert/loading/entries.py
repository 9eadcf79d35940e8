"""The entries of all files put together, by kind and id, before anything is linked."""

from __future__ import annotations

from typing import Any, NamedTuple

from yaml import MappingNode, Node, ScalarNode

from expert.errors import KnowledgeError, Mistake, Place
from expert.loading.decode import decoder, first_key, kind_of, report_duplicates
from expert.loading.document import Document
from expert.loading.forms import MisformedError, cause_id, identifier
from expert.loading.kinds import ALL_KINDS, Kind
from expert.loading.nodes import parse
from expert.loading.places import Entry
from expert.loading.reading import Reading, quoted


class Source(NamedTuple):
    """Where entries come from: their kind, the name of the file without suffix, and as shown."""

    kind: Kind
    stem: str
    file: str


def _has(node: Node, name: str) -> bool:
    return isinstance(node, MappingNode) and any(
        isinstance(key, ScalarNode) and key.value == name for key, _ in node.value
    )


def _added(source: Source, key: Node, more: Any, over: Entry | None, reading: Reading) -> Any:
    """The entry of an earlier folder with what this one adds; None where either is missing."""
    if over is None:
        word = quoted(first_key(source.kind.more))
        reading.add(
            key,
            f"found {word}, but no earlier folder has the {source.kind.name} "
            f"{quoted(source.stem)}; mend its id, or write it whole",
        )
    if over is None or more is None or over.value is None:
        return None
    return more.added_to(over.value)


class Entries:
    """What was read so far: entries, references to ids, mistakes, and kinds with lost files."""

    def __init__(self) -> None:
        self.by_kind: dict[str, dict[str, Entry]] = {kind.name: {} for kind in ALL_KINDS}
        self.readings: list[Reading] = []
        self.mistakes: list[Mistake] = []
        self.lost: set[str] = set()
        self.documents: list[tuple[Kind, Document]] = []
        self._in_folder: dict[tuple[str, str], Entry] = {}

    def values(self, kind: str) -> dict[str, Any]:
        """The decoded entries of a kind, by id."""
        return {name: entry.value for name, entry in self.by_kind[kind].items()}

    def begin_folder(self) -> None:
        """From here on ids override those read before; until the next call they are unique."""
        self._in_folder = {}

    def lose(self, kind: Kind, mistakes: list[Mistake]) -> None:
        """Note a file of ``kind`` of which nothing could be read."""
        self.lost.add(kind.name)
        self.mistakes.extend(mistakes)

    def add(self, source: Source, text: str) -> None:
        """Decode the entries in the text of one file."""
        kind = source.kind
        try:
            root, mistakes = parse(text, source.file)
        except KnowledgeError as problem:
            self.lose(kind, problem.mistakes)
            return
        self.mistakes.extend(mistakes)
        reading = Reading(Document(source.file, text))
        self.documents.append((kind, reading.document))
        if root is None:
            nothing = "there is nothing in this file but comments"
            self.lose(kind, [Mistake(Place(source.file, 1, 1), nothing)])
        elif kind.alone:
            self._add_entry(source, root, root, reading)
        elif isinstance(root, MappingNode):
            self._add_mapping(source, root, reading)
        else:
            found = f"found {kind_of(root)}; expected a mapping from ids to {kind.field}"
            reading.add(root, found)
            self.lost.add(kind.name)
        self.readings.append(reading)

    def _add_mapping(self, source: Source, root: MappingNode, reading: Reading) -> None:
        report_duplicates(root, reading)
        for key, node in root.value:
            if reading.full:
                self.lost.add(source.kind.name)
                break
            if isinstance(key, ScalarNode):
                self._add_entry(source._replace(stem=key.value), key, node, reading)
            else:
                reading.add(key, f"found {kind_of(key)} as a key; expected an id")

    def _add_entry(self, source: Source, key: Node, node: Node, reading: Reading) -> None:
        kind, name, _ = source
        before = len(reading.mistakes)
        try:
            (cause_id if kind.name == "cause" else identifier)(name)
        except MisformedError as problem:
            what = "the name of the file is" if kind.alone else "found"
            reading.add(key, f"{what} {quoted(name)}; {problem}")
            # What refers to this entry writes its id as it should be.
            self.lost.add(kind.name)
        over = self._overridden(kind.name, name, source.file)
        if kind.more is not None and _has(node, first_key(kind.more)):
            value = _added(source, key, decoder(kind.more).read(node, reading), over, reading)
        else:
            value = decoder(kind.entry).read(node, reading)
        broken = len(reading.mistakes) > before or value is None
        entry = Entry(value, reading.document, None if kind.alone else name, broken, over)
        earlier = self._in_folder.setdefault((kind.name, name), entry)
        if earlier.document is not entry.document:
            line = earlier.nodes()[0].start_mark.line + 1
            where = f"{earlier.document.file}:{line}"
            reading.add(key, f"the {kind.name} {quoted(name)} is there twice; see {where}")
        self.by_kind[kind.name][name] = entry

    def _overridden(self, kind: str, name: str, file: str) -> Entry | None:
        """The entry of an earlier folder; a file that is read twice does not override itself."""
        earlier = self.by_kind[kind].get(name)
        if earlier is None or (kind, name) in self._in_folder:
            return None
        return earlier.overrides if earlier.document.file == file else earlier
