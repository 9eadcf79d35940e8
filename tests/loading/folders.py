"""A small invented knowledge folder for the tests of loading, as texts by file name."""

from __future__ import annotations

from pathlib import Path

from expert.errors import KnowledgeError
from expert.loading.folder import load

POLICY = """\
frequency: {common: 9, occasional: 3, rare: 1}
second-fault: {just-fitted: .3, settled: .1}
unlisted: .05
unlisted-shows: .75
slip: {asked: .02, log: .02, mail: .15, hookup: .02}
symptom-leak: .01
conclude: .8
stop: .5
gate: .05
doubtful: .15
notable: .2
overboost-margin-kpa: 20
shake: .5
parts-minutes: {none: 0, low: 10, medium: 40, high: 150, very-high: 400}
workshop-minutes: 300
basis: invented
"""

TOOLS = """\
lamp: {title: a lamp}
"""

CAUTIONS = """\
hot-parts:
  signal: WARNING
  text: Hot parts burn; wait.
  basis: invented
"""

PREPARATIONS = """\
gate-off:
  title: Take the gate off
  minutes: 45
  cautions: [hot-parts]
  basis: invented
"""

PARTS = """\
manifold:
  title: the manifold
  what: Holds the charge.
  ports: {tap: a brass tap}
  basis: invented
external-gate:
  title: the external gate
  what: Lets exhaust past.
  ports:
    lower: near the foot
    upper: near the cap
  basis: invented
internal-gate:
  title: the internal gate
  what: Lets exhaust past.
  ports: {nipple: on the can}
  basis: invented
blow-off:
  title: the blow-off valve
  what: Lets charge out.
  ports: {signal: on top}
  basis: invented
"""

SETUP_EXTERNAL = """\
title: external gate
what: The gate hangs on the manifold.
parts: [manifold, external-gate]
hoses:
  signal: {from: manifold.tap, to: external-gate.lower, why: opens the gate}
open: [external-gate.upper]
basis: invented
"""

SETUP_MANUAL = """\
title: by hand
what: A valve set by hand.
parts: [manifold]
gates: [internal-gate, external-gate]
basis: invented
"""

BYPASS = """\
title: blow-off valve
what: Opens on lift.
parts: [blow-off]
hoses:
  signal: {from: manifold.tap, to: blow-off.signal, why: opens it}
basis: invented
"""

CAUSES = """\
ring-missing:
  title: Ring left out
  what: The valve cannot close.
  needs: [external-gate]
  work: [gate]
  seen: {just-fitted: common, settled: rare}
  danger: caution
  confirm: Look for it.
  fix: Fit it.
  minutes: 60
  parts: medium
  basis: invented
hose-off:
  title: Hose off
  what: The gate gets nothing.
  seen: {just-fitted: common, settled: occasional}
  danger: stop
  harm: overpressure
  confirm: Look at it.
  fix: Put it on.
  minutes: 10
  parts: low
  basis: invented
as-designed:large:
  title: A large turbo
  what: It is late by its size.
  seen: {just-fitted: common, settled: rare}
  danger: none
  shown-by: {spring-run: [late]}
  confirm: Compare.
  fix: Nothing to fix.
  minutes: 1
  parts: none
  basis: invented
"""

CHECKS = """\
worked-on:
  ask: What was worked on?
  kind: history
  minutes: 1
  answers: {nothing: nothing, gate: the gate, hoses: the hoses}
  basis: invented
flags:
  ask: Is there any of these?
  kind: nominal
  minutes: 1
  answers: {none: none, knock: a knock, smell: a smell}
  danger: {knock: stop}
  given:
    hose-off: {smell: .6}
  basis: invented
light:
  ask: What light comes through?
  how: [Hold a lamp behind it., Look.]
  needs: [external-gate]
  prepare: [gate-off]
  tools: [lamp]
  minutes: 5
  cautions: [hot-parts]
  answers:
    dark: none
    crescent: a crescent
    ring: a full ring
  healthy: {crescent: .01}
  given:
    ring-missing: {ring: almost-certain, crescent: .05}
  basis: invented
spring-run:
  ask: What does it reach?
  kind: two-sided
  low: [late, below]
  high: [above]
  both: {below: .7, above: .3}
  minutes: 15
  loads-engine: true
  records-boost: true
  answers:
    below: below the spring
    spring: about the spring
    late: late
    above: above the spring
  danger: {above: stop}
  given:
    ring-missing: {below: .7, late: .2}
    hose-off: {above: certain}
  measure:
    unit: kPa
    against: spring
    up-to: {below: -14, spring: 20}
    above: above
  basis: invented
"""

SYMPTOM = """\
title: No boost
what: It stays low.
danger: none
causes:
  ring-missing: almost-certain
  hose-off: .1
  as-designed:large: probable
tree:
  check: flags
  then:
    none:
      has:
        external-gate: gate
        otherwise:
          check: spring-run
          then:
            spring: {suspect: [as-designed:large]}
            unknown: {suspect: [hose-off]}
    otherwise: {suspect: [hose-off]}
subtrees:
  gate:
    check: light
    then:
      ring: {suspect: [ring-missing]}
      otherwise: {subtree: run}
  run:
    check: spring-run
    then:
      below: {suspect: [ring-missing]}
basis: invented
"""

SMALL = {
    "policy.yaml": POLICY,
    "tools.yaml": TOOLS,
    "cautions.yaml": CAUTIONS,
    "preparations.yaml": PREPARATIONS,
    "parts/all.yaml": PARTS,
    "setups/external.yaml": SETUP_EXTERNAL,
    "setups/manual.yaml": SETUP_MANUAL,
    "bypasses/blow-off.yaml": BYPASS,
    "causes/all.yaml": CAUSES,
    "checks/all.yaml": CHECKS,
    "symptoms/lazy.yaml": SYMPTOM,
}


def write(folder: Path, files: dict[str, str] | None = None) -> Path:
    """Write the small knowledge, with some files replaced or added, into a folder."""
    for name, text in {**SMALL, **(files or {})}.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode("utf-8"))
    return folder


def edited(name: str, old: str, new: str) -> dict[str, str]:
    """One file of the small knowledge with one change; the text to change is there once."""
    assert SMALL[name].count(old) == 1, f"{old!r} is in {name} {SMALL[name].count(old)} times"
    return {name: SMALL[name].replace(old, new)}


def mistakes_in(folder: Path, files: dict[str, str]) -> list[str]:
    """What loading the small knowledge with these files reports, from inside the folder."""
    try:
        load([write(folder, files)])
    except KnowledgeError as error:
        prefix = f"{folder}/"
        return [str(mistake).removeprefix(prefix) for mistake in error.mistakes]
    return []
