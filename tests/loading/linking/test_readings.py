"""Readings of logs that do not fit: ``expert/loading/linking/readings.py``."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.loading.folders import mistakes_in

GOOD = """\
run-below:
  check: spring-run
  answer: below
  needs: [external-gate]
  when:
    boost-over-spring-kpa: {up-to: -14}
  if-measured:
    creep-kpa: {above: 5, up-to: overboost-margin}
  basis: invented
lazy-shown:
  symptom: lazy
  when:
    peak-boost-kpa: {up-to: 20}
  basis: invented
"""


def test_readings_that_fit(tmp_path: Path) -> None:
    assert mistakes_in(tmp_path, {"readings.yaml": GOOD}) == []


@pytest.mark.parametrize(
    ("old", "new", "report"),
    [
        (
            "  check: spring-run\n  answer: below\n",
            "",
            "1:1: expected 'check:' with 'answer:', or 'symptom:'",
        ),
        ("  answer: below\n", "", "1:1: 'answer' is missing here; add it"),
        (
            "  symptom: lazy\n",
            "  symptom: lazy\n  check: spring-run\n",
            "12:3: a reading that shows a symptom has no 'check'; delete it",
        ),
        (
            "  symptom: lazy\n",
            "  symptom: lazy\n  answer: below\n",
            "12:3: a reading that shows a symptom has no 'answer'; delete it",
        ),
        (
            "  answer: below",
            "  answer: belov",
            "3:11: of the check 'spring-run', the answer 'belov' is not known;"
            " did you mean 'below'?",
        ),
        (
            "check: spring-run\n  answer: below",
            "check: worked-on\n  answer: gate",
            "2:10: a history check is asked, not measured; expected another check",
        ),
        ("check: spring-run", "check: spring-rum", "2:10: the check 'spring-rum' is not known;"
         " did you mean 'spring-run'?"),
        (
            "{up-to: -14}",
            "{}",
            "6:5: expected 'above:', 'up-to:' or both",
        ),
        (
            "{up-to: -14}",
            "{above: 4, up-to: 3}",
            "6:46: nothing is above 4 and at most 3; expected a higher 'up-to'",
        ),
        (
            "    creep-kpa:",
            "    boost-over-spring-kpa:",
            "8:5: 'boost-over-spring-kpa' has bounds in 'when' already; write both there",
        ),
        (
            "  when:\n    peak-boost-kpa: {up-to: 20}\n",
            "  when: {}\n",
            "12:3: expected at least one measured value",
        ),
        (
            "overboost-margin}",
            "overboost-margn}",
            "8:34: found 'overboost-margn'; expected a number, or overboost-margin;"
            " did you mean 'overboost-margin'?",
        ),
    ],
)  # fmt: skip
def test_readings_that_do_not(tmp_path: Path, old: str, new: str, report: str) -> None:
    assert GOOD.count(old) == 1
    files = {"readings.yaml": GOOD.replace(old, new)}
    assert mistakes_in(tmp_path, files) == [f"readings.yaml:{report}"]


def test_a_value_that_is_not_measured_has_its_nearest_name(tmp_path: Path) -> None:
    files = {"readings.yaml": GOOD.replace("peak-boost-kpa", "peak-bost-kpa")}
    found = mistakes_in(tmp_path, files)
    assert len(found) == 1
    assert found[0].startswith("readings.yaml:13:5: found 'peak-bost-kpa'; expected a measured")
    assert found[0].endswith("did you mean 'peak-boost-kpa'?")
