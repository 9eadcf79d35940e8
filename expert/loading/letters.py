"""Whole letters of customers with what they mean: messages that mail learns from.

They stand in the files of the folder ``letters``, each a list. A letter has its ``text``, and under
``means`` the labels that it states, each with the exact words of the text that do; the main
complaint stands first. A letter without a complaint has the ``topic`` vague or unrelated.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal

from yaml import MappingNode, Node, ScalarNode, SequenceNode

from expert.errors import KnowledgeError, Mistake
from expert.loading.decode import kind_of, report_duplicates
from expert.loading.folder import files_in
from expert.loading.heard import labels_of, unknown_label
from expert.loading.kinds import LETTERS_FOLDER
from expert.loading.opened import opened
from expert.loading.reading import Reading, listed, quoted
from expert.model import Knowledge

Topic = Literal["complaint", "vague", "unrelated"]
_TOPICS: Final[Mapping[str, Topic]] = {"vague": "vague", "unrelated": "unrelated"}
_FIELDS: Final = ("text", "topic", "means")
LONGEST: Final = 4000


@dataclass(frozen=True, slots=True)
class Letter:
    """A letter, and each label that it states with the words that do: label, start and end.

    The places count characters of ``text``. ``file`` is the file that it stands in, as shown.
    """

    text: str
    topic: Topic
    means: tuple[tuple[str, int, int], ...]
    file: str

    def complaints(self) -> tuple[str, ...]:
        """The symptoms, the main one first."""
        return tuple(label for label, _, _ in self.means if "=" not in label)

    def answers(self) -> tuple[str, ...]:
        """The answers, as ``check=answer``."""
        return tuple(label for label, _, _ in self.means if "=" in label)


def load_letters(folders: Sequence[Path], knowledge: Knowledge) -> tuple[Letter, ...]:
    """The letters of all folders, in the order of the files.

    A folder without ``letters`` adds nothing. Raises KnowledgeError with every mistake of every
    file, MissingError when a folder cannot be read.
    """
    letters: list[Letter] = []
    mistakes: list[Mistake] = []
    for folder in folders:
        for path, shown in files_in(folder, LETTERS_FOLDER, mistakes):
            letters += _read(path, shown, knowledge, mistakes)
    if mistakes:
        raise KnowledgeError(list(dict.fromkeys(mistakes)))
    return tuple(letters)


def _read(path: Path, shown: str, knowledge: Knowledge, mistakes: list[Mistake]) -> list[Letter]:
    file = opened(path, shown, mistakes)
    if file is None:
        return []
    root, reading = file
    letters: list[Letter] = []
    if isinstance(root, SequenceNode):
        reader = _Letters(reading, knowledge)
        letters = [one for node in root.value if (one := reader.letter(node)) is not None]
    else:
        reading.add(root, f"found {kind_of(root)}; expected a list of letters, each after '- '")
    mistakes.extend(reading.mistakes)
    return letters


class _Letters:
    """Makes letters of the nodes of one file."""

    def __init__(self, reading: Reading, knowledge: Knowledge) -> None:
        self._reading = reading
        self._knowledge = knowledge
        self._labels = frozenset(labels_of(knowledge)) - {"none", *_TOPICS}

    def letter(self, node: Node) -> Letter | None:
        """The letter that a node holds, or None with what is wrong noted."""
        if not isinstance(node, MappingNode):
            self._reading.add(
                node, f"found {kind_of(node)}; expected a letter with text: and means:"
            )
            return None
        report_duplicates(node, self._reading)
        fields = {key.value: (key, value) for key, value in node.value}
        for name, (key, _) in fields.items():
            if name not in _FIELDS:
                self._reading.add_unknown(key, "the field", _FIELDS)
        if "text" not in fields:
            self._reading.add(node, "a letter needs its text: add text: |-")
            return None
        text = self._text(fields["text"][1])
        means = self._means(fields["means"][1], text) if "means" in fields else []
        topic = self._topic(fields["topic"][1]) if "topic" in fields else "complaint"
        told = any("=" not in label for label, _, _ in means)
        if told == (topic != "complaint"):
            self._reading.add(
                node,
                "a letter tells a complaint under means:, or has the topic vague or unrelated; "
                "one of the two",
            )
        return Letter(text, topic, tuple(means), self._reading.document.file)

    def _text(self, node: Node) -> str:
        text: str = node.value if isinstance(node, ScalarNode) else ""
        if not text.strip():
            self._reading.add(node, "expected the words of the letter")
        elif len(text) > LONGEST:
            found = f"this letter has {len(text)} characters"
            self._reading.add(node, f"{found}; at most {LONGEST} are read, so shorten it")
        return text

    def _topic(self, node: Node) -> Topic:
        topic = _TOPICS.get(node.value) if isinstance(node, ScalarNode) else None
        if topic is None:
            self._reading.add(
                node, f"expected one of {listed(_TOPICS)}; a complaint stands under means:"
            )
        return topic or "vague"

    def _means(self, node: Node, text: str) -> list[tuple[str, int, int]]:
        if not isinstance(node, MappingNode):
            what = f"found {kind_of(node)}; expected labels, each with the words that state it"
            self._reading.add(node, what)
            return []
        report_duplicates(node, self._reading)
        found = []
        for key, value in node.value:
            if key.value not in self._labels:
                self._reading.add(key, unknown_label(str(key.value), self._knowledge))
            words = value.value if isinstance(value, ScalarNode) else ""
            start = text.find(words) if words else -1
            if start < 0:
                self._reading.add(
                    value, f"the words {quoted(str(words))} do not stand in the text like this"
                )
            found.append((key.value, start, start + len(words)))
        return found
