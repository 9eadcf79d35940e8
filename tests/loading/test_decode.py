"""Nodes to the model: ``expert/loading/decode.py``."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from expert.errors import KnowledgeError
from expert.loading.decode import decoder, kind_of, yaml_key
from expert.loading.document import Document
from expert.loading.nodes import parse
from expert.loading.reading import Reading
from expert.model import Ask, Cause, Check, Fork, Go, Measure, Policy, Seen, Suspect, Symptom, Tree
from tests.loading.folders import SMALL, edited, mistakes_in, write

CAUSES, CHECKS = "causes/all.yaml", "checks/all.yaml"
SYMPTOM, SETUP, POLICY = "symptoms/lazy.yaml", "setups/external.yaml", "policy.yaml"

CAUSE_KEYS = (
    "title, what, needs, work, seen, danger, harm, shown-by, confirm, fix, cautions, minutes,"
    " parts, says, excused, basis"
)
ID = "expected an id: small letters, digits and single hyphens, at most 60 long"
WORDS = (
    "expected a probability: a number from 0 to 1, or certain, almost-certain, probable,"
    " fifty-fifty, probably-not, improbable, almost-certainly-not, impossible"
)
NODE = (
    "expected a mapping with 'check:', 'has:', 'suspect:' or 'subtree:', or the name of a subtree"
)
TITLE = "  title: Ring left out"
SEEN = "seen: {just-fitted: common, settled: rare}\n  danger: caution"
HEALTHY = "  healthy: {crescent: .01}"
HISTORY = "{nothing: nothing, gate: the gate, hoses: the hoses}"
LEAF = "otherwise: {suspect: [hose-off]}"
WEIGHTS = "{common: 9, occasional: 3, rare: 1}"

# File, text in it, what it becomes, and the whole report: line:column: message.
REFUSED = [
    (CAUSES, TITLE, "  tittle: Ring", "2:3: the key 'tittle' is not known; did you mean 'title'?"),
    (CAUSES, TITLE + "\n", "", "2:3: 'title' is missing here; add it"),
    (CAUSES, TITLE, "  title:", "2:9: nothing is written here; expected a text"),
    (CAUSES, TITLE, "  title: ''", "2:10: nothing is written here; expected a text"),
    (CAUSES, TITLE, "  title: [Ring]", "2:10: found a list; expected a text"),
    (CAUSES, TITLE, "  title: {}", "2:10: found an empty mapping; expected a text"),
    (CAUSES, TITLE, "  title: {a: b}", "2:10: found a mapping (key: value); expected a text"),
    (
        CAUSES,
        TITLE,
        "  title: |\n    Ring\n    left out",
        "2:10: found 'Ring left out '; expected one paragraph without line breaks:"
        " write it after '>-'",
    ),
    (CAUSES, TITLE, TITLE + "\n" + TITLE, "3:3: the key 'title' is here twice; see line 2"),
    (
        CAUSES,
        TITLE,
        TITLE + "\n  ? [title]\n  : x",
        f"3:5: found a list as a key; expected one of {CAUSE_KEYS}",
    ),
    (
        CAUSES,
        TITLE,
        TITLE + "\n  <<: x",
        f"3:3: the key '<<' is not known; expected one of {CAUSE_KEYS}",
    ),
    (CAUSES, "  minutes: 60", "  minutes: sixty", "10:12: found 'sixty'; expected a number"),
    (CAUSES, "  minutes: 60", "  minutes: 0", "10:12: found '0'; expected a number over 0"),
    (CAUSES, "  minutes: 60", "  minutes: -5", "10:12: found '-5'; expected a number over 0"),
    (CAUSES, "  minutes: 60", "  minutes: 1:30", "10:12: found '1:30'; expected a number"),
    (CAUSES, "  minutes: 60", "  minutes: .inf", "10:12: found '.inf'; expected a number"),
    (
        CAUSES,
        "  danger: caution",
        "  danger: stopp",
        "7:11: found the text 'stopp'; expected one of none, caution, stop; did you mean 'stop'?",
    ),
    (
        CAUSES,
        "  danger: caution",
        "  danger: [stop]",
        "7:11: found a list; expected one of none, caution, stop",
    ),
    (
        CAUSES,
        "  parts: medium",
        "  parts: 3",
        "11:10: found the text '3'; expected one of none, low, medium, high, very-high",
    ),
    (
        CAUSES,
        "  needs: [external-gate]",
        "  needs: external-gate",
        "4:10: found the text 'external-gate'; expected a list",
    ),
    (
        CAUSES,
        "  needs: [external-gate]",
        "  needs: [external-gate, external-gate]",
        "4:26: 'external-gate' is in this list twice",
    ),
    (
        CAUSES,
        "  needs: [external-gate]",
        "  needs: [[external-gate]]",
        "4:11: found a list; expected the id of a part",
    ),
    (
        CAUSES,
        SEEN,
        "seen: {just-fitted: common}\n  danger: caution",
        "6:9: 'settled' is missing here; add it",
    ),
    (
        CAUSES,
        SEEN,
        "seen: often\n  danger: caution",
        "6:9: found the text 'often'; expected a mapping with just-fitted, settled",
    ),
    (
        CAUSES,
        SEEN,
        "seen: {just-fitted: [common], settled: 2.5}\n  danger: caution",
        "6:23: found a list; expected a word or a number over 0",
    ),
    (CAUSES, "ring-missing:", "Ring_Missing:", f"1:1: found 'Ring_Missing'; {ID}"),
    (CAUSES, "as-designed:large:", "as-built:large:", f"24:1: found 'as-built:large'; {ID}"),
    (
        CHECKS,
        "  loads-engine: true",
        "  loads-engine: yes",
        "39:17: found the text 'yes'; expected one of true, false",
    ),
    (
        CHECKS,
        HEALTHY,
        "  healthy: {crescent: 1.5}",
        "28:23: found '1.5'; expected a probability from 0 to 1",
    ),
    (
        CHECKS,
        HEALTHY,
        "  healthy: {crescent: -.1}",
        "28:23: found '-.1'; expected a probability from 0 to 1",
    ),
    (
        CHECKS,
        HEALTHY,
        "  healthy: {crescent: probabel}",
        f"28:23: found 'probabel'; {WORDS}; did you mean 'probable'?",
    ),
    (CHECKS, HEALTHY, "  healthy: {crescent: nan}", f"28:23: found 'nan'; {WORDS}"),
    (
        CHECKS,
        HEALTHY,
        "  healthy: [crescent]",
        "28:12: found a list; expected a mapping (key: value)",
    ),
    (
        CHECKS,
        HISTORY,
        "{unknown: nothing, gate: the gate, hoses: the hoses}",
        "5:13: found 'unknown'; this word has a meaning of its own in trees; expected another id",
    ),
    (
        CHECKS,
        HISTORY,
        "{nothing: nothing, gate: the gate, gate: x, hoses: the hoses}",
        "5:47: the key 'gate' is here twice; see line 5",
    ),
    (
        CHECKS,
        HISTORY,
        "{nothing: nothing, gate: the gate, hoses: the hoses, [x]: y}",
        "5:65: found a list; expected an id",
    ),
    (
        CHECKS,
        "up-to: {below: -14, spring: 20}",
        "up-to: {below: low, spring: 20}",
        "53:20: found 'low'; expected a number",
    ),
    (
        SETUP,
        "from: manifold.tap",
        "from: manifold",
        "5:18: found 'manifold'; expected a port, written part.port",
    ),
    (POLICY, WEIGHTS, "{common: 9, occasional: 3}", "1:12: 'rare' is missing here; add it"),
    (
        POLICY,
        WEIGHTS,
        "{common: 9, occasional: 3, rare: 1, rarely: 1}",
        "1:48: found the text 'rarely'; expected one of common, occasional, rare;"
        " did you mean 'rare'?",
    ),
    (
        POLICY,
        "{none: 0, low: 10, ",
        "{none: -1, low: 10, ",
        "14:23: found '-1'; expected a number of 0 or more",
    ),
    (SYMPTOM, LEAF, "otherwise:", f"19:15: found nothing; {NODE}"),
    (SYMPTOM, LEAF, "otherwise: [hose-off]", f"19:16: found a list; {NODE}"),
    (
        SYMPTOM,
        LEAF,
        "otherwise: {suspects: [hose-off]}",
        f"19:16: found a mapping (key: value); {NODE}",
    ),
    (
        SYMPTOM,
        LEAF,
        "otherwise: {suspect: [hose-off], then: {}}",
        "19:38: the key 'then' is not known; expected one of suspect",
    ),
    (
        SYMPTOM,
        "otherwise: {subtree: run}",
        "otherwise: {subtree: ''}",
        "25:28: nothing is written here; expected a text",
    ),
]


@pytest.mark.parametrize(("file", "old", "new", "report"), REFUSED)
def test_what_is_refused_and_where(
    file: str, old: str, new: str, report: str, tmp_path: Path
) -> None:
    assert mistakes_in(tmp_path, edited(file, old, new)) == [f"{file}:{report}"]


def decoded(hint: Any, text: str) -> Any:
    root, _ = parse(text, "f")
    assert root is not None
    reading = Reading(Document("f", text))
    value = decoder(hint).read(root, reading)
    if reading.mistakes:
        raise KnowledgeError(reading.mistakes)
    return value


def test_one_pass_finds_every_mistake_of_every_file(tmp_path: Path) -> None:
    files = {
        **edited(CAUSES, "  minutes: 60", "  minutes: sixty"),
        **edited(CHECKS, HEALTHY, "  healthy: {crescent: 2}"),
        POLICY: SMALL[POLICY].replace("conclude: .8", "conclude: 8").replace("stop: .5\n", ""),
        SETUP: SMALL[SETUP].replace("parts:", "part:"),
        "tools.yaml": "lamp: [a\n",
    }
    assert [report.split(": ")[0] for report in mistakes_in(tmp_path, files)] == [
        "causes/all.yaml:10:12",
        "checks/all.yaml:28:23",
        "policy.yaml:1:1",
        "policy.yaml:7:11",
        "setups/external.yaml:3:1",
        "tools.yaml:1:9",
    ]


def test_a_cause_in_full() -> None:
    cause = decoded(
        Cause,
        """\
