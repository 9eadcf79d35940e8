"""The instruments know the car and nothing of what is written about its faults."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

from expert.bench.faults import FAULTS

HERE = Path(__file__).parents[3] / "expert" / "bench"
MODULES = sorted((HERE / "instruments").glob("*.py"))
# An answer of the trace of hoses that has the name of a fault.
ANSWERS = {"upper-hose-off"}
FORBIDDEN = ("model", "loading", "reasoning", "case", "evidence", "rules", "workbench")


def imports(path: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            found.add(node.module or "")
    return found


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.stem)
def test_an_instrument_imports_the_bench_alone(path: Path) -> None:
    ours = {name for name in imports(path) if name.startswith("expert")}
    assert all(name.startswith("expert.bench") for name in ours)


def test_nothing_of_the_knowledge_is_loaded_with_them() -> None:
    code = "import sys, expert.bench.instruments.registry\nprint(*sorted(sys.modules))"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = {name.split(".")[1] for name in ran.stdout.split() if name.startswith("expert.")}
    assert "bench" in loaded
    assert not loaded & set(FORBIDDEN)
    assert "yaml" not in ran.stdout.split()


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.stem)
def test_no_instrument_names_a_fault(path: Path) -> None:
    words = set(re.findall(r'"([^"\s]+)"', path.read_text(encoding="utf-8")))
    assert words & set(FAULTS) <= ANSWERS


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.stem)
def test_no_instrument_opens_a_file(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert not re.search(r"\bopen\(|read_text|read_bytes|importlib|__import__", text)
