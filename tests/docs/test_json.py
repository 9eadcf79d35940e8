"""docs/json.md against what the commands print: every field both ways, and its type."""

from __future__ import annotations

import json
import shlex
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from expert.case.consult import Consultant
from expert.case.events import Answered, Confirmed, Described, Event, Opened
from expert.case.journal import Journal
from expert.case.place import default_folder
from expert.case.state import fold
from expert.cli import main
from expert.export.report import MOST_NEXT, MOST_PAIRS, MOST_REPAIRS, rank_report
from expert.model import Knowledge
from tests.docs.pages import JSON, blocks, code, gatepost_lines, rows, section, text_of
from tests.evidence.log.benchlogs import text
from tests.workbench.gap_knowledge import twins
from tests.workbench.journals import story, write


def fits(kind: str, value: object) -> bool:
    """Is the value of a type, as the page writes types?"""
    if kind.endswith(" or null"):
        return value is None or fits(kind.removesuffix(" or null"), value)
    if kind == "number":
        return isinstance(value, (int, float)) and not isinstance(value, bool)
    if kind == "list of text":
        return isinstance(value, list) and all(isinstance(item, str) for item in value)
    types = {"text": str, "true or false": bool, "list": list, "object": dict}
    return isinstance(value, types[kind])


def documented(heading: str, table: str = "Field") -> dict[str, str]:
    """Field and type, from the table under a heading whose first column is so called."""
    _, _, text = section(JSON, heading).partition(f"| {table} |")
    text, _, _ = text.partition("\n\n")
    return {code(row[0])[0]: row[1] for row in rows(f"| {table} |{text}")}


def shown(heading: str, mark: str) -> Any:
    (text,) = [block.text for block in blocks(section(JSON, heading)) if block.mark == mark]
    return json.loads(text)


