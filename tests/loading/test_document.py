"""One file as it was read: ``expert/loading/document.py``."""

from __future__ import annotations

import pytest
import yaml

from expert.errors import Place
from expert.loading.document import Document


def test_nodes_are_made_when_they_are_asked_for_and_kept() -> None:
    document = Document("f", "a:\n  b: c\n")
    root = document.root
    assert document.root is root
    assert isinstance(root, yaml.MappingNode)
    _, inner = root.value[0]
    assert document.place(inner) == Place("f", 2, 3)


def test_a_file_without_nodes_has_no_root() -> None:
    with pytest.raises(ValueError, match="holds no entry"):
        _ = Document("f", "# nothing").root
