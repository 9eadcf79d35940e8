"""Ids made of titles. Pure."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection
from typing import Final

from expert.loading.forms import LONGEST_ID, RESERVED

_MOST_WORDS: Final = 4
# Words that an id reads as well without.
_SMALL: Final = frozenset(
    re.findall(
        r"\w+",
        "a an the of on in at to from with without for by and or is are was it its does do that "
        "this there what how which",
    )
)


def id_from(title: str, taken: Collection[str] = (), fallback: str = "new") -> str:
    """An id for a title that nothing has yet: its first telling words, joined by hyphens."""
    plain = unicodedata.normalize("NFKD", title.casefold().replace("'", ""))
    words = re.findall(r"[a-z0-9]+", plain.encode("ascii", "ignore").decode("ascii"))
    telling = [word for word in words if word not in _SMALL] or words
    name = "-".join(telling[:_MOST_WORDS])[:LONGEST_ID].strip("-") or fallback
    return free_id(f"{name}-1" if name in RESERVED else name, taken)


def free_id(name: str, taken: Collection[str]) -> str:
    """The id itself, or with the first number that nobody has behind it."""
    if name not in taken:
        return name
    number = 2
    while (found := f"{name[: LONGEST_ID - len(str(number)) - 1].rstrip('-')}-{number}") in taken:
        number += 1
    return found
