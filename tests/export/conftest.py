from __future__ import annotations

import pytest

from expert.loading.folder import load, shipped_folder
from expert.model import Knowledge


@pytest.fixture(scope="session")
def shipped() -> Knowledge:
    """The knowledge that comes with the program."""
    return load([shipped_folder()])
