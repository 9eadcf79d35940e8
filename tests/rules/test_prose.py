"""Every text of the knowledge, against a walk that knows nothing of the model."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from typing import Any

from expert.model import Hose
from expert.rules.prose import texts_of, written
from tests import small


def strings(value: Any) -> list[str]:
    """Every string with a blank in it, wherever it is; ids and words have none."""
    if isinstance(value, str):
        return [value] if " " in value else []
    if is_dataclass(value):
        return [text for item in fields(value) for text in strings(getattr(value, item.name))]
    if isinstance(value, dict):
        return [text for inner in value.values() for text in strings(inner)]
    if isinstance(value, tuple):
        return [text for inner in value for text in strings(inner)]
    return []


def test_no_text_is_left_out() -> None:
    knowledge = small.knowledge()
    found = [one.text for one in written(knowledge, {})]
    assert {text for text in strings(knowledge) if text not in strings(knowledge.policy)} <= {
        *found
    }
    assert len(found) > 100


def test_paths_lead_to_the_texts() -> None:
    run = small.CHECKS["hose-trace"]
    texts = dict(texts_of(run))
    assert texts[("ask",)] == run.ask
    assert texts[("how", 1)] == run.how[1]
    assert texts[("answers", "wrong-port")] == "A wrong port"
    layout = next(iter(small.knowledge().setups.values()))
    hose = Hose(from_="a.b", to="c.d", why="It opens the gate")
    hosed = small.replace(layout, hoses={"signal": hose})
    assert dict(texts_of(hosed))[("hoses", "signal", "why")] == hose.why


def test_the_field_is_the_first_step() -> None:
    assert {one.field for one in written(small.knowledge(), {})} >= {"title", "how", "basis"}
