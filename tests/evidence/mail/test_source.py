"""Where messages come from: ``expert/evidence/mail/source.py``."""

from __future__ import annotations

import io
import mailbox
import os
import sys
from email.message import EmailMessage
from pathlib import Path
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.errors import MissingError
from expert.evidence.mail import source as module
from expert.evidence.mail.source import raw_messages


def message(text: str) -> EmailMessage:
    one = EmailMessage()
    one["Subject"] = "x"
    one.set_content(text)
    return one


TEXTS = ["first", "From the start\nFrom: no header\n>From quoted", "third\n\n\n"]


def test_an_mbox_of_the_standard_library(tmp_path: Path) -> None:
    box = mailbox.mbox(tmp_path / "m.mbox")
    for text in TEXTS:
        box.add(message(text))
    box.flush()
    box.close()
    found = list(raw_messages([str(tmp_path / "m.mbox")]))
    assert [one.file for one in found] == [f"{tmp_path}/m.mbox:{n}" for n in (1, 2, 3)]
    assert b"From the start" in found[1].data
    assert b">From the start" not in found[1].data


def test_a_maildir_of_the_standard_library(tmp_path: Path) -> None:
    box = mailbox.Maildir(tmp_path / "m")
    for text in TEXTS:
        box.add(message(text))
    box.close()
    found = list(raw_messages([str(tmp_path / "m")]))
    assert len(found) == len(TEXTS)
    assert all(b"Subject: x" in one.data for one in found)


def test_files_folders_and_stdin(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "plain"
    folder.mkdir()
    (folder / "b.txt").write_text("no boost")
    (folder / ".hidden").write_text("x")
    (folder / "inner").mkdir()
    monkeypatch.setattr(sys, "stdin", SimpleNamespace(buffer=io.BytesIO(b"it creeps")))
    found = list(raw_messages([str(folder), "-"]))
    assert [(Path(one.file).name, one.data) for one in found] == [
        ("b.txt", b"no boost"),
        ("-", b"it creeps"),
    ]


def test_what_is_not_there_is_one_clear_message(tmp_path: Path) -> None:
    with pytest.raises(MissingError, match="no such file"):
        list(raw_messages([str(tmp_path / "none.eml")]))


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes on this system")
def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(MissingError, match="no file or folder"):
        list(raw_messages([str(tmp_path / "pipe")]))
    assert list(raw_messages([str(tmp_path)])) == []


def test_a_message_that_is_too_large_is_passed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "LARGEST_MESSAGE", 100)
    (tmp_path / "m.mbox").write_bytes(
        b"From a\nx: y\n\n" + b"z" * 300 + b"\n\nFrom b\nSubject: s\n\nsmall\n"
    )
    large, small = raw_messages([str(tmp_path / "m.mbox")])
    assert large.problem
    assert not large.data
    assert b"small" in small.data
    (tmp_path / "one.eml").write_bytes(b"z" * 200)
    (one,) = raw_messages([str(tmp_path / "one.eml")])
    assert one.problem


@given(st.lists(st.text("ab \n", min_size=1, max_size=30), min_size=1, max_size=5))
def test_an_mbox_has_as_many_messages_as_were_put_in(
    tmp_path_factory: pytest.TempPathFactory, texts: list[str]
) -> None:
    path = tmp_path_factory.mktemp("box") / "m.mbox"
    path.write_text("".join(f"From x\nA: b\n\n{text}\n\n" for text in texts))
    assert len(list(raw_messages([str(path)]))) == len(texts)
