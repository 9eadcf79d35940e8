"""What the questions draw on, and what they come to."""

from __future__ import annotations

from expert.workbench.add.setting import NewEntry, Setting


def test_a_setting_knows_the_files_of_its_folder(setting: Setting) -> None:
    assert setting.files["cause"] == {"all": ("ring-missing", "hose-off", "as-designed:large")}
    assert list(setting.files["check"]) == ["all", "lid", "opening"]
    assert setting.files["check"]["lid"] == ("lid", "bolts")


def test_an_entry_may_stand_alone() -> None:
    entry = NewEntry("check", "a", "b", {})
    assert (entry.symptoms, entry.given, entry.suspects, entry.case) == ({}, {}, {}, None)
    assert entry.stations == {}
