"""Names of columns that two channels claim."""

from __future__ import annotations

from pathlib import Path

import pytest

from expert.loading.folder import shipped_folder
from expert.rules.registry import BY_ID
from expert.workbench.check import checked
from tests.rules.bench import lines


def _channels(*entries: tuple[str, str, str]) -> dict[str, str]:
    text = "".join(
        f"{name}:\n  title: a\n  quantity: {quantity}\n  names: [{names}]\n  basis: invented\n"
        for name, quantity, names in entries
    )
    return {"channels.yaml": text}


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("boost target", "Boost_Target"),
        ("boost target", "target boost"),
        ("boost target", "BoostTarget.1"),
        ("Régime", "regime"),
    ],
)
def test_the_later_of_two_is_shown(one: str, other: str, tmp_path: Path) -> None:
    files = _channels(("boost", "pressure", one), ("target", "pressure", f"alpha, {other}"))
    (found,) = lines("shared-name", tmp_path, files)
    assert found.startswith(f"channels.yaml:9:18: '{other}' is the same name as '{one}'")


def test_twice_in_one_channel(tmp_path: Path) -> None:
    (found,) = lines("shared-name", tmp_path, _channels(("boost", "pressure", "MAP, map")))
    assert "of this channel" in found


def test_units_tell_quantities_apart(tmp_path: Path) -> None:
    files = _channels(("rpm", "rotation", "speed"), ("speed", "speed", "speed"))
    assert lines("shared-name", tmp_path, files) == []
    files = _channels(("rpm", "rotation", "speed"), ("wheel", "any", "speed"))
    assert len(lines("shared-name", tmp_path, files)) == 1


def test_shipped_channels_share_no_name() -> None:
    found = checked([shipped_folder()], [BY_ID["shared-name"]])
    assert [str(one.place) for one in found.findings] == []
