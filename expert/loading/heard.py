"""What customers were heard to say, by what they mean: the sentences that mail learns from.

They stand in the files of the folder ``heard``, each a mapping from labels to lists of sentences.
A label is a symptom, an answer of a check (``solenoid-click=silent``), or one of ``TOPICS``.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final

from yaml import MappingNode, Node, ScalarNode, SequenceNode

from expert.errors import KnowledgeError, Mistake
from expert.loading.decode import kind_of, report_duplicates
from expert.loading.folder import files_in
from expert.loading.kinds import HEARD_FOLDER
from expert.loading.opened import opened
from expert.loading.reading import Reading, listed, quoted, unknown
from expert.model import Knowledge
from expert.text import clean

# Nothing of the car's trouble, trouble that could be any, and trouble that is none of ours.
TOPICS: Final = ("none", "vague", "unrelated")
LONGEST: Final = 300

_WORD: Final = re.compile(r"\w+")


def load_heard(folders: Sequence[Path], knowledge: Knowledge) -> dict[str, tuple[str, ...]]:
    """The sentences by label, in the order of the files.

    Later folders add to earlier ones. Where a later folder has a sentence of an earlier one under
    another label, the later label counts; a sentence that is there twice counts once. A folder
    without ``heard`` adds nothing. Raises KnowledgeError with every mistake of every file,
    MissingError when a folder cannot be read.
    """
    heard = _Heard(knowledge)
    for folder in folders:
        heard.begin_folder()
        for path, shown in files_in(folder, HEARD_FOLDER, heard.mistakes):
            heard.read(path, shown)
    if heard.mistakes:
        raise KnowledgeError(list(dict.fromkeys(heard.mistakes)))
    return heard.by_label()


class _Heard:
    """What was read so far: each sentence and its label by its words, and the mistakes."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.mistakes: list[Mistake] = []
        self._knowledge = knowledge
        self._labels = set(labels_of(knowledge))
        self._said: dict[str, tuple[str, str]] = {}
        self._in_folder: dict[str, tuple[str, str, int]] = {}

    def begin_folder(self) -> None:
        """From here on sentences take the place of those read before."""
        self._in_folder = {}

    def read(self, path: Path, shown: str) -> None:
        """Take the sentences of one file."""
        file = opened(path, shown, self.mistakes)
        if file is None:
            return
        root, reading = file
        if isinstance(root, MappingNode) and root.value:
            report_duplicates(root, reading)
            for key, node in root.value:
                self._add(key, node, reading)
        else:
            reading.add(
                root, f"found {kind_of(root)}; expected a mapping from labels to lists of sentences"
            )
        self.mistakes.extend(reading.mistakes)

    def by_label(self) -> dict[str, tuple[str, ...]]:
        """The sentences by label."""
        found: dict[str, list[str]] = {}
        for label, sentence in self._said.values():
            found.setdefault(label, []).append(sentence)
        return {label: tuple(sentences) for label, sentences in found.items()}

    def _add(self, key: Node, node: Node, reading: Reading) -> None:
        if not isinstance(key, ScalarNode):
            reading.add(key, f"found {kind_of(key)} as a key; expected a label")
            return
        label = key.value
        if label not in self._labels:
            reading.add(key, unknown_label(label, self._knowledge))
        if not isinstance(node, SequenceNode):
            what = f"found {kind_of(node)}; expected a list of sentences, each after '- '"
            reading.add(node, what)
        elif not node.value:
            reading.add(node, "there is no sentence here; write one, or delete the label")
        else:
            for item in node.value:
                if reading.full:
                    break
                self._add_sentence(label, item, reading)

    def _add_sentence(self, label: str, node: Node, reading: Reading) -> None:
        if not isinstance(node, ScalarNode):
            what = f"found {kind_of(node)}; expected a sentence"
            reading.add(node, f"{what}, in quotes where it holds ': ' or begins with a bracket")
            return
        sentence = " ".join(clean(node.value).split())
        words = " ".join(_WORD.findall(sentence.casefold()))
        if not words:
            reading.add(node, "there is no word in this sentence; write one, or delete the line")
        elif len(sentence) > LONGEST:
            found = f"this sentence has {len(sentence)} characters; at most {LONGEST} are read"
            reading.add(node, f"{found}, so split it or shorten it")
        else:
            # Not the node, which would keep all nodes of all files in memory.
            here = (label, reading.document.file, node.start_mark.line + 1)
            other, file, line = self._in_folder.setdefault(words, here)
            if other != label:
                found = f"this sentence is under {quoted(other)} too, see {file}:{line}"
                reading.add(node, f"{found}; delete one of them")
            self._said[words] = (label, sentence)


def labels_of(knowledge: Knowledge) -> Iterator[str]:
    """All labels that there are."""
    yield from knowledge.symptoms
    for name, check in knowledge.checks.items():
        yield from (f"{name}={answer}" for answer in check.answers)
    yield from TOPICS


def unknown_label(label: str, knowledge: Knowledge) -> str:
    """The message for a label that is not known."""
    check, equals, answer = label.partition("=")
    if check in knowledge.checks:
        answers = knowledge.checks[check].answers
        if equals:
            return unknown(f"of the check {quoted(check)} the answer", answer, answers)
        return f"{quoted(check)} is a check; write {check}= and one of {listed(answers)}"
    if equals:
        return unknown("the check", check, knowledge.checks)
    return unknown("the label", label, (*knowledge.symptoms, *TOPICS))
