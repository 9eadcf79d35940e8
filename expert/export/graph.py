"""A symptom's tree as a Graphviz graph: pure, nothing is run and nothing is written."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from expert.case.walk import Path
from expert.export import look, wording
from expert.export.frames import frames
from expert.export.markup import (
    Markup,
    bold,
    cell,
    label,
    lines,
    row,
    sized,
    table,
    text,
    tip,
    wrapped,
)
from expert.export.outline import Branch, CheckSpot, ForkSpot, Lane, Leaf, Outline, Spot
from expert.model import Danger, Knowledge, Signal

if TYPE_CHECKING:
    from graphviz import Digraph

_TITLE_WIDTH = 60
_QUESTION_WIDTH = 34
_ANSWER_WIDTH = 26
_CAUSE_WIDTH = 34
_SMALL = 9


def graph(knowledge: Knowledge, outline: Outline, car: str) -> Digraph:
    """The outline as a graph, left to right; ``car`` says in words which car it is for."""
    from graphviz import Digraph

    dot = Digraph(name=_safe_id(outline.symptom))
    dot.attr(**look.GRAPH, label=label(_title(knowledge, outline, car)))
    dot.attr("node", **look.NODE)
    dot.attr("edge", **look.EDGE)
    _Drawing(knowledge, outline, dot).draw()
    return dot


def _title(knowledge: Knowledge, outline: Outline, car: str) -> Markup:
    symptom = knowledge.symptoms[outline.symptom]
    danger = wording.DANGER_WORDS[symptom.danger]
    head = f"{danger}: {symptom.title}" if danger else symptom.title
    legend = wording.legend(outline.case, in_text=False)
    rows = [
        row(cell(bold(sized(lines(wrapped(head, _TITLE_WIDTH)), 18)))),
        row(cell(sized(lines(wrapped(car, 2 * _TITLE_WIDTH)), 12))),
        row(cell(sized(lines(legend), _SMALL + 1, look.QUIET))),
    ]
    return table(rows)


class _Drawing:
    """Adds an outline to a graph; nodes are numbered, so no text becomes a name."""

    def __init__(self, knowledge: Knowledge, outline: Outline, dot: Digraph) -> None:
        self.knowledge = knowledge
        self.outline = outline
        self.dot = dot
        self.numbers = {path: f"spot{k}" for k, path in enumerate(outline.spots, start=1)}
        self.frames = frames(outline)
        self.ends = 0

    def draw(self) -> None:
        if not isinstance(self.outline.root, tuple):
            self._end(self.dot, self.outline.root)
            return
        # Graphviz stacks what is not connected from the bottom to the top.
        for path in reversed(self.frames):
            with self.dot.subgraph(name=f"cluster_{self.numbers[path]}") as cluster:
                cluster.attr(**look.CLUSTER, label=label(_heading(self._frame_name(path))))
                self._component(cluster, path)

    def _frame_name(self, path: Path) -> str:
        return f"{self.frames[path]} · {self.outline.name(path)}"

    def _component(self, dot: Digraph, start: Path) -> None:
        """A spot with everything after it that belongs to it alone."""
        todo = [start]
        while todo:
            path = todo.pop()
            spot = self.outline.spots[path]
            name = self.numbers[path]
            if isinstance(spot, CheckSpot):
                self._check(dot, name, spot)
            else:
                self._fork(dot, name, spot)
            # Graphviz draws the first branch at the bottom.
            for branch in reversed(spot.branches):
                target = branch.target
                if isinstance(target, tuple) and target not in self.frames:
                    todo.append(target)
                    end = self.numbers[target]
                elif isinstance(target, tuple):
                    end = self._reference(dot, target, branch)
                else:
                    end = self._end(dot, target)
                for lane in reversed(branch.lanes):
                    dot.edge(
                        name,
                        end,
                        label=label(_lane(lane)),
                        **look.edge(lane.danger, lane.walked),
                    )

    def _check(self, dot: Digraph, name: str, spot: CheckSpot) -> None:
        check = self.knowledge.checks[spot.check]
        rows = []
        if spot.here:
            rows.append(row(cell(bold(sized(text(wording.HERE), _SMALL)))))
        rows.append(row(cell(bold(lines(wrapped(check.ask, _QUESTION_WIDTH))))))
        if spot.known:
            rows.append(row(cell(sized(text(wording.KNOWN), _SMALL))))
        else:
            rows += self._facts(spot)
        how = [*check.how, *wording.caution_texts(self.knowledge, spot)]
        dot.node(
            name,
            label=label(table(rows)),
            tooltip=tip(how or [check.ask]),
            id=self._id(name, spot),
            **look.CHECK,
            **look.thick(spot.walked),
        )

    def _facts(self, spot: CheckSpot) -> Iterator[Markup]:
        """Minutes, load, work to do first, and cautions of a check."""
        check = self.knowledge.checks[spot.check]
        if check.loads_engine:
            inner = bold(sized(text(f" {wording.LOADS_ENGINE} "), _SMALL, "white"))
            yield row(cell(table([row(cell(inner, f'bgcolor="{look.INK}"'))])))
        small = [wording.minutes(check.minutes)]
        if spot.withheld:
            small.append(wording.WITHHELD)
        small += wording.prepare(self.knowledge, spot)
        wide = _QUESTION_WIDTH + 6
        yield row(
            cell(sized(lines(line for part in small for line in wrapped(part, wide)), _SMALL))
        )
        for signal, names in wording.cautions(self.knowledge, spot):
            yield row(cell(sized(_signalled(signal, wrapped(names, wide - 8)), _SMALL)))

    def _fork(self, dot: Digraph, name: str, spot: ForkSpot) -> None:
        words = lines([wording.HERE] if spot.here else []) + lines([wording.FORK])
        dot.node(
            name,
            label=label(Markup(words)),
            tooltip=tip([self.knowledge.parts[part].what for part in spot.parts]),
            id=self._id(name, spot),
            **look.FORK,
            **look.thick(spot.walked),
        )

    def _reference(self, dot: Digraph, target: Path, branch: Branch) -> str:
        name = self._next_end()
        walked = any(lane.walked for lane in branch.lanes)
        words = self._frame_name(target)
        dot.node(
            name,
            label=label(bold(text(words))),
            tooltip=tip([f"goes on at: {words}"]),
            URL=f"#{self._id(self.numbers[target], self.outline.spots[target])}",
            **look.REFERENCE,
            **look.thick(walked),
        )
        return name

    def _id(self, name: str, spot: Spot) -> str:
        """What the spot is called inside an SVG file, where references lead to it."""
        return f"{name}-{_safe_id(spot.check if isinstance(spot, CheckSpot) else 'fork')}"

    def _end(self, dot: Digraph, leaf: Leaf | None) -> str:
        name = self._next_end()
        if leaf is None:
            words = sized(lines(wrapped(wording.LEFT, _ANSWER_WIDTH)), _SMALL, look.QUIET)
            dot.node(name, label=label(words), tooltip=tip([wording.LEFT]), **look.LEFT)
            return name
        dot.node(
            name,
            label=label(self._suspects(leaf)),
            tooltip=tip(self.knowledge.causes[item.cause].what for item in leaf.suspects),
            **look.leaf(leaf.drive, leaf.walked),
        )
        return name

    def _suspects(self, leaf: Leaf) -> Markup:
        rows = []
        if words := wording.DRIVE_WORDS[leaf.drive]:
            colour = look.STOP if leaf.drive == "stop" else look.CARE
            rows.append(row(cell(bold(sized(text(words), _SMALL, colour)))))
        items = []
        for item in leaf.suspects:
            cause = self.knowledge.causes[item.cause]
            danger = _danger(cause.danger) if cause.danger == "stop" else Markup("")
            items.append(
                row(
                    Markup(f'<td align="right" valign="top">{text(wording.chance(item))} </td>'),
                    cell(lines(wrapped(cause.title, _CAUSE_WIDTH))),
                    cell(danger, 'valign="top"'),
                )
            )
        if not items:
            items.append(row(cell(lines(wrapped(wording.NO_SUSPECT, _CAUSE_WIDTH)))))
        rows.append(row(cell(table(items))))
        return table(rows)

    def _next_end(self) -> str:
        self.ends += 1
        return f"end{self.ends}"


def _signalled(signal: Signal, words: list[str]) -> Markup:
    """A signal word with what it is for."""
    word = bold(sized(text(signal), _SMALL, look.SIGNALS[signal]))
    return Markup(f"{word} {lines(words)}")


def _heading(words: str) -> Markup:
    """The name of a frame, with room below it for the answers on its topmost line."""
    return table([row(cell(bold(text(words)))), row(cell(Markup(""), 'height="12"'))])


def _lane(lane: Lane) -> Markup:
    """The answers of a line, with the word for their danger in front."""
    rows = []
    if danger := _danger(lane.danger):
        rows.append(row(cell(danger)))
    many = len(lane.words) > 1
    for words in lane.words:
        first, *rest = wrapped(words, _ANSWER_WIDTH)
        shown = [f"- {first}", *(f"  {line}" for line in rest)] if many else [first, *rest]
        rows.append(row(cell(lines(shown))))
    return table(rows)


def _danger(danger: Danger) -> Markup:
    words = wording.DANGER_WORDS[danger]
    if not words:
        return Markup("")
    return bold(sized(lines([words]), _SMALL, look.STOP if danger == "stop" else look.CARE))


def _safe_id(name: str) -> str:
    """An id made of letters, digits and hyphens only, for names inside the picture's file."""
    return re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-") or "tree"
