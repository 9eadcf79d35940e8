"""Journals of invented cars, for what learns from them."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np

from expert.case.car import parts_of
from expert.case.events import Answered, Confirmed, Described, Event, Mended, Opened, encode
from expert.model import Knowledge
from expert.reasoning.network import History
from expert.workbench.calibrate_cars import World

TIME = "2031-05-04T10:20:30+02:00"


def text_of(events: Sequence[Event], time: str = TIME) -> str:
    """The lines of a journal."""
    return "".join(f"{json.dumps(encode(event, time))}\n" for event in events)


def story(
    cause: str,
    *answers: Event,
    setup: str = "outer",
    symptom: str = "lazy",
    digest: str = "0123456789abcdef",
) -> list[Event]:
    """A closed case: told, answered, mended, confirmed."""
    return [
        Opened(digest),
        Described("setup", setup),
        Described("symptom", symptom),
        *answers,
        Mended(cause),
        Confirmed(cause),
    ]


def write(folder: Path, stories: Sequence[Sequence[Event]]) -> Path:
    """Every story as a journal of its own, each begun at another second."""
    folder.mkdir(parents=True, exist_ok=True)
    for k, events in enumerate(stories):
        time = f"2031-05-04T{k // 3600 % 24:02}:{k // 60 % 60:02}:{k % 60:02}+02:00"
        (folder / f"{k:06}.case.jsonl").write_text(text_of(events, time), encoding="utf-8")
    return folder


def drawn(
    truth: Knowledge, digest: str, setup: str, symptom: str, count: int, seed: int
) -> Iterator[list[Event]]:
    """Closed cases of cars that are as ``truth`` says, told with knowledge of that digest."""
    rng = np.random.default_rng(seed)
    parts = parts_of(truth, setup, None, None)
    fresh = History("just-fitted")
    world = World(truth, parts, fresh)
    cars = world.cars(symptom, count, 1, rng)
    told: list[list[Event]] = [[Answered("what-changed", ("just-fitted",))] for _ in range(count)]
    for check, (numbers, answers) in cars.answers.items():
        for number, answer in zip(numbers, answers, strict=True):
            told[int(number)].append(Answered(check, answer))
    for car, events in zip(cars.there, told, strict=True):
        cause = world.causes[int(car.argmax())]
        yield story(cause, *events, setup=setup, symptom=symptom, digest=digest)
