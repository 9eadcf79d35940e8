"""Work without the caution for it, by tools, preparations and words."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.rules.bench import cause, check, lines

CAUTIONS = "".join(
    f"{name}: {{signal: WARNING, text: Beware of {name}., basis: invented}}\n"
    for name in (
        "pressurised-air",
        "under-car",
        "running-engine",
        "road-run",
        "engine-cold",
        "spark-hazard",
        "hot-parts",
    )
)
SHARED = {
    "cautions.yaml": CAUTIONS,
    "tools.yaml": "air-regulator: {title: a regulator}\nsmoke-machine: {title: smoke}\n",
    "preparations.yaml": (
        "car-raised: {title: Raise it, minutes: 9, basis: invented}\n"
        "raised-well: {title: Raise it, minutes: 9, cautions: [under-car], basis: invented}\n"
    ),
}


def _found(tmp_path: Path, more: str, *, with_shared: bool = True) -> list[str]:
    files = {**(SHARED if with_shared else {}), "checks/glance.yaml": check(more=more)}
    return lines("missing-caution", tmp_path, files)


@pytest.mark.parametrize(
    ("work", "why", "caution"),
    [
        ("tools: [air-regulator]", "the tool 'air-regulator'", "pressurised-air"),
        ("tools: [smoke-machine]", "the tool 'smoke-machine'", "spark-hazard"),
        ("prepare: [car-raised]", "the preparation 'car-raised'", "under-car"),
        ("loads-engine: true", "a run under load", "road-run"),
        ("how: [Start the engine.]", "'Start the engine'", "running-engine"),
        ("how: [Listen to it at idle.]", "'Listen to it at idle'", "running-engine"),
        ("how: [Look at it from under the car.]", "'under the car'", "under-car"),
        ("how: [Start the cold engine.]", "'Start the cold engine'", "running-engine"),
        ("how: ['Warm idle, then 2,500 rpm.']", "'Warm idle'", "running-engine"),
        ("how: ['Cold, pull the hose off.']", "'Cold,'", "hot-parts"),
        ("how: [Engine cold. Pull it off.]", "'Engine cold'", "hot-parts"),
        ("how: [Use compressed air.]", "'compressed air'", "pressurised-air"),
    ],
)
def test_the_caution_is_named_once_and_is_enough(
    work: str, why: str, caution: str, tmp_path: Path
) -> None:
    wanted = f"checks/glance.yaml:1:1: {why} calls for the caution '{caution}'; add it"
    assert _found(tmp_path / "without", f"  {work}\n") == [wanted]
    assert _found(tmp_path / "with", f"  {work}\n  cautions: [{caution}]\n") == []
    # With others there, the place is theirs.
    other = "spark-hazard" if caution != "spark-hazard" else "road-run"
    (found,) = _found(tmp_path / "other", f"  {work}\n  cautions: [{other}]\n")
    assert found.startswith("checks/glance.yaml:5:3: ")


@pytest.mark.parametrize(
    "work",
    [
        "how: [Do not start the engine with it open.]",
        "how: [Never go under the car without stands.]",
        "how: [A cold day is best.]",
        "how: [Look at idle and lift-off in the log.]",
        "prepare: [raised-well]",
        "loads-engine: true\n  cautions: [road-run]",
    ],
)
def test_what_calls_for_none(work: str, tmp_path: Path) -> None:
    assert _found(tmp_path, f"  {work}\n") == []


def test_a_running_engine_calls_for_two(tmp_path: Path) -> None:
    exhaust = SHARED["cautions.yaml"].replace("spark-hazard", "exhaust-gas")
    shared = {**SHARED, "cautions.yaml": exhaust}
    text = check(more="  how: [Let it idle.]\n")
    found = lines("missing-caution", tmp_path, {**shared, "checks/glance.yaml": text})
    assert [line.split("caution ")[1] for line in found] == [
        "'exhaust-gas'; add it",
        "'running-engine'; add it",
    ]


def test_a_caution_that_nobody_wrote_is_not_asked_for(tmp_path: Path) -> None:
    assert _found(tmp_path, "  how: [Start the engine.]\n", with_shared=False) == []


def test_repairs_have_cautions_too(tmp_path: Path) -> None:
    text = cause().replace("Mend it.", "Wait until the turbo is cold.")
    assert lines("missing-caution", tmp_path, {**SHARED, "causes/leak.yaml": text}) == [
        "causes/leak.yaml:1:1: 'turbo is cold' calls for the caution 'hot-parts'; add it"
    ]
