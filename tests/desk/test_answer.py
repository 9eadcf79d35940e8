"""The letter for a message: ``expert/desk/answer.py``."""

from __future__ import annotations

from expert.case.events import Answered, Described
from expert.case.offer import Offer, Withheld
from expert.case.state import fold
from expert.desk.answer import RUN, hose_table, letter_of, photos
from expert.export.reply import Shop
from tests.desk.mails import desk, knowledge, read, triage


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
    assert len(letter.questions) == 3
    assert "blue smoke" in letter.questions[0]


def test_the_table_of_hoses_is_that_of_the_setup() -> None:
    rows = hose_table(fold([Described("setup", "external-single")]), knowledge())
    assert len(rows) >= len(knowledge().setups["external-single"].hoses)
    assert any("three-port boost solenoid, normally open" in row for row in rows)
    manual = fold([Described("setup", "direct"), Described("gate", "external")])
    assert "internal" not in " ".join(hose_table(manual, knowledge()))
    (row,) = hose_table(fold([]), knowledge())
    assert "when we know your setup" in row


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
