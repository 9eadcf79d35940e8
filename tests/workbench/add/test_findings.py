"""What the rules find in a change, and did not find before."""

from __future__ import annotations

from pathlib import Path

from expert.loading.folder import load_with_cases
from expert.workbench.add.findings import new_findings
from tests.loading import folders
from tests.workbench.add.folders import FILES

SHOUTS = folders.CAUSES.replace("title: Hose off", "title: HOSE OFF!!")


def found(tmp_path: Path, before: dict[str, str], after: dict[str, str]) -> list[str]:
    loaded = []
    for name, files in (("before", before), ("after", after)):
        folder = folders.write(tmp_path / name, {**FILES, **files})
        loaded.append((load_with_cases([folder]), [folder]))
    return new_findings(
        loaded[0], loaded[1], lambda text: text.replace(f"{tmp_path}/after", f"{tmp_path}/before")
    )


def test_only_what_is_new_is_told(tmp_path: Path) -> None:
    assert found(tmp_path, {}, {}) == []
    (line,) = [
        one for one in found(tmp_path, {}, {"causes/all.yaml": SHOUTS}) if "[shouting]" in one
    ]
    assert line.startswith(f"{tmp_path}/before/causes/all.yaml:")
    assert found(tmp_path, {"causes/all.yaml": SHOUTS}, {"causes/all.yaml": SHOUTS}) == []


def test_a_finding_that_moved_is_not_new(tmp_path: Path) -> None:
    moved = {"causes/all.yaml": f"# A line more.\n\n{SHOUTS}"}
    assert found(tmp_path, {"causes/all.yaml": SHOUTS}, moved) == []
    # Nor is one of an entry that went to another file.
    one = SHOUTS.index("hose-off:")
    two = SHOUTS.index("as-designed:large:")
    elsewhere = {
        "causes/all.yaml": SHOUTS[:one] + SHOUTS[two:],
        "causes/more.yaml": SHOUTS[one:two],
    }
    assert found(tmp_path, {"causes/all.yaml": SHOUTS}, elsewhere) == []
