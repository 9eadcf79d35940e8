"""What was heard is learned once: ``expert/mail_heard.py``."""

from __future__ import annotations

from pathlib import Path

import pytest

from expert.errors import KnowledgeError
from expert.evidence.mail.kin import Kin
from expert.loading.folder import load, shipped_folder
from expert.mail_heard import kin_of
from expert.model import Knowledge


@pytest.fixture(scope="module")
def knowledge() -> Knowledge:
    return load([shipped_folder()])


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    path = tmp_path / "ours"
    (path / "heard").mkdir(parents=True)
    (path / "heard" / "a.yaml").write_text("lazy: [no push at all]\nnone: [thank you]\n")
    return path


def kept(tmp_path: Path) -> list[Path]:
    return sorted((tmp_path / "kept" / "gatepost").glob("*"))


def learned(folder: Path, knowledge: Knowledge, tmp_path: Path) -> Kin:
    return kin_of([folder], knowledge, {"XDG_CACHE_HOME": str(tmp_path / "kept")})


def test_the_second_start_reads_what_the_first_has_kept(
    folder: Path, knowledge: Knowledge, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = learned(folder, knowledge, tmp_path)
    (file,) = kept(tmp_path)
    monkeypatch.setattr("expert.mail_heard.load_heard", pytest.fail)
    second = learned(folder, knowledge, tmp_path)
    assert second.likeness.labels == first.likeness.labels == ("lazy", "none")
    assert kept(tmp_path) == [file]


def test_a_sentence_more_is_learned(folder: Path, knowledge: Knowledge, tmp_path: Path) -> None:
    learned(folder, knowledge, tmp_path)
    (folder / "heard" / "b.yaml").write_text("vague: [it is odd]\n")
    assert "vague" in learned(folder, knowledge, tmp_path).likeness.labels
    assert len(kept(tmp_path)) == 2


def test_a_letter_more_is_learned(folder: Path, knowledge: Knowledge, tmp_path: Path) -> None:
    learned(folder, knowledge, tmp_path)
    (folder / "letters").mkdir()
    (folder / "letters" / "b.yaml").write_text("- text: It is odd.\n  topic: vague\n")
    assert learned(folder, knowledge, tmp_path).letters.labels == ("vague",)


def test_only_the_latest_are_kept(folder: Path, knowledge: Knowledge, tmp_path: Path) -> None:
    for number in range(7):
        (folder / "heard" / "b.yaml").write_text(f"vague: [it is odd {number}]\n")
        learned(folder, knowledge, tmp_path)
    assert len(kept(tmp_path)) == 4


def test_a_broken_file_is_learned_again(folder: Path, knowledge: Knowledge, tmp_path: Path) -> None:
    learned(folder, knowledge, tmp_path)
    (file,) = kept(tmp_path)
    whole = file.read_bytes()
    file.write_bytes(whole[: len(whole) // 2])
    assert learned(folder, knowledge, tmp_path).likeness.labels == ("lazy", "none")
    assert len(file.read_bytes()) == len(whole)


def test_where_nothing_can_be_kept_it_is_learned_each_time(
    folder: Path, knowledge: Knowledge, tmp_path: Path
) -> None:
    (tmp_path / "kept").write_text("in the way")
    assert learned(folder, knowledge, tmp_path).likeness.labels == ("lazy", "none")
    assert (tmp_path / "kept").read_text() == "in the way"


def test_mistakes_are_told_whatever_is_kept(
    folder: Path, knowledge: Knowledge, tmp_path: Path
) -> None:
    learned(folder, knowledge, tmp_path)
    (folder / "heard" / "b.yaml").write_text("lazzy: [no push]\n")
    with pytest.raises(KnowledgeError):
        learned(folder, knowledge, tmp_path)
