"""From a log file to its testimony: what it shows, what it cannot tell, and which pull would.

One door for the command, the dialogue and the mail: a file by its path or by its bytes.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Final

from expert.errors import EXIT_DONE, EXIT_PROBLEMS, GatepostError
from expert.evidence.log.errors import LogError
from expert.evidence.log.findings import Shown, Unsure, judge
from expert.evidence.log.record import Channel, Features, LogFinding, Measured, Recording, Span
from expert.evidence.log.related import off_by, related, unseen
from expert.model import Knowledge
from expert.text import clean

if TYPE_CHECKING:
    from expert.evidence.log.overrides import Override
    from expert.evidence.log.record import Sheet

SOLENOID: Final = "boost-solenoid"
HAND_CONTROLLER: Final = "manual-controller"
# What only a pull at the lowest setting can show.
_AT_LOWEST: Final = (
    "boost_at_zero_duty_kpa",
    "boost_over_spring_kpa",
    "boost_end_at_zero_duty_kpa",
    "boost_of_spring_pct",
    "boost_end_over_spring_kpa",
    "rises_at_end_pct",
    "slows_to_pct",
    "near_spring_rpm",
    "onset_at_zero_duty_rpm",
)
# What a boost sensor that is stuck leaves to be told.
_STILL: Final = frozenset(
    {
        "peak_boost_kpa",
        "idle_vacuum_kpa",
        "key_on_off_kpa",
        "throttle_closed",
        "throttle_least_pct",
        "throttle_most_pct",
        "intake_coldest_c",
        "duty_max_pct",
        "slip_pct",
    }
)
_STUCK: Final = "the boost sensor reads the same all the time"
_UNSEEN: Final = "the boost sensor does not see the manifold"
UNSEEN: Final = (
    "At idle the boost sensor reads hardly less than outside air, so it is not joined to the "
    "manifold as it should be. Boost is not known from this log; it may be far higher than it "
    "reads."
)
_SETTING: Final = (
    "the log does not say where the hand controller stood; if it was at its lowest setting, say so "
    "with --lowest"
)
NO_BOOST: Final = (
    "no boost channel was found, and without it there is nothing to judge; name it with "
    "--channel boost=NAME:unit"
)
# How a note of the reading names the channel that it is about.
_ABOUT_BOOST: Final = "(boost)"
NO_PULL: Final = "no full-throttle pull is in it, and nothing else that tells anything"
NOT_LOADED: Final = "No full-throttle pull is in it, so boost is not judged."


@dataclass(frozen=True)
class Testimony:
    """What one log says. ``reason`` says why a log is not usable, else it is empty.

    ``code`` is the exit code that goes with it. A log that is not usable has no symptoms and no
    findings.
    """

    file: str
    usable: bool
    reason: str = ""
    code: int = EXIT_DONE
    channels: tuple[Channel, ...] = ()
    notes: tuple[str, ...] = ()
    recording: Recording | None = None
    features: Features | None = None
    symptoms: tuple[Shown, ...] = ()
    findings: tuple[LogFinding, ...] = ()
    unsure: tuple[Unsure, ...] = ()
    advice: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Terms:
    """How logs are to be read: the car, what is known of it, and what the user says of channels.

    ``channels`` are what the user says of columns, by channel. ``lowest`` says that a hand
    controller stood at its lowest setting.
    """

    parts: Collection[str]
    spring_kpa: float | None = None
    target_kpa: float | None = None
    channels: Mapping[str, Override] = field(default_factory=dict)
    lowest: bool = False


def testimony(knowledge: Knowledge, terms: Terms, files: Sequence[Path]) -> list[Testimony]:
    """What each file says; a file that says nothing does not stop the others."""
    from expert.evidence.log.sheet import open_log

    return [
        _testimony(knowledge, terms, clean(str(path)), partial(open_log, path)) for path in files
    ]


def testimony_of_bytes(knowledge: Knowledge, terms: Terms, name: str, data: bytes) -> Testimony:
    """The same for the bytes of a file, such as an attachment of a message."""
    from expert.evidence.log.sheet import open_bytes

    return _testimony(knowledge, terms, clean(name, 200), partial(open_bytes, name, data))


def _testimony(
    knowledge: Knowledge, terms: Terms, file: str, opened: Callable[[], Sheet]
) -> Testimony:
    from expert.evidence.log.recording import record

    try:
        recording = record(opened(), knowledge.channels, terms.channels)
    except GatepostError as error:
        reason = error.reason if isinstance(error, LogError) else str(error)
        return Testimony(file, False, reason, code=error.exit_code)
    return testimony_of(knowledge, terms, recording)


def testimony_of(knowledge: Knowledge, terms: Terms, recording: Recording) -> Testimony:
    """What a recording says."""
    from expert.evidence.log.features import measure
    from expert.evidence.log.plausible import plausible

    file = clean(recording.file)
    read = Testimony(
        file, False, channels=recording.channels, notes=recording.notes, recording=recording
    )
    if "boost" not in recording.values:
        doubt = next((note for note in recording.notes if _ABOUT_BOOST in note), NO_BOOST)
        return replace(read, reason=doubt, code=EXIT_PROBLEMS)
    doubts = plausible(recording)
    if not doubts.usable:
        return replace(read, reason=doubts.reason, code=EXIT_PROBLEMS)
    notes = (*recording.notes, *(doubt.sentence for doubt in doubts.doubts))
    logs_target = "target" in recording.values
    recording = _with_target(recording, terms.target_kpa)
    features = measure(recording, terms.spring_kpa, SOLENOID in terms.parts)
    more = related(features.measured, terms.spring_kpa, terms.target_kpa)
    features = replace(features, measured=off_by({**features.measured, **more}))
    if not logs_target:
        features = _without(features, ["target_below_told_kpa"], "the log has no boost target")
    blind = next((doubt.sentence for doubt in doubts.doubts if doubt.kind == "stuck"), "")
    if blind or unseen(features.measured):
        why = _STUCK if blind else _UNSEEN
        notes = notes if blind else (*notes, UNSEEN)
        features = _without(
            features, [name for name in features.measured if name not in _STILL], why
        )
    if HAND_CONTROLLER in terms.parts and not terms.lowest:
        features = _without(features, _AT_LOWEST, _SETTING)
    whole = Span(float(recording.time_s[0]), float(recording.time_s[-1]))
    judged = judge(knowledge, terms.parts, features, whole)
    usable = bool(features.pulls or judged.findings or judged.symptoms)
    if usable and not features.pulls:
        notes = (*notes, NOT_LOADED)
    return replace(
        read,
        usable=usable,
        notes=notes,
        reason="" if usable else NO_PULL,
        code=EXIT_DONE if usable else EXIT_PROBLEMS,
        recording=recording,
        features=features,
        symptoms=judged.symptoms,
        findings=judged.findings,
        unsure=judged.unsure,
        advice=features.advice,
    )


def _with_target(recording: Recording, target_kpa: float | None) -> Recording:
    """The recording with the target that was told, where it has none of its own."""
    if target_kpa is None or "target" in recording.values:
        return recording
    import numpy as np

    values = dict(recording.values)
    values["target"] = np.full(len(recording.time_s), target_kpa)
    return replace(recording, values=values)


def _without(features: Features, names: Iterable[str], why: str) -> Features:
    """The features without some of them, and why they cannot be told."""
    unknown = {name: Measured(None, why=why) for name in names}
    return replace(features, measured={**features.measured, **unknown})
