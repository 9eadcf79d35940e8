"""A symptom's tree as indented text, for terminals and for machines without a renderer."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from expert.case.walk import Path
from expert.export import wording
from expert.export.frames import frames
from expert.export.outline import Branch, CheckSpot, Lane, Leaf, Outline
from expert.model import Knowledge
from expert.text import clean

WIDTH = 78
_STEP = "  "
_NARROWEST = 24


def text_tree(knowledge: Knowledge, outline: Outline, car: str, width: int = WIDTH) -> str:
    """The outline as lines of at most about ``width`` characters, ASCII but for the knowledge.

    Deep places keep room for a few words, even where that makes a line longer than ``width``.
    """
    return "\n".join(line.rstrip() for line in _Text(knowledge, outline, width).whole(car)) + "\n"


class _Text:
    def __init__(self, knowledge: Knowledge, outline: Outline, width: int) -> None:
        self.knowledge = knowledge
        self.outline = outline
        self.width = width
        self.frames = frames(outline)

    def whole(self, car: str) -> Iterator[str]:
        symptom = self.knowledge.symptoms[self.outline.symptom]
        yield from self._wrapped(_marked(wording.DANGER_WORDS[symptom.danger], symptom.title), 0)
        yield from self._wrapped(car, 0)
        for line in wording.legend(self.outline.case, in_text=True):
            yield from self._wrapped(line, 0)
        if not isinstance(self.outline.root, tuple):
            yield from self._target(self.outline.root, 0)
        for path, number in self.frames.items():
            yield ""
            yield f"[{number}] {self.outline.name(path)}"
            yield from self._spot(path, 1)

    def _spot(self, path: Path, depth: int) -> Iterator[str]:
        spot = self.outline.spots[path]
        if spot.here:
            yield from self._wrapped(f"** {wording.HERE} **", depth)
        if isinstance(spot, CheckSpot):
            yield from self._check(spot, depth)
        else:
            yield from self._wrapped(wording.FORK, depth)
        for branch in spot.branches:
            yield from self._branch(branch, depth + 1)

    def _check(self, spot: CheckSpot, depth: int) -> Iterator[str]:
        check = self.knowledge.checks[spot.check]
        if spot.known:
            yield from self._wrapped(f"{check.ask} ({wording.KNOWN.lower()})", depth)
            return
        yield from self._wrapped(f"{check.ask} ({wording.minutes(check.minutes)})", depth)
        if check.loads_engine:
            withheld = f" ({wording.WITHHELD})" if spot.withheld else ""
            yield from self._wrapped(f"{wording.LOADS_ENGINE}{withheld}", depth)
        for work in wording.prepare(self.knowledge, spot):
            yield from self._wrapped(work, depth)
        for signal, names in wording.cautions(self.knowledge, spot):
            yield from self._wrapped(f"{signal}: {names}", depth)

    def _branch(self, branch: Branch, depth: int) -> Iterator[str]:
        for lane in branch.lanes:
            yield from self._wrapped(_lane(lane), depth, hang=3 if lane.walked else 2)
        yield from self._target(branch.target, depth + 1)

    def _target(self, target: Path | Leaf | None, depth: int) -> Iterator[str]:
        if target is None:
            yield from self._wrapped(wording.LEFT, depth)
        elif isinstance(target, Leaf):
            yield from self._leaf(target, depth)
        elif target in self.frames:
            number = self.frames[target]
            yield from self._wrapped(f"go on at [{number}] {self.outline.name(target)}", depth)
        else:
            yield from self._spot(target, depth)

    def _leaf(self, leaf: Leaf, depth: int) -> Iterator[str]:
        if words := wording.DRIVE_WORDS[leaf.drive]:
            yield from self._wrapped(words, depth)
        if not leaf.suspects:
            yield from self._wrapped(wording.NO_SUSPECT, depth)
        for item in leaf.suspects:
            cause = self.knowledge.causes[item.cause]
            stop = wording.DANGER_WORDS["stop"] if cause.danger == "stop" else ""
            line = f"= {wording.chance(item)}: {_marked(stop, cause.title)}"
            yield from self._wrapped(line, depth, hang=2)

    def _wrapped(self, words: str, depth: int, hang: int = 0) -> list[str]:
        indent = _STEP * depth
        width = max(self.width, len(indent) + hang + _NARROWEST)
        return textwrap.wrap(
            clean(words),
            width,
            initial_indent=indent,
            subsequent_indent=indent + " " * hang,
            break_on_hyphens=False,
        )


def _lane(lane: Lane) -> str:
    sign = ">>" if lane.walked else "-"
    return f"{sign} {_marked(wording.DANGER_WORDS[lane.danger], ' / '.join(lane.words))}"


def _marked(danger: str, words: str) -> str:
    return f"{danger}: {words}" if danger else words
