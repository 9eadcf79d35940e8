"""The name that was probably meant, for a name that is not known."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

_LONGEST_NAME = 60


def nearest(word: str, names: Iterable[str]) -> str | None:
    """The one of ``names`` that is most like ``word``, or None when none is like it."""
    if not word or len(word) > _LONGEST_NAME:
        return None
    candidates = list(names)
    plain = word.strip().casefold().replace("_", "-").replace(" ", "-")
    if plain in candidates:
        return plain
    close = get_close_matches(plain, candidates, n=1, cutoff=0.7)
    return close[0] if close else None
