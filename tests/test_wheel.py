"""The built wheel runs in an empty environment, from an empty folder, with its knowledge inside."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import venv
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


def run(*command: str | Path, cwd: Path) -> subprocess.CompletedProcess[str]:
    environ = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    done = subprocess.run(
        [str(word) for word in command],
        cwd=cwd,
        env=environ,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done


@pytest.fixture(scope="module")
def gatepost(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The command as installed from the wheel."""
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "build", "--wheel", "--outdir", folder / "dist", ROOT, cwd=folder)
    venv.create(folder / "venv", with_pip=True)
    programs = folder / "venv" / ("Scripts" if os.name == "nt" else "bin")
    (wheel,) = (folder / "dist").glob("*.whl")
    run(programs / "python", "-m", "pip", "install", "--quiet", wheel, cwd=folder)
    return programs / "gatepost"


def test_it_ranks_from_an_empty_folder(gatepost: Path, tmp_path: Path) -> None:
    done = run(
        gatepost, "rank", "--setup", "external-single", "--symptom", "lazy",
        "--answer", "what-changed=just-fitted", "--answer", "hose-trace=matches",
        "--answer", "light-behind-valve=full-ring", "--json",
        cwd=tmp_path,
    )  # fmt: skip
    assert json.loads(done.stdout)["causes"][0]["id"] == "seat-ring-missing"


def test_it_carries_its_licence_and_schemas(gatepost: Path, tmp_path: Path) -> None:
    done = run(gatepost, "knowledge", "check", cwd=tmp_path)
    assert done.stdout.startswith("No mistakes in")
    installed = next(gatepost.parents[1].rglob("expert/knowledge/policy.yaml")).parent
    assert (installed / "schema" / "cause.json").exists()
    assert list((installed / "heard").glob("*.yaml"))
    assert list((installed / "letters").glob("*.yaml"))
    assert list(installed.parents[1].glob("gatepost-*.dist-info/licenses/LICENSE"))
