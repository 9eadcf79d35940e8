"""A small knowledge folder to add to."""

from __future__ import annotations

from pathlib import Path

import pytest

from expert.workbench.add.setting import Setting
from tests.workbench.add import folders


@pytest.fixture
def base(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder that stands for the shipped one."""
    return folders.base(tmp_path, monkeypatch)


@pytest.fixture
def setting(base: Path) -> Setting:
    """What the questions draw on when the base folder is written into."""
    return folders.opened(base)[2]
