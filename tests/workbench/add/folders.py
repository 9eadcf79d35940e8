"""A small invented knowledge folder to write into, in place of the shipped one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

import pytest

from expert.loading.folder import Loaded
from expert.workbench.add import target
from expert.workbench.add.draft import Draft, standing
from expert.workbench.add.script import script
from expert.workbench.add.setting import NewEntry, Setting
from expert.workbench.add.target import Target
from tests.loading import folders

# The checks that every conversation begins with, as the program knows them by name.
OPENING = """\
red-flags:
  ask: What have you noticed?
  kind: nominal
  minutes: 1
  answers: {none: nothing, knock: a knock}
  danger: {knock: stop}
  basis: invented
what-changed:
  ask: What changed?
  kind: history
  minutes: 1
  answers: {nothing: nothing, earlier: long ago, just-fitted: just now}
  basis: invented
hose-trace:
  ask: Does every hose match?
  kind: nominal
  minutes: 5
  answers: {matches: all of them, loose: one hangs loose}
  healthy: {loose: .01}
  given:
    hose-off: {loose: certain}
  basis: invented
"""

LID = """\
# Checks of the lid.

# Nothing was ever seen to move it.
lid:
  ask: How does the lid sit?   # of the box
  needs: [external-gate]
  minutes: 2
  answers:
    flat: Flat
    crooked: Crooked
  healthy: {crooked: .02}
  given:
    ring-missing: {crooked: .1}
    # The hose pulls at it.
    hose-off: {crooked: .2}
  basis: >-
    invented
    for this test

# The last one.
bolts:
  ask: Are the bolts tight?
  minutes: 2
  answers: {tight: Tight, loose: Loose}
  given:
    hose-off: {loose: .1}
  basis: invented
"""

FILES = {"checks/opening.yaml": OPENING, "checks/lid.yaml": LID}


def base(folder: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The small folder in place of the shipped one; the data folder is beside it."""
    monkeypatch.setenv("XDG_DATA_HOME", str(folder / "data"))
    monkeypatch.setenv("LOCALAPPDATA", str(folder / "data"))
    made = folders.write(folder / "base", FILES).resolve()
    monkeypatch.setattr(target, "shipped_folder", lambda: made)
    return made


def opened(into: Path, overlays: Sequence[Path] = ()) -> tuple[Target, Loaded, Setting]:
    """The target, all that is loaded, and what the questions draw on."""
    place = target.choose(into, overlays)
    loaded = target.read(place)
    return place, loaded, target.setting_of(loaded, place)


# A whole new cause with its first case; every key is a question, in the order in which they come.
CAUSE: dict[str, tuple[str, ...]] = {
    "kind": ("cause",),
    "title": ("Lid blown off: gone",),
    "id": ("lid-off",),
    "what": ("The lid lies on the floor, and nothing keeps the gas in.",),
    "needs": ("external-gate",),
    "work": ("gate",),
    "seen/just-fitted": ("common",),
    "seen/settled": ("rare",),
    "danger": ("caution",),
    "confirm": ("Look for it.",),
    "fix": ("Put it on.",),
    "cautions": ("hot-parts",),
    "minutes": ("15",),
    "parts": ("low",),
    "basis": ("common practice",),
    "symptoms": ("lazy",),
    "symptom/lazy": ("probable",),
    "shows/lid": ("crooked",),
    "share/lid/crooked": ("almost-certain",),
    "shows/light": ("ring",),
    "share/light/ring": (".4",),
    "shows/spring-run": ("below",),
    "share/spring-run/below": ("probable",),
    "shows/flags": (),
    "shows/bolts": (),
    "shows/hose-trace": ("enough",),
    "more-checks": (),
    "suspect/lazy": ("gate/ring",),
    "file": ("all",),
    "case": ("yes",),
    "case/title": ("The lid was in the boot",),
    "case/id": ("lid-in-boot",),
    "case/setup": ("external",),
    "case/bypass": ("none",),
    "case/symptoms": ("lazy",),
    "case/spring": ("48",),
    "case/checks": ("red-flags", "what-changed", "worked-on", "hose-trace", "lid", "light"),
    "case/answer/red-flags": ("none",),
    "case/answer/what-changed": ("just-fitted",),
    "case/answer/worked-on": ("gate",),
    "case/answer/hose-trace": ("matches",),
    "case/answer/lid": ("crooked",),
    "case/answer/light": ("dark",),
    "case/within": ("9",),
    "case/drive": ("caution",),
    "case/basis": ("invented",),
}

# A new check with its first case.
CHECK: dict[str, tuple[str, ...]] = {
    "kind": ("check",),
    "ask": ("With the ring in hand, how does it look?",),
    "id": ("ring-look",),
    "how/1": ("Take it out.",),
    "how/2": ("Hold it up: look at it.",),
    "how/3": (),
    "answer-kind": ("graded",),
    "answer/1": ("Round",),
    "answer/1/id": ("round",),
    "answer/2": ("Bent",),
    "answer/2/id": ("bent",),
    "answer/3": ("Not there",),
    "answer/3/id": ("gone",),
    "answer/4": (),
    "needs": ("external-gate",),
    "prepare": ("gate-off",),
    "tools": ("lamp",),
    "minutes": ("4",),
    "cautions": ("hot-parts",),
    "loads-engine": ("no",),
    "dangerous": (),
    "healthy/bent": (".02",),
    "healthy/gone": (".01",),
    "finds": ("ring-missing",),
    "found/ring-missing": ("gone",),
    "share/ring-missing/gone": ("almost-certain",),
    "shows/hose-off": ("enough",),
    "cause-of/bent": ("ring-missing",),
    "left-over/ring-missing/bent": (".05",),
    "station/lazy": ("gate",),
    "basis": ("common practice",),
    "file": ("rings",),
    "case": ("yes",),
    "case/title": ("No ring at all",),
    "case/id": ("no-ring",),
    "case/setup": ("external",),
    "case/bypass": ("none",),
    "case/symptoms": ("lazy",),
    "case/spring": (),
    "case/checks": ("red-flags", "what-changed", "worked-on", "hose-trace", "ring-look", "light"),
    "case/answer/red-flags": ("none",),
    "case/answer/what-changed": ("just-fitted",),
    "case/answer/worked-on": ("gate",),
    "case/answer/hose-trace": ("matches",),
    "case/answer/ring-look": ("gone",),
    "case/answer/light": ("ring",),
    "case/within": (),
    "case/drive": ("caution",),
    "case/basis": ("invented",),
}


def draft(setting: Setting, answers: Mapping[str, tuple[str, ...]]) -> Draft:
    """The draft that these answers make, in the order in which the questions come."""
    made = Draft()
    rest = dict(answers)
    while (now := standing(lambda: script(setting), made)).question is not None:
        key = now.question.key
        assert key in rest, f"no answer to {key}; left are {list(rest)}"
        made = made.answered(key, rest.pop(key))
        assert standing(lambda: script(setting), made).used == len(made.answers), key
    assert not rest, f"never asked: {list(rest)}"
    return made


def entry(setting: Setting, answers: Mapping[str, tuple[str, ...]]) -> NewEntry:
    """The entry that the answers come to."""
    result = standing(lambda: script(setting), draft(setting, answers)).result
    assert result is not None
    return result


def lines(setting: Setting, answers: Mapping[str, tuple[str, ...]]) -> list[str]:
    """What somebody types to give these answers."""
    return [", ".join(answer.value) for answer in draft(setting, answers).answers]
