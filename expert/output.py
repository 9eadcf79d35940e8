"""What every command does with its results: blocks or one JSON object on stdout."""

from __future__ import annotations

import json
import os
import sys
from contextlib import suppress

from expert.errors import EXIT_DONE, EXIT_MISSING, EXIT_PROBLEMS

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

    from expert.ui.protocol import Block


def print_json(value: object) -> int:
    """Print one JSON object."""
    sys.stdout.write(json.dumps(value, indent=2, ensure_ascii=False) + "\n")
    return EXIT_DONE


def tell(blocks: Sequence[Block], no_color: bool) -> int:
    """Print blocks as a window without questions does."""
    from expert.ui.choose import printer
    from expert.ui.protocol import Leave

    voice = printer(False if no_color else None)
    try:
        for block in blocks:
            voice.tell(block)
    except Leave:
        return quiet_end()
    return EXIT_DONE


def quiet_end() -> int:
    """The reader of our output went away: say nothing more, not even at the interpreter's end."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return EXIT_PROBLEMS


def full_end(error: OSError) -> int:
    """The results cannot be written, as when the disk is full: say so, and nothing after it."""
    quiet_end()
    reason = (error.strerror or str(error)).lower()
    with suppress(OSError):
        sys.stderr.write(f"gatepost: The output cannot be written: {reason}.\n")
    return EXIT_MISSING


def open_closed() -> None:
    """Give stdout and stderr a place when whoever started us has closed them."""
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:
            nowhere = os.open(os.devnull, os.O_WRONLY)
            setattr(sys, name, os.fdopen(nowhere, "w", encoding="utf-8"))
