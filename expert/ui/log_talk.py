"""Logs in the dialogue: what they show joins the case, and only what is left is asked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from expert.case.events import Event
from expert.case.logged import log_events, terms_of
from expert.case.state import State
from expert.evidence.log.overrides import Override
from expert.evidence.log.read import testimony
from expert.model import Knowledge
from expert.ui.protocol import Block
from expert.ui.show_log import log_blocks


@dataclass(frozen=True, slots=True)
class Logs:
    """Logs that wait to be read, and what was said of their channels."""

    files: tuple[Path, ...] = ()
    channels: Mapping[str, Override] = field(default_factory=dict)
    lowest: bool = False


def read_in(
    knowledge: Knowledge, state: State, logs: Logs, files: Sequence[Path]
) -> tuple[list[Event], list[Block]]:
    """What some logs add to a case, and what is said about them."""
    read = testimony(knowledge, terms_of(knowledge, state, logs.channels, logs.lowest), files)
    blocks = [block for one in read for block in log_blocks(knowledge, one)]
    return log_events(knowledge, read), blocks
