"""A folder to run the commands of the documentation in, as a newcomer would."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from expert.loading.folder import load, shipped_folder
from expert.model import Knowledge
from tests.docs.pages import ROOT

Shell = Callable[[str], subprocess.CompletedProcess[str]]


@pytest.fixture(scope="session")
def shipped() -> Knowledge:
    return load([shipped_folder()])


@pytest.fixture
def scratch(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder that looks like a clone: it holds ``knowledge`` and is the current one."""
    shutil.copytree(shipped_folder(), tmp_path / "knowledge")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("LOCALAPPDATA", str(tmp_path / "data"))
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("COLUMNS", "80")
    return tmp_path


@pytest.fixture
def shell(scratch: Path) -> Shell:
    """Runs the lines of a shell block; ``gatepost`` and ``python`` are those under test."""
    if os.name == "nt":
        pytest.skip("the shell blocks are for a POSIX shell")
    programs = scratch / ".programs"
    programs.mkdir()
    for name, arguments in (("gatepost", " -m expert"), ("python", "")):
        program = programs / name
        program.write_text(f'#!/bin/sh\nexec "{sys.executable}"{arguments} "$@"\n')
        program.chmod(0o755)
    environ = {
        **os.environ,
        "PATH": f"{programs}{os.pathsep}{os.environ['PATH']}",
        "PYTHONPATH": str(ROOT),
        "PYTHONIOENCODING": "utf-8",
    }

    def run(text: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            ["/bin/sh", "-e", "-c", text],
            cwd=scratch,
            env=environ,
            capture_output=True,
            encoding="utf-8",
            check=False,
        )

    return run
