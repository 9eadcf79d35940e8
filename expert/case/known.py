"""A name that was typed must be one that is known."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from expert.errors import UsageError
from expert.loading.nearest import nearest
from expert.text import clean

# More names than these are no help on the screen of somebody who has mistyped one.
MOST_NAMES: Final = 12


def known(kind: str, found: str, choices: Iterable[str]) -> None:
    """Raise UsageError, with the nearest name, unless ``found`` is one of the choices."""
    names = list(choices)
    if found in names:
        return
    close = nearest(found, names)
    more = len(names) - MOST_NAMES
    listed = ", ".join(names[:MOST_NAMES]) + (f" and {more} more" if more > 0 else "")
    hint = f" Did you mean {close}?" if close else f" Known: {listed}."
    raise UsageError(f"There is no {kind} {clean(found, 60)!r}.{hint}")
