"""The kinds of entries in a knowledge folder, and where each of them is written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from expert import model


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of entry.

    ``home`` is a file (tools.yaml), a folder (causes) or a pattern (*.cases.yaml). ``alone`` says
    that a file is one entry, whose id is the name of the file; otherwise a file is a mapping from
    ids to entries. ``more`` is what may stand instead of an entry to add to that of an earlier
    folder; it is known by its first key.
    """

    name: str
    entry: Any
    field: str
    home: str
    alone: bool
    schema: str
    more: Any = None

    @property
    def in_folder(self) -> bool:
        """Whether the entries are in the files of a folder, not in one file."""
        return self.home.startswith("*") or not self.home.endswith(".yaml")


KINDS: Final[Mapping[str, Kind]] = {
    kind.name: kind
    for kind in (
        Kind("policy", model.Policy, "policy", "policy.yaml", True, "policy"),
        Kind("tool", model.Tool, "tools", "tools.yaml", False, "tools"),
        Kind("caution", model.Caution, "cautions", "cautions.yaml", False, "cautions"),
        Kind(
            "preparation",
            model.Preparation,
            "preparations",
            "preparations.yaml",
            False,
            "preparations",
        ),
        Kind("part", model.Part, "parts", "parts", False, "part"),
        Kind("setup", model.Plumbing, "setups", "setups", True, "plumbing"),
        Kind("bypass", model.Plumbing, "bypasses", "bypasses", True, "plumbing"),
        Kind("cause", model.Cause, "causes", "causes", False, "cause"),
        Kind("check", model.Check, "checks", "checks", False, "check"),
        Kind("symptom", model.Symptom, "symptoms", "symptoms", True, "symptom"),
        Kind(
            "channel",
            model.LogChannel,
            "channels",
            "channels.yaml",
            False,
            "channels",
            model.MoreNames,
        ),
        Kind("reading", model.LogReading, "readings", "readings.yaml", False, "readings"),
    )
}

# Case files lie beside the topic that they prove, in any folder, and are read only to try them.
CASE: Final = Kind("case", model.KnownCase, "cases", "*.cases.yaml", False, "cases")
ALL_KINDS: Final[tuple[Kind, ...]] = (*KINDS.values(), CASE)

POLICY: Final = "policy"
SCHEMA_FOLDER: Final = "schema"
# What customers were heard to say is read by mail alone.
HEARD_FOLDER: Final = "heard"
# Whole letters of theirs likewise.
LETTERS_FOLDER: Final = "letters"
HOMES: Final[Mapping[str, Kind]] = {kind.home: kind for kind in KINDS.values()}
