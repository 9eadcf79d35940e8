"""Findings as SARIF, against what the standard says that such a file must hold.

``LOG`` is our own transcription of the parts that are written, from OASIS "Static Analysis Results
Interchange Format (SARIF) Version 2.1.0", from memory; each part names its section.
"""

from __future__ import annotations

from typing import Any

import jsonschema
import pytest

from expert.errors import Place
from expert.rules.registry import RULES
from expert.rules.rule import Finding
from expert.rules.run import Excused
from expert.workbench.check import Checked
from expert.workbench.check_sarif import SCHEMA, sarif, uri
from tests import small


def _object(required: list[str], **properties: Any) -> dict[str, Any]:
    return {
        "type": "object",
        "required": required,
        "properties": properties,
        # Nothing is written that is not transcribed here.
        "additionalProperties": False,
    }


COUNT = {"type": "integer", "minimum": 1}
# 3.27.10, and 3.50.2 for a rule.
LEVEL = {"enum": ["none", "note", "warning", "error"]}
# 3.11: a message needs a text or an id. 3.12: a multiformat message needs a text.
MESSAGE = _object(["text"], text={"type": "string", "minLength": 1})
# 3.49, reportingDescriptor: id (3.49.3).
DESCRIPTOR = _object(
    ["id"],
    id={"type": "string", "pattern": "^[a-z-]+$"},
    shortDescription=MESSAGE,
    fullDescription=MESSAGE,
    defaultConfiguration=_object([], level=LEVEL),
)
# 3.30: a text region counts lines and columns from 1.
REGION = _object(["startLine"], startLine=COUNT, startColumn=COUNT)
# 3.4.3: a URI reference, RFC 3986, so without blanks and the like.
ARTIFACT = _object(["uri"], uri={"type": "string", "pattern": r"^[\w.~:/%@!$&'()*+,;=-]+$"})
# 3.28 and 3.29.
LOCATION = _object(
    ["physicalLocation"],
    physicalLocation=_object(["artifactLocation"], artifactLocation=ARTIFACT, region=REGION),
)
# 3.35: kind is inSource or external.
SUPPRESSION = _object(
    ["kind"], kind={"enum": ["inSource", "external"]}, justification={"type": "string"}
)
# 3.27: a result needs a message; ruleIndex counts from 0.
RESULT = _object(
    ["message"],
    ruleId={"type": "string"},
    ruleIndex={"type": "integer", "minimum": 0},
    level=LEVEL,
    message=MESSAGE,
    locations={"type": "array", "items": LOCATION},
    suppressions={"type": "array", "items": SUPPRESSION},
)
# 3.18 and 3.19: a tool needs a driver, a driver a name; rules are unique.
TOOL = _object(
    ["driver"],
    driver=_object(
        ["name"],
        name={"type": "string"},
        version={"type": "string"},
        rules={"type": "array", "items": DESCRIPTOR, "uniqueItems": True},
    ),
)
# 3.14: a run needs a tool; columnKind must be given where there are columns (3.14.17).
RUN = _object(
    ["tool", "columnKind", "results"],
    tool=TOOL,
    columnKind={"enum": ["utf16CodeUnits", "unicodeCodePoints"]},
    results={"type": "array", "items": RESULT},
)
# 3.13: a log needs version and runs.
LOG = _object(
    ["version", "runs"],
    **{"$schema": {"type": "string"}},
    version={"const": "2.1.0"},
    runs={"type": "array", "items": RUN},
)

ODD = Finding(Place("our shop/a.yaml", 3, 5), "it is {odd}", "long-text", "warning")
FORM = Finding(Place("b.yaml", 1, 1), "unknown key", "form", "error")


def log(*findings: Finding, excused: tuple[Excused, ...] = ()) -> dict[str, Any]:
    return sarif(Checked(small.knowledge(), findings, excused), RULES)


@pytest.mark.parametrize("findings", [(), (ODD,), (ODD, FORM)])
def test_what_is_written_is_what_the_standard_asks_for(findings: tuple[Finding, ...]) -> None:
    made = log(*findings, excused=(Excused(ODD, "It is old."),))
    jsonschema.validate(made, LOG)
    assert made["$schema"] == SCHEMA


def test_the_transcription_refuses_what_is_wrong() -> None:
    made = log(ODD)
    made["runs"][0]["results"][0]["locations"][0]["physicalLocation"]["region"]["startLine"] = 0
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(made, LOG)


def test_every_result_points_at_its_rule() -> None:
    (run,) = log(ODD, FORM)["runs"]
    rules = run["tool"]["driver"]["rules"]
    assert [one["id"] for one in rules] == ["form", *(rule.id for rule in RULES)]
    for result in run["results"]:
        assert rules[result["ruleIndex"]]["id"] == result["ruleId"]


def test_what_is_excused_is_suppressed_in_the_source() -> None:
    (run,) = log(FORM, excused=(Excused(ODD, "It is old."),))["runs"]
    first, second = run["results"]
    assert "suppressions" not in first
    assert second["suppressions"] == [{"kind": "inSource", "justification": "It is old."}]


def test_braces_are_no_placeholders() -> None:
    (result,) = log(ODD)["runs"][0]["results"]
    assert result["message"]["text"] == "it is {{odd}}"


def test_files_are_uris() -> None:
    assert uri("our shop/a.yaml") == "our%20shop/a.yaml"
    assert uri("/tmp/a b.yaml") == "file:///tmp/a%20b.yaml"
    assert uri("knowledge/a.yaml") == "knowledge/a.yaml"
