"""What was learned from sentences and letters as bytes, so that it need not be learned again."""

from __future__ import annotations

import hashlib
import io
import json
from typing import Any, Final

import numpy as np

from expert.evidence.mail.kin import Kin
from expert.evidence.mail.lessons import Habits
from expert.evidence.mail.likeness import Learned, Likeness

# A new number where what is kept, or how it is learned, changes.
FORMAT: Final = 1
_DIGEST: Final = hashlib.sha256().digest_size
_ARRAYS: Final = ("rarity", "begin", "label", "gain", "base", "prior")
_PARTS: Final = ("likeness", "letters")


def packed(kin: Kin) -> bytes:
    """All of it, as NumPy's archive of arrays behind its digest; texts are JSON in UTF-8."""
    arrays: dict[str, Any] = {}
    texts: dict[str, Any] = {"habits": _plain(kin.habits)}
    for part in _PARTS:
        known: Learned = getattr(kin, part).learned
        arrays |= {f"{part}-{name}": getattr(known, name) for name in _ARRAYS}
        texts[part] = {"labels": known.labels, "terms": known.terms}
    arrays["texts"] = np.frombuffer(json.dumps(texts).encode(), dtype=np.uint8)
    stream = io.BytesIO()
    np.savez(stream, **arrays)
    return _digest(stream.getvalue()) + stream.getvalue()


def unpacked(data: bytes) -> Kin:
    """What was packed. Raises ValueError where the bytes are anything else."""
    digest, archive = data[:_DIGEST], data[_DIGEST:]
    if digest != _digest(archive):
        raise ValueError("not packed, damaged, or packed in another format")
    with np.load(io.BytesIO(archive), allow_pickle=False) as arrays:
        texts = json.loads(arrays["texts"].tobytes())
        likeness, letters = (
            Likeness(
                Learned(
                    tuple(texts[part]["labels"]),
                    tuple(texts[part]["terms"]),
                    **{name: arrays[f"{part}-{name}"] for name in _ARRAYS},
                )
            )
            for part in _PARTS
        )
        return Kin(likeness, letters, _habits(texts["habits"]))


def _digest(archive: bytes) -> bytes:
    return hashlib.sha256(FORMAT.to_bytes() + archive).digest()


def _plain(habits: Habits) -> dict[str, Any]:
    answers = [[main, answer, count] for (main, answer), count in habits.answers.items()]
    return {"letters": habits.letters, "answers": answers, "in_all": habits.in_all}


def _habits(plain: dict[str, Any]) -> Habits:
    answers = {(main, answer): count for main, answer, count in plain["answers"]}
    return Habits(plain["letters"], answers, plain["in_all"])
