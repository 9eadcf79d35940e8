"""What tests of the desk share: messages, a desk and its threads."""

from __future__ import annotations

from functools import cache

from expert.desk.threads import Cases, MemoryCases, Threads
from expert.desk.triage import Desk, Triage
from expert.evidence.mail.reader import read_one
from expert.evidence.mail.source import Raw
from expert.evidence.mail.understood import Read
from expert.loading.folder import load, shipped_folder
from expert.model import Knowledge
from tests.evidence.mail.understanding import lexicon


@cache
def knowledge() -> Knowledge:
    return load([shipped_folder()])


@cache
def desk() -> Desk:
    return Desk(knowledge())


def read(text: str, number: int = 1, id: str = "", answers: str = "", **headers: str) -> Read:
    lines = {"From": "Robin <robin@example.org>", "Subject": "x", **headers}
    if id:
        lines["Message-ID"] = f"<{id}@example.org>"
    if answers:
        lines["In-Reply-To"] = f"<{answers}@example.org>"
    head = "".join(f"{name}: {value}\n" for name, value in lines.items())
    return read_one(number, Raw(f"m{number}", f"{head}\n{text}".encode()), lexicon())


def triage(text: str, **headers: str) -> Triage:
    return desk().triage(read(text, **headers))


def threads(cases: Cases | None = None) -> Threads:
    return Threads(cases or MemoryCases(), knowledge(), lexicon())
