"""The letter for a message: ``expert/desk/answer.py``."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from expert.case.events import Answered, Described
from expert.case.offer import Offer, Withheld
from expert.case.state import fold
from expert.desk.answer import (
    RUN,
    SHORT_FLAGS,
    hose_table,
    letter_of,
    photos,
    reasons_for,
    shown_in,
    understood,
)
from expert.evidence.mail.judgement import MUST_STAND
from expert.export.reply import Shop, draft
from tests.desk.mails import desk, knowledge, read, triage
from tests.desk.test_triage import feared


def test_a_letter_says_what_the_desk_knows() -> None:
    found = triage("external gate, 3 port solenoid, 7 psi spring. turbo makes no boost. no codes")
    letter = letter_of(found, knowledge(), Shop())
    assert letter.drive == found.assessed.drive
    assert [one.cause for one in letter.likely] == [
        knowledge().causes[name] for name, _ in found.assessed.causes[: len(letter.likely)]
    ]
    assert 1 <= len(letter.likely) <= 3
    assert letter.check is not None
    assert not letter.check.check.loads_engine
    assert any('"no codes"' in line for line in letter.understood)
    assert "external wastegate" in " ".join(letter.photos)


def test_a_run_is_in_it_only_where_the_gate_is_open() -> None:
    shut = letter_of(triage("external gate, 3 port solenoid. boost creeps"), knowledge(), Shop())
    assert isinstance(shut.pull, Withheld)
    # The same car after every hose was traced at the car, with a cause that boost cannot run from.
    events = [
        Described("setup", "external-single"),
        Described("symptom", "flutter"),
        Described("spring_kpa", 48.0),
        Answered("hose-trace", ("matches",)),
        Answered("red-flags", ("none",)),
    ]
    one = desk().triage(read("it flutters when i lift, turbo"), events, "case")
    assert one.assessed.consultation is not None
    assert one.assessed.consultation.gate.allowed
    letter = letter_of(one, knowledge(), Shop())
    assert isinstance(letter.pull, Offer)
    assert letter.pull.id == RUN
    assert letter.pull.abort_kpa == 48.0 + knowledge().policy.overboost_margin_kpa


def test_a_vague_letter_only_asks() -> None:
    letter = letter_of(triage("boost is wrong pls help"), knowledge(), Shop())
    assert letter.vague
    assert (letter.likely, letter.check, letter.pull) == ((), None, None)
    assert any("blue smoke" in text for text in letter.flags)
    assert len(letter.questions) == 2


def test_every_red_flag_is_asked_in_few_words() -> None:
    flags = knowledge().checks["red-flags"]
    assert set(SHORT_FLAGS) == set(flags.answers) - {"none"}
    letter = letter_of(triage("boost is wrong pls help"), knowledge(), Shop())
    assert len(letter.flags) == len(SHORT_FLAGS)
    assert sum(len(text.split()) for text in letter.flags) < 50


def test_the_table_of_hoses_is_that_of_the_setup() -> None:
    rows = hose_table(fold([Described("setup", "external-single")]), knowledge())
    assert len(rows) >= len(knowledge().setups["external-single"].hoses)
    assert any("three-port boost solenoid, normally open" in row for row in rows)
    manual = fold([Described("setup", "direct"), Described("gate", "external")])
    assert "internal" not in " ".join(hose_table(manual, knowledge()))
    assert hose_table(fold([]), knowledge()) == ()


def test_words_are_quoted_with_their_clause_and_once() -> None:
    text = "Hello, the new gate went on\nlast weekend, and now it\ncreeps to 16 psi. Bye"
    letter = letter_of(triage(f"{text}. external gate"), knowledge(), Shop())
    lines = "\n".join(letter.understood)
    assert '"and now it creeps to 16 psi"' in lines
    assert '"the new gate went on last weekend"' in lines
    assert "boost you see 16\N{NO-BREAK SPACE}psi (110\N{NO-BREAK SPACE}kPa)" in lines


def test_a_long_clause_is_cut_at_whole_words() -> None:
    text = "well " + "very " * 40 + "it overboosts " + "badly " * 40
    (line,) = letter_of(triage(text + ", turbo"), knowledge(), Shop()).understood
    assert '("... very' in line
    assert 'badly ...")' in line
    assert len(line) < 200


@pytest.mark.parametrize(
    ("kpa", "unit", "shown"),
    [(48.3, "psi", "7 psi (48 kPa)"), (70.0, "bar", "0.7 bar (70 kPa)"), (150, "kPa", "150 kPa")],
)
def test_pressures_are_told_in_the_unit_of_the_customer(kpa: float, unit: str, shown: str) -> None:
    assert shown_in(kpa, unit).replace("\N{NO-BREAK SPACE}", " ").startswith(shown)


def test_a_red_flag_is_the_reason_with_what_to_do() -> None:
    found = triage("no boost from the turbo and I smell petrol in the cabin after every pull")
    first, second = reasons_for(found, knowledge())[:2]
    assert first.startswith('You write "')
    assert "smell petrol" in first
    assert "no flame" in second
    assert letter_of(found, knowledge(), Shop()).flags == ()


def test_a_car_that_must_stand_still_is_not_to_be_started() -> None:
    for text in ("turbo makes no boost and blue smoke", "it overboosts, 22 psi on a 10 psi spring"):
        found = triage(text)
        assert found.assessed.drive == "stop"
        assert all("running-engine" not in one.cautions for one in found.assessed.offers)


def test_photographs_of_the_hoses_come_first_where_the_setup_is_not_known() -> None:
    letter = letter_of(triage("the turbo overboosts, it hit 30 psi"), knowledge(), Shop())
    assert letter.photos_will_do
    assert letter.check is not None
    assert letter.check.id == "hose-trace"
    known = triage("external gate, 3 port solenoid. the turbo overboosts, it hit 30 psi")
    assert not letter_of(known, knowledge(), Shop()).photos_will_do


def test_the_one_check_can_show_a_cause_that_is_named_where_any_can() -> None:
    found = triage("no boost since yesterday from the turbo, blue smoke out of the exhaust")
    letter = letter_of(found, knowledge(), Shop())
    assert letter.check is not None
    named = [one.cause for one in letter.likely]
    assert any(knowledge().causes[cause] in named for cause in letter.check.check.given)


def test_a_cause_that_is_likely_enough_is_to_be_looked_for() -> None:
    text = "external gate, 3 port solenoid, just fitted. turbo makes no boost. full ring of light, "
    letter = letter_of(triage(text + "no seat ring"), knowledge(), Shop())
    assert letter.concluded == knowledge().causes["seat-ring-missing"]
    assert letter.check is None


def test_photographs_are_of_the_ports_of_the_setup() -> None:
    state = fold([Described("setup", "internal-tap"), Described("symptom", "lazy")])
    wanted = " ".join(photos(state, knowledge()))
    assert "push-in tap" in wanted
    assert "external" not in wanted
    traced = fold([Described("setup", "internal-tap"), Answered("hose-trace", ("matches",))])
    assert photos(traced, knowledge()) == ()


PIECES = st.sampled_from(
    ["it overboosts, 22 psi on a 10 psi spring.", "the turbo makes no boost", "boost creeps;",
     "stuck at 7 psi!!", "boost hunts?", "external gate.", "internal gate (tap in the coupler)",
     "3 port solenoid.", "7 psi spring", "hoses match the diagram...", "i smell petrol",
     "blue smoke", "no red flags", 'solenoid clicks "fine"', "just fitted it", "P0299",
     "no seat ring in there", "it flutters when i lift", "\n\n", "-- \n", "> no?", "\x1b[31m"]
)  # fmt: skip
# Slips of a joined sentence: two ends, an empty bracket, a small letter after an end.
SLIPS = re.compile(
    r"(?<!\.)\.\.(?!\.)|\?\.|!\.|;\.|\.;|\(\)|\( | \)|,,|: ?\.|(?<!\.)\. [a-z]|\bNone\b:"
)


@settings(max_examples=60, deadline=None)
@given(st.lists(PIECES | st.text(max_size=30), min_size=1, max_size=8).map(" ".join))
def test_a_letter_reads_as_sentences_whatever_was_written(text: str) -> None:
    found = triage(text)
    if not found.about_a_car:
        return
    letter = letter_of(found, knowledge(), Shop())
    page = draft(letter, knowledge())
    assert page.startswith("Hello Robin,\n\nThank you for writing. Safety first: ")
    assert "\x1b" not in page
    own = re.sub(r'"[^"]*"', '"x"', " ".join(page.split()))
    if text.count('"') == 0:
        assert not SLIPS.findall(own), own
    assert all(len(line) <= 76 or " " not in line.strip() for line in page.splitlines())


def test_yes_and_no_stand_with_their_question() -> None:
    events = [Described("symptom", "lazy"), Answered("duty-in-log", ("some",), "mail")]
    found = desk().triage(read("no boost, turbo"), events, "case")
    ask = knowledge().checks["duty-in-log"].ask
    assert f"{ask} Yes, some." in understood(found, knowledge())


def test_words_that_may_tell_of_danger_are_quoted_as_the_reason() -> None:
    found = desk().triage(feared(MUST_STAND))
    (reason,) = reasons_for(found, knowledge())
    assert reason.startswith('You write "it goes tick tick". That may be a sign of danger')
    letter = letter_of(found, knowledge(), Shop())
    assert letter.drive == "stop"
    assert isinstance(letter.pull, Withheld)
