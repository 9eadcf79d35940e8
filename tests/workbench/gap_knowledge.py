"""Small invented knowledge with gaps that are known by how it is made."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from expert.loading.folder import shipped_folder
from expert.model import Ask, Check, Knowledge, Suspect, Tree
from expert.workbench.gap_cars import Car, cars
from tests import small

BAD = {"bad": 0.9}


def cause(confirm: str = "Look at it.", **more: Any) -> Any:
    return small.cause("A cause", confirm=confirm, parts="none", **more)


def check(given: dict[str, dict[str, float]], ask: str = "What is seen?", **more: Any) -> Check:
    answers = {"fine": "Fine", "odd": "Odd", "bad": "Bad"}
    return small.check(ask, answers, given, **{"healthy": {"odd": 0.01, "bad": 0.01}, **more})


def knowledge(
    causes: dict[str, Any],
    checks: dict[str, Check],
    shares: dict[str, dict[str, float]],
    asked: tuple[str, ...] = (),
    **more: Any,
) -> Knowledge:
    """Cars with an outer gate and no bypass; the trees of all symptoms ask the checks ``asked``."""
    tree: Tree = Suspect(())
    for name in reversed(asked):
        tree = Ask(name, {"otherwise": tree})
    symptoms = {
        name: replace(small.LAZY, causes=row, tree=tree, subtrees={})
        for name, row in shares.items()
    }
    setups = {"outer": small.knowledge().setups["outer"]}
    parts = {"causes": causes, "checks": checks, "symptoms": symptoms, "setups": setups}
    return small.knowledge(**{**parts, "bypasses": {}, **more})


def car(*args: Any, **more: Any) -> Car:
    """The one car of such knowledge."""
    (one,) = cars(knowledge(*args, **more), ["outer"])
    return one


TWIN = """\
  title: A twin
  what: One of two that cannot be told apart.
  seen: {just-fitted: common, settled: common}
  danger: none
  confirm: Ask the other one.
  fix: Mend both.
  minutes: 10
  parts: none
"""


def twins(folder: Path, more: str = "") -> Path:
    """A folder with two causes of flutter that answer every check like a sound car.

    ``more`` are lines that both of them get.
    """
    for name in ("causes", "symptoms"):
        (folder / name).mkdir(parents=True)
    body = f"{TWIN}{more}  basis: invented\n"
    causes = f"twin-one:\n{body}twin-two:\n{body}"
    (folder / "causes" / "twins.yaml").write_text(causes, encoding="utf-8")
    shipped = (shipped_folder() / "symptoms" / "flutter.yaml").read_text(encoding="utf-8")
    flutter = shipped.replace("\ncauses:\n", "\ncauses:\n  twin-one: .9\n  twin-two: .9\n", 1)
    (folder / "symptoms" / "flutter.yaml").write_text(flutter, encoding="utf-8")
    return folder