title: no
what: >
  Two lines
  of text.
needs: [gate]
seen: {just-fitted: common, settled: rare}
danger: stop
harm: mechanical
shown-by: {run: [late, low]}
confirm: "yes"
fix: 12
minutes: .5
parts: very-high
basis: ~
""",
    )
    assert cause == Cause(
        title="no",
        what="Two lines of text.",
        needs=("gate",),
        seen=Seen(just_fitted="common", settled="rare"),
        danger="stop",
        harm="mechanical",
        shown_by={"run": ("late", "low")},
        confirm="yes",
        fix="12",
        minutes=0.5,
        parts="very-high",
        basis="~",
    )


def test_what_is_left_out_has_its_default() -> None:
    check = decoded(Check, "{ask: What?, minutes: 1, answers: {a: b}, basis: none}")
    assert check == Check(ask="What?", minutes=1.0, answers={"a": "b"}, basis="none")
    assert check.measure is None


def test_mappings_keep_the_order_of_the_file() -> None:
    check = decoded(Check, "{ask: What?, minutes: 1, answers: {z: z, a: a, m: m}, basis: none}")
    assert list(check.answers) == ["z", "a", "m"]


def test_the_kinds_of_tree_nodes() -> None:
    text = "{check: c, then: {x: {has: {p: s, otherwise: {suspect: [a, b]}}}, y: {subtree: s}}}"
    fork = Fork(has={"p": Go("s"), "otherwise": Suspect(("a", "b"))})
    assert decoded(Tree, text) == Ask(check="c", then={"x": fork, "y": Go("s")})


def test_a_measure() -> None:
    text = "{unit: percent, against: spring, up-to: {low: -15, within-15: 15}, above: high}"
    edges = {"low": -15.0, "within-15": 15.0}
    assert decoded(Measure, text) == Measure(
        unit="percent", against="spring", up_to=edges, above="high"
    )


def test_every_type_of_the_model_has_a_decoder() -> None:
    for entry in (Cause, Check, Symptom, Policy):
        assert isinstance(decoder(entry).blank(), entry)
    with pytest.raises(TypeError):
        decoder(complex)


def test_keys_of_fields() -> None:
    assert [yaml_key(name) for name in ("from_", "just_fitted", "up_to", "ask")] == [
        "from",
        "just-fitted",
        "up-to",
        "ask",
    ]


def test_what_was_found_is_named_safely() -> None:
    node, _ = parse('"\\x07a"', "f")
    assert node is not None
    assert kind_of(node) == "the text 'a'"


def test_the_small_knowledge_is_fine(tmp_path: Path) -> None:
    write(tmp_path)
    assert mistakes_in(tmp_path, {}) == []
