"""A module imports only from its own layer and from those below it in the house."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "expert"

# The first word after `expert.` decides the layer; a higher number may import a lower one.
LAYERS = {
    "errors": 1,
    "model": 1,
    "text": 1,
    "units": 1,
    "loading": 2,
    "rules": 2,
    "reasoning": 3,
    "bench": 4,
    "evidence": 5,
    "case": 6,
    "export": 7,
    "workbench": 7,
    "desk": 7,
    "ui": 8,
    "options": 9,
    "knowledge_options": 9,
    "knowledge_cli": 9,
    "asked": 9,
    "output": 9,
    "log_options": 9,
    "log_cli": 9,
    "bench_options": 9,
    "bench_cli": 9,
    "plumbing_options": 9,
    "plumbing_cli": 9,
    "mail_heard": 9,
    "mail_options": 9,
    "mail_cli": 9,
    "cli": 9,
    "__main__": 9,
}
# Packages of one layer that must not know each other.
APART = [("loading", "rules"), ("export", "workbench"), ("export", "desk")]


def imported(path: Path) -> set[str]:
    """The expert modules that a file imports, wherever in the file it does."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import in line {node.lineno}"
            found.add(node.module or "")
    return {name.removeprefix("expert.") for name in found if name.startswith("expert.")}


MODULES = sorted(PACKAGE.rglob("*.py"))


def place(path: Path) -> str:
    parts = path.relative_to(PACKAGE).with_suffix("").parts
    return parts[0]


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_imports_point_down(path: Path) -> None:
    here = place(path)
    if here == "__init__":
        assert imported(path) == set()
        return
    for name in imported(path):
        there = name.split(".")[0]
        assert LAYERS[there] <= LAYERS[here], f"{path} imports {name}"
        assert (here, there) not in APART, f"{path} imports {name}"


def test_the_test_can_fail(tmp_path: Path) -> None:
    wrong = tmp_path / "wrong.py"
    wrong.write_text("def f():\n    from expert.ui.talk import run\n    import expert.cli\n")
    assert imported(wrong) == {"ui.talk", "cli"}


def test_every_module_has_its_tests_beside_it() -> None:
    missing = []
    for path in MODULES:
        relative = path.relative_to(PACKAGE)
        if relative.name in ("__init__.py", "__main__.py"):
            continue
        expected = ROOT / "tests" / relative.parent / f"test_{relative.name}"
        if not expected.exists():
            missing.append(str(expected.relative_to(ROOT)))
    assert missing == []
