"""A name that was typed must be one that is known."""

from __future__ import annotations

from collections.abc import Iterable

from expert.errors import UsageError
from expert.loading.nearest import nearest
from expert.text import clean


def known(kind: str, found: str, choices: Iterable[str]) -> None:
    """Raise UsageError, with the nearest name, unless ``found`` is one of the choices."""
    names = list(choices)
    if found in names:
        return
    close = nearest(found, names)
    hint = f" Did you mean {close}?" if close else f" Known: {', '.join(names)}."
    raise UsageError(f"There is no {kind} {clean(found, 60)!r}.{hint}")