def walked(value: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Every field of an object with its path as the page writes it, and its value."""
    if isinstance(value, dict):
        for key, inner in value.items():
            here = f"{path}.{key}" if path else key
            yield here, inner
            yield from walked(inner, here)
    elif isinstance(value, list):
        for item in value:
            yield from walked(item, f"{path}[]")


def report(knowledge: Knowledge, *events: Event) -> dict[str, Any]:
    object_: dict[str, Any] = json.loads(
        json.dumps(rank_report(Consultant(knowledge).consult(fold(events))))
    )
    return object_


CAR = (
    Described("setup", "external-single"),
    Described("bypass", "manifold"),
    Described("spring_kpa", 48.0),
    Described("target_kpa", 100.0),
)
LAZY = (*CAR, Described("symptom", "lazy"))
# A lazy car whose hoses starve the gate, which would raise boost: something does not fit.
ODD = (
    *LAZY,
    Answered("red-flags", ("none",)),
    Answered("hose-trace", ("matches",)),
    Answered("light-behind-valve", ("full-ring",)),
    Answered("seat-ring", ("one-square",), "mail"),
    Answered("gate-direction", ("reversed",)),
    Answered("coil-ohms", ("open-or-short",)),
    Answered("dump-bore", ("crushed",)),
)


# A ring is left out, but the story ends where no lamp can lead.
MISSING_CASE = """\
no-such-end:
  title: A ring was left out, and the solenoid gets the blame
  setup: external-single
  symptoms: [lazy]
  answers: {light-behind-valve: full-ring, seat-ring: none}
  rest: sound
  expect:
    cause: solenoid-dead
  basis: invented
"""


@pytest.fixture(scope="module")
def reports(shipped: Knowledge) -> list[dict[str, Any]]:
    return [report(shipped, *LAZY), report(shipped, *ODD)]


def test_every_field_is_documented_and_every_documented_field_is_there(
    reports: list[dict[str, Any]],
) -> None:
    found = {path for one in reports for path, _ in walked(one)}
    assert found == set(documented("## Every field"))


def test_every_field_has_the_type_that_the_page_says(reports: list[dict[str, Any]]) -> None:
    types = documented("## Every field")
    for one in reports:
        for path, value in walked(one):
            assert fits(types[path], value), (path, value)


def test_top_level_fields_are_always_there(reports: list[dict[str, Any]]) -> None:
    top = {path for path in documented("## Every field") if "." not in path}
    assert all(set(one) == top for one in reports)


def test_lengths_are_those_of_the_page() -> None:
    words = {5: "Five", 10: "ten"}
    meaning = {code(row[0])[0]: row[2] for row in rows(section(JSON, "## Every field"))}
    assert words[MOST_PAIRS] in meaning["pairs"]
    assert words[MOST_NEXT] in meaning["next"]
    assert words[MOST_REPAIRS] in meaning["repair"]


def test_the_example_is_what_its_command_prints(
    scratch: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    example = section(JSON, "## An example")
    (line,) = gatepost_lines(example)
    assert main(shlex.split(line)[1:]) == 0
    real = json.loads(capsys.readouterr().out)
    page = shown("## An example", "example output")
    assert list(page) == list(real)
    assert {path for path, _ in walked(page)} <= {path for path, _ in walked(real)}
    for field in ("setup", "gate", "bypass", "symptom", "symptoms", "target_kpa", "answers"):
        assert page[field] == real[field]
    assert page["spring_kpa"] == pytest.approx(real["spring_kpa"], abs=1e-4)
    assert page["causes"][0]["id"] == real["causes"][0]["id"]


def test_the_list_of_cases(scratch: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = default_folder()
    with Journal.open(folder / "good.case.jsonl", "digest") as journal:
        for event in (*LAZY, Confirmed("seat-ring-missing")):
            journal.append(event)
    with Journal.open(folder / "new.case.jsonl", "digest") as journal:
        assert isinstance(journal.events[0], Opened)
    (folder / "bad.case.jsonl").write_text("nonsense\n", encoding="utf-8")
    assert main(["case", "list", "--json"]) == 0
    real = json.loads(capsys.readouterr().out)
    types = documented("## Other objects")
    assert {path for path, _ in walked(real)} == set(types)
    for path, value in walked(real):
        assert fits(types[path], value), (path, value)
    assert {path for path, _ in walked(shown("## Other objects", "case list"))} == set(types)


def test_the_effort_of_trees(scratch: Path, capsys: pytest.CaptureFixture[str]) -> None:
    line = "knowledge effort --symptom lazy --setup internal-nipple --cars 6 --json"
    assert main(line.split()) == 0
    real = json.loads(capsys.readouterr().out)
    types = documented("## Other objects", "Field of effort")
    assert {path for path, _ in walked(real)} == set(types)
    for path, value in walked(real):
        assert fits(types[path], value), (path, value)
    assert {path for path, _ in walked(shown("## Other objects", "effort"))} == set(types)


def test_the_known_cases_that_were_tried(scratch: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shop = scratch / "shop"
    (shop / "causes").mkdir(parents=True)
    (shop / "causes" / "gate.cases.yaml").write_text(MISSING_CASE, encoding="utf-8")
    line = "knowledge try --case no-such-end --case ring-left-out --knowledge shop --json"
    assert main(line.split()) == 1
    real = json.loads(capsys.readouterr().out)
    types = documented("## Other objects", "Field of try")
    assert {path for path, _ in walked(real)} == set(types)
    for path, value in walked(real):
        assert fits(types[path], value), (path, value)
    assert {path for path, _ in walked(shown("## Other objects", "try"))} == set(types)


# One finding of a rule and one excuse, in a folder of one's own.
CHECKED = """\
odd-blanks:
  title: Odd blanks, OBVIOUSLY
  what: Air goes.
  seen: {just-fitted: rare, settled: rare}
  danger: none
  confirm: Look.
  fix: Mend it.
  minutes: 10
  parts: low
  excused: {unconfirmed: It is made up.}
  basis: invented
"""


def test_what_the_rules_found(scratch: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (scratch / "shop" / "causes").mkdir(parents=True)
    (scratch / "shop" / "causes" / "odd.yaml").write_text(CHECKED, encoding="utf-8")
    assert main(["knowledge", "check", "--knowledge", "shop", "--json"]) == 1
    _is_documented(json.loads(capsys.readouterr().out), "check")
    assert main(["knowledge", "check", "--rules", "--json"]) == 0
    _is_documented(json.loads(capsys.readouterr().out), "rules")


def test_what_a_change_does(scratch: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (scratch / "shop" / "symptoms").mkdir(parents=True)
    (scratch / "shop" / "mine.cases.yaml").write_text(MISSING_CASE, encoding="utf-8")
    text = (scratch / "knowledge" / "symptoms" / "flutter.yaml").read_text(encoding="utf-8")
    start, _, rest = text.partition("subtrees:\n")
    skipped = start.replace("none: history", "none: moment", 1) + "subtrees:\n" + rest
    (scratch / "shop" / "symptoms" / "flutter.yaml").write_text(skipped, encoding="utf-8")
    assert main(["knowledge", "diff", "knowledge", "shop", "--json"]) == 0
    _is_documented(json.loads(capsys.readouterr().out), "diff")


# A cause in place of the shipped one, and a caution that happens to have its id.
NAMESAKE = "seat-ring-missing: {signal: NOTICE, text: Mind the ring., basis: invented}\n"
COPIED = """\
seat-ring-missing:
  title: No ring
  what: The ring is gone.
  needs: [external-gate]
  seen: {just-fitted: common, settled: rare}
  danger: caution
  confirm: Look.
  fix: Fit one.
  cautions: [hot-parts, seat-ring-missing]
  minutes: 50
  parts: medium
  basis: invented
"""


def test_one_entry(scratch: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (scratch / "shop" / "causes").mkdir(parents=True)
    (scratch / "shop" / "causes" / "ring.yaml").write_text(COPIED, encoding="utf-8")
    (scratch / "shop" / "cautions.yaml").write_text(NAMESAKE, encoding="utf-8")
    line = "knowledge show seat-ring-missing --knowledge shop --json"
    assert main(line.split()) == 0
    _is_documented(json.loads(capsys.readouterr().out), "show")


def test_what_was_learned(scratch: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = story(
        "seat-ring-missing",
        Answered("light-behind-valve", ("crescent",)),
        Answered("smoke-test", ("wisp",)),
        setup="external-single",
    )
    write(scratch / "cases", [told] * 5)
    assert main(["knowledge", "learn", "cases", "--out", "learned", "--force", "--json"]) == 0
    _is_documented(json.loads(capsys.readouterr().out), "learn")


def test_how_true_probabilities_are(capsys: pytest.CaptureFixture[str]) -> None:
    main(["knowledge", "calibrate", "--cars", "60", "--json"])
    _is_documented(json.loads(capsys.readouterr().out), "calibrate")


def _is_documented(real: Any, name: str) -> None:
    types = documented("## Other objects", f"Field of {name}")
    assert {path for path, _ in walked(real)} == set(types)
    for path, value in walked(real):
        assert fits(types[path], value), (path, value)
    assert {path for path, _ in walked(shown("## Other objects", name))} == set(types)


@pytest.mark.parametrize(
    ("name", "line"),
    [
        ("hookup", "hookup internal-nipple --hose internal-gate.nipple=air --json"),
        ("boost", "boost --setup external-single --spring 14psi --json"),
    ],
)
def test_plumbing(name: str, line: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(line.split()) == 0
    real = json.loads(capsys.readouterr().out)
    types = documented("## Other objects", f"Field of {name}")
    assert {path for path, _ in walked(real)} == set(types)
    for path, value in walked(real):
        assert fits(types[path], value), (path, value)
    page = shown("## Other objects", name)
    assert {path for path, _ in walked(page)} == set(types)
    assert page["format"] == real["format"]


def test_gaps(scratch: Path, capsys: pytest.CaptureFixture[str]) -> None:
    # Two causes that answer every check alike, excused from what they do not lack.
    twins(scratch / "twins", "  excused: {same-symptoms: They are no symptoms.}\n")
    assert main(["knowledge", "gaps", "--json", "--knowledge", "twins"]) == 1
    real = json.loads(capsys.readouterr().out)
    assert ["twin-one", "twin-two"] in [gap["ids"] for gap in real["gaps"]]
    _is_documented(real, "gaps")


def test_mail(scratch: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (scratch / "a.eml").write_text(
        "From: a@example.org\nMessage-ID: <a@example.org>\nSubject: creep\n"
        "Date: Mon, 2 Mar 2026 10:00:00 +0000\nMIME-Version: 1.0\n"
        'Content-Type: multipart/mixed; boundary="x"\n\n--x\n\n'
        "External gate, 7 psi spring. boost creeps to 210 kPa. no codes. "
        "Is it knock that I should listen for?\n--x\n"
        'Content-Type: text/csv\nContent-Disposition: attachment; filename="run.csv"\n\n'
        f"{text('signal-pinched', 'untidy')}\n--x--\n"
    )
    assert main(["mail", "a.eml", "--cases", "kept", "--json"]) == 0
    _is_documented(json.loads(capsys.readouterr().out), "mail")


def test_logs(scratch: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = scratch / "pull.csv"
    path.write_text(text("signal-pinched", "untidy"), encoding="utf-8")
    line = "log pull.csv missing.csv --setup external-single --spring 69kPa --json"
    assert main(line.split()) == 3
    real = json.loads(capsys.readouterr().out)
    types = documented("## Other objects", "Field of log")
    top = {name for name in documented("## Every field") if "." not in name}
    assert set(real.pop("case")) == top
    page = shown("## Other objects", "log")
    assert page.pop("case") is None
    del types["case"]
    for one in (real, page):
        for file in one["files"]:
            # One entry stands for all that have a name of their own.
            file["channels"] = [{"ID": value} for value in file["channels"].values()]
            file["measured"] = [{"NAME": value} for value in file["measured"].values()]
        found = {
            path.replace("channels[]", "channels").replace("measured[]", "measured"): value
            for path, value in walked(one)
        }
        assert set(found) == set(types)
        for path, value in found.items():
            if not path.endswith((".channels", ".measured")):
                assert fits(types[path], value), (path, value)


def test_case_show_prints_the_object_of_rank(
    scratch: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with Journal.open(scratch / "x.case.jsonl", "digest") as journal:
        for event in LAZY:
            journal.append(event)
    assert main(["case", "show", "x.case.jsonl", "--json"]) == 0
    real = json.loads(capsys.readouterr().out)
    assert set(real) == {path for path in documented("## Every field") if "." not in path}


def test_nothing_is_on_stdout_when_it_fails(
    scratch: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert "nothing is on stdout" in " ".join(text_of(JSON).split())
    assert main(["rank", "--setup", "no-such", "--symptom", "lazy", "--json"]) == 2
    assert capsys.readouterr().out == ""
