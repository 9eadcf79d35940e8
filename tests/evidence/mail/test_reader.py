"""Messages read and understood: ``expert/evidence/mail/reader.py``."""

from __future__ import annotations

from pathlib import Path

from expert.evidence.mail.reader import read_all, read_one
from expert.evidence.mail.source import Raw
from tests.evidence.mail.understanding import lexicon


def test_a_broken_message_is_listed_and_the_rest_goes_on(tmp_path: Path) -> None:
    (tmp_path / "a.eml").write_bytes(b"\0\0\0")
    (tmp_path / "b.eml").write_bytes(b"From: x@example.org\n\nthe turbo makes no boost")
    broken, sound = read_all([str(tmp_path)], lexicon())
    assert (broken.number, broken.understanding.kind, broken.mail) == (1, "broken", None)
    assert broken.problem == "it is no text"
    assert (sound.number, sound.understanding.symptoms) == (2, ("lazy",))


def test_a_file_that_could_not_be_had_is_broken() -> None:
    read = read_one(7, Raw("x", b"", "it is over 32 MiB"), lexicon())
    assert (read.number, read.problem, read.understanding.kind) == (
        7,
        "it is over 32 MiB",
        "broken",
    )
