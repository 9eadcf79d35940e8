"""Checking a folder of 2,000 causes and 2,000 checks by all rules, against composing its files.

``python -m tests.benchmarks.check_large DIR`` checks one folder, for the memory that it takes.
"""

from __future__ import annotations

import random
import shutil
import sys
import tempfile
from collections.abc import Iterator
from itertools import islice, product
from pathlib import Path
from typing import Final

import yaml

from expert.loading.folder import shipped_folder
from expert.rules.registry import RULES
from expert.workbench.check import Checked, checked
from tests.benchmarks.figure import Figure
from tests.benchmarks.peaked import peak_bytes
from tests.benchmarks.ratio import ratio, seconds

SIZE: Final = 2000
_A_FILE: Final = 100
_NAMED: Final = 14
_TEXT: Final = """\
amber basin cabin dapper copper fabric gallant harbour indigo jasper kettle lantern marble
napkin orchard pepper quartz rafter saddle timber umbrella velvet walnut yonder zenith anchor
bramble candle dollar eleven forest garden hammer island jacket kitchen ladder mirror needle
office pencil quiver ribbon silver temple under village window yellow zigzag
"""
_WORDS: Final = tuple(_TEXT.split())


def names() -> Iterator[str]:
    """Pairs of words, all of them unlike each other."""
    for one, other in product(_WORDS, _WORDS):
        if one < other:
            yield f"{one}-{other}"
    for one, other, third in product(_WORDS, _WORDS, _WORDS):
        if one < other < third:
            yield f"{one}-{other}-{third}"


def write(folder: Path, size: int = SIZE, cases: bool = True) -> None:
    """The shipped setups with invented causes, checks, cases and a symptom for all of them."""
    for name in ("policy.yaml", "tools.yaml", "cautions.yaml", "preparations.yaml"):
        shutil.copy(shipped_folder() / name, folder / name)
    for name in ("parts", "setups", "bypasses", "schema"):
        shutil.copytree(shipped_folder() / name, folder / name)
    rng = random.Random(1)
    ids = list(islice(names(), size))
    for kind, made in (("causes", _cause), ("checks", _check)):
        (folder / kind).mkdir()
        head = f"# yaml-language-server: $schema=../schema/{kind[:-1]}.json\n"
        for number, start in enumerate(range(0, size, _A_FILE)):
            part = "".join(made(name, ids, rng) for name in ids[start : start + _A_FILE])
            (folder / kind / f"part-{number}.yaml").write_text(head + part, encoding="utf-8")
    proved = ids if cases else ids[:1]
    setup = sorted(path.stem for path in (shipped_folder() / "setups").glob("external-s*"))[0]
    head = "# yaml-language-server: $schema=../schema/cases.json\n"
    for number, start in enumerate(range(0, len(proved), _A_FILE)):
        part = "".join(_case(name, setup) for name in proved[start : start + _A_FILE])
        path = folder / "causes" / f"part-{number}.cases.yaml"
        path.write_text(head + part, encoding="utf-8")
    (folder / "symptoms").mkdir()
    (folder / "symptoms" / "lazy.yaml").write_text(_symptom(ids), encoding="utf-8")


def _cause(name: str, _: list[str], rng: random.Random) -> str:
    one = name.replace("-", " ")
    return f"""\
{name}:
  title: The {one} is worn
  what: >-
    Air goes past the {one} instead of through it. Boost comes late and stays low, and a whistle
    is heard close to the {one}.
  seen: {{just-fitted: {rng.choice(("common", "occasional", "rare"))}, settled: rare}}
  danger: none
  confirm: Look at the {one} with a torch, and feel along its edge for a gap.
  fix: Fit a new {one} with a trace of clean oil, and tighten it by hand.
  minutes: {rng.randint(5, 90)}
  parts: low
  basis: common practice
"""


def _check(name: str, ids: list[str], rng: random.Random) -> str:
    one = name.replace("-", " ")
    rows = "".join(
        f"    {cause}: {{some: .{rng.randint(2, 4)}, much: .{rng.randint(3, 5)}}}\n"
        for cause in dict.fromkeys([name, *rng.sample(ids, _NAMED - 1)])
    )
    return f"""\
{name}:
  ask: How much air goes past the {one}?
  how:
    - Let the pressure off and take the cover of the {one} away.
    - >-
      Hold a strip of paper beside the {one}, have a helper feed air, and watch what the paper does
      for half a minute.
    - Put the cover of the {one} back.
  tools: [torch, helper]
  minutes: {rng.randint(2, 30)}
  answers:
    none: The paper hangs still
    some: The paper trembles
    much: The paper is blown aside
  healthy: {{some: .04, much: .004}}
  given:
{rows}  basis: common practice
"""


def _case(name: str, setup: str) -> str:
    return f"""\
{name}-seen:
  title: A car with a worn {name.replace("-", " ")}
  setup: {setup}
  symptoms: [lazy]
  answers:
    {name}: much
  expect:
    cause: {name}
  basis: invented
"""


def _symptom(ids: list[str]) -> str:
    causes = "".join(f"  {name}: probable\n" for name in ids)
    chain = "".join(
        f"  {name}:\n    check: {name}\n    then:\n      none: {after}\n"
        f"      otherwise: {{suspect: [{name}]}}\n"
        for name, after in zip(ids, [*ids[1:], "end"], strict=True)
    )
    return f"""\
# yaml-language-server: $schema=../schema/symptom.json
title: Won't build boost
what: Less boost than before.
danger: none
causes:
{causes}tree: {ids[0]}
subtrees:
{chain}  end: {{suspect: [{ids[0]}]}}
basis: common practice
"""


def figures() -> Iterator[Figure]:
    if not yaml.__with_libyaml__:
        raise SystemExit("PyYAML was built without its C parser, so there is nothing to compare.")
    for cases, what in ((True, "a case for each cause"), (False, "one case")):
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            write(folder, cases=cases)
            files = list(folder.rglob("*.yaml"))

            def compose(files: list[Path] = files) -> None:
                for path in files:
                    yaml.compose(path.read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)

            def check(folder: Path = folder) -> Checked:
                return checked([folder], RULES)

            count = len(check().findings)
            found = ratio(seconds(check), seconds(compose), runs=3)
            size = sum(path.stat().st_size for path in files) / 1e6
            note = f"{size:.1f} MB, {count} findings"
            yield found.figure(f"check {SIZE} causes, {SIZE} checks, {what} / compose", 4.0, note)
            yield Figure(f"peak memory of that, {what}", _peak_mb(folder), "MB", 300.0)


def _peak_mb(folder: Path) -> float:
    return peak_bytes(folder, ["-m", "tests.benchmarks.check_large", str(folder)]) / 1e6


if __name__ == "__main__":
    print(len(checked([Path(sys.argv[1])], RULES).findings), "findings")
