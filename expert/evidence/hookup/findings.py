"""What a plumbing check answers of the checks that the diagnosis would ask."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final, NamedTuple

from expert.evidence.hookup.found import AIR, CAP, Found
from expert.evidence.hookup.layout import Layout, Port
from expert.evidence.hookup.moves import Cap, Fit, Step, Swap, Uncap
from expert.evidence.hookup.verdict import Verdict
from expert.model import Knowledge

HOSE_TRACE: Final = "hose-trace"
# Answers that say more than that a port is wrong; the hoses are named by their ids in the setup.
_OFF: Final = "off"
_CROSSED: Final = "crossed"


class Finding(NamedTuple):
    """A check and what it answers."""

    check: str
    answers: tuple[str, ...]


def findings(knowledge: Knowledge, verdict: Verdict) -> list[Finding]:
    """The findings of a verdict, for checks and answers that the knowledge has on this car.

    A plumbing that works, though it looks unusual, matches.
    """
    parts = verdict.layout.parts
    made = [Finding(HOSE_TRACE, _traced(knowledge, verdict)), *_others(verdict)]
    return [
        Finding(one.check, answers)
        for one in made
        if one.check in knowledge.checks and knowledge.checks[one.check].fits(parts)
        for answers in [tuple(a for a in one.answers if a in knowledge.checks[one.check].answers)]
        if answers
    ]


def _traced(knowledge: Knowledge, verdict: Verdict) -> tuple[str, ...]:
    check = knowledge.checks.get(HOSE_TRACE)
    if check is None:
        return ()
    if verdict.ok or not verdict.wrong:
        return (check.sound_answer(),)
    flags = dict.fromkeys(_flags(verdict, check.answers))
    return tuple(flags)


def _flags(verdict: Verdict, answers: Mapping[str, str]) -> Iterator[str]:
    layout, found = verdict.layout, verdict.found
    hose_on = {port: name for name, hose in layout.hoses.items() for port in (hose.from_, hose.to)}
    rotated = [w.port for w in verdict.wrong if w.port.startswith("three-port.")]
    if len(rotated) == 3 and not any(isinstance(step, Swap) for step in _only(verdict, rotated)):
        yield "ports-rotated"
        return
    for step in verdict.moves:
        yield from _flags_of(step, hose_on, layout, found, answers)


def _only(verdict: Verdict, ports: list[Port]) -> list[Step]:
    swaps = [step for step in verdict.moves if isinstance(step, Swap)]
    touched = [step for step in swaps if step.one in ports and step.other in ports]
    return list(touched) if len(touched) == 1 and len(verdict.moves) == 1 else []


def _flags_of(
    step: Step,
    hose_on: Mapping[Port, str],
    layout: Layout,
    found: Found,
    answers: Mapping[str, str],
) -> Iterator[str]:
    ports = _ports(step)
    if any("bypass" in port for port in ports):
        yield "bypass-hose-wrong"
        return
    if isinstance(step, (Cap, Uncap)):
        yield "cap-wrong"
        return
    names = [_stem(hose_on[port]) for port in ports if port in hose_on]
    upper = "external-gate.upper"
    if any(port == upper for port in ports) and upper not in hose_on:
        yield (
            "upper-fed" if any(upper in pair for pair in found.hoses | found.tees) else "cap-wrong"
        )
        return
    if any(port == "manifold.tap" for port in ports) and "source" in names:
        yield "after-throttle"
        return
    if isinstance(step, Swap):
        if all(port.startswith(("ball-controller.", "bleed-controller.")) for port in ports):
            yield "controller-reversed"
            return
        crossed = [f"{'-'.join(pair)}-{_CROSSED}" for pair in (names, names[::-1])]
        yield next((flag for flag in crossed if flag in answers), "wrong-port")
        return
    if isinstance(step, Fit):
        off = [f"{kind}-{_OFF}" for name in names for kind in (name, f"{name}-hose")]
        yield next((flag for flag in off if flag in answers), "wrong-port")
        return
    yield "wrong-port"


def _ports(step: Step) -> list[Port]:
    values = [getattr(step, name) for name in step.__dataclass_fields__]
    return [value for value in values if value is not None]


def _stem(hose: str) -> str:
    """The name of a hose without its kind and gate: gate-hose-internal is gate."""
    return hose.split("-hose", maxsplit=1)[0]


def _others(verdict: Verdict) -> Iterator[Finding]:
    """What the same look answers besides."""
    found = verdict.found
    ends = dict.fromkeys(verdict.layout.ports, AIR)
    ends |= dict.fromkeys(found.capped, CAP)
    ends |= {port: "hose" for pair in found.hoses for port in pair}
    if found.pinched:
        yield Finding("hose-blow", ("pinched",))
    if found.split:
        yield Finding("hose-condition", ("cracked-or-off",))
    if found.checks:
        yield Finding("pills-and-valves", ("valve-found",))
    elif found.restrictor != "right":
        yield Finding("pills-and-valves", ("pill-differs",))
        bore = "blocked" if found.restrictor == "blocked" else "none-or-wide"
        yield Finding("restrictor-bore", (bore,))
    spare = ends.get("external-gate.spare-lower")
    if spare is not None:
        bare = AIR in (spare, ends.get("external-gate.lower"))
        yield Finding("spare-lowers", ("open" if bare else "capped",))
    upper = ends.get("external-gate.upper")
    if upper == CAP:
        yield Finding("upper-breathes", ("none",))
    if any(".water-" in port for pair in found.hoses for port in pair):
        yield Finding("air-or-water", ("water",))
