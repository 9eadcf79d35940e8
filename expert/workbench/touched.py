"""Which cars a change can touch: those for which the reasoning reads anything that differs.

What a consultation reads for one car is the policy, the causes that the car can have, the checks
that fit it with their rows for those causes, the preparations of these checks, and the symptoms
that were told. Texts, cautions and excuses are shown and never weighed. So where all of this is the
same on both sides, in the same order, so is every step; anything else counts as touched. A field
of the model that is not named here as a text counts as read.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields, is_dataclass
from functools import cached_property
from typing import Any, Final

from expert.case.safety import HOSES, RED_FLAGS
from expert.model import Check, Knowledge, Symptom
from expert.reasoning.network import applicable

# The fields that no consultation reads, by kind.
UNREAD: Final[Mapping[str, frozenset[str]]] = {
    "policy": frozenset({"basis"}),
    "cause": frozenset({"title", "what", "confirm", "fix", "cautions", "excused", "basis"}),
    "check": frozenset({"ask", "how", "cautions", "measure", "excused", "basis"}),
    "symptom": frozenset({"title", "what", "excused", "basis"}),
    "preparation": frozenset({"title", "cautions", "basis"}),
}
# Of these only what concerns the causes of the car is read.
_BY_CAUSE: Final = {"check": "given", "symptom": "causes"}
# Looked up whether they fit or not.
_ALWAYS: Final = (HOSES, RED_FLAGS)


class Touched:
    """Answers, for two states of the knowledge, whether a car can come out otherwise."""

    def __init__(self, old: Knowledge, new: Knowledge) -> None:
        self.old = old
        self.new = new
        self.policy = _read("policy", old.policy) != _read("policy", new.policy)
        self.causes = _differing("cause", old.causes, new.causes)
        self.checks = _differing("check", old.checks, new.checks)
        self.symptoms = _differing("symptom", old.symptoms, new.symptoms)
        self.preparations = _differing("preparation", old.preparations, new.preparations)
        self._rows = _rows(old.checks, new.checks, "given")
        self._shows = _rows(old.symptoms, new.symptoms, "causes")
        self._cars: dict[frozenset[str], bool] = {}

    @cached_property
    def nothing(self) -> bool:
        """Is everything that is read the same, for every car?"""
        entries = self.causes or self.checks or self.symptoms or self.preparations
        return not (self.policy or entries or self._rows or self._shows)

    def car(self, before: frozenset[str], after: frozenset[str], symptoms: Iterable[str]) -> bool:
        """Can a car with these parts on either side, and these symptoms, come out otherwise?"""
        if before != after:
            return True
        if before not in self._cars:
            self._cars[before] = self._parts(before)
        return self._cars[before] or any(self._symptom(one, before) for one in symptoms)

    def _parts(self, parts: frozenset[str]) -> bool:
        causes = applicable(self.old, parts)
        checks = _fitting(self.old.checks, parts)
        if causes != applicable(self.new, parts) or checks != _fitting(self.new.checks, parts):
            return True
        if self.policy or not self.causes.isdisjoint(causes):
            return True
        if not self.checks.isdisjoint([*checks, *_ALWAYS]):
            return True
        prepared = {work for check in checks for work in self.old.checks[check].prepare}
        if not self.preparations.isdisjoint(prepared):
            return True
        return any(
            not self._rows[check].isdisjoint(causes) for check in checks if check in self._rows
        )

    def _symptom(self, symptom: str, parts: frozenset[str]) -> bool:
        if symptom in self.symptoms:
            return True
        rows = self._shows.get(symptom, frozenset())
        return not rows.isdisjoint(applicable(self.old, parts))


def _differing(kind: str, old: Mapping[str, Any], new: Mapping[str, Any]) -> frozenset[str]:
    """The entries of which something differs that is read of them by themselves."""
    return frozenset(
        name
        for name in {**old, **new}
        if name not in old or name not in new or _read(kind, old[name]) != _read(kind, new[name])
    )


def _rows(
    old: Mapping[str, Check] | Mapping[str, Symptom],
    new: Mapping[str, Check] | Mapping[str, Symptom],
    field: str,
) -> dict[str, frozenset[str]]:
    """Entry -> the causes whose row in a field differs, for entries that are on both sides."""
    found = {}
    for name in old:
        if name in new:
            before, after = getattr(old[name], field), getattr(new[name], field)
            causes = [one for one in {**before, **after} if before.get(one) != after.get(one)]
            if causes:
                found[name] = frozenset(causes)
    return found


def _read(kind: str, entry: Any) -> Sequence[Any]:
    """What is read of an entry, but for its rows by cause; the order of keys counts."""
    left_out = UNREAD[kind] | {_BY_CAUSE.get(kind, "")}
    return [
        _keys_in_order(field.name, getattr(entry, field.name))
        for field in fields(entry)
        if field.name not in left_out
    ]


def _keys_in_order(name: str, value: Any) -> Any:
    """A value whose comparison heeds the order of keys; of answers the words are left out."""
    if name == "answers":
        return tuple(value)
    if isinstance(value, Mapping):
        return tuple((key, _keys_in_order("", inner)) for key, inner in value.items())
    if is_dataclass(value):
        inner = (getattr(value, field.name) for field in fields(value))
        return (type(value).__name__, *(_keys_in_order("", one) for one in inner))
    return value


def _fitting(checks: Mapping[str, Check], parts: frozenset[str]) -> tuple[str, ...]:
    return tuple(name for name, check in checks.items() if check.fits(parts))
