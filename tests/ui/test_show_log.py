"""What logs say, as blocks: ``expert/ui/show_log.py``."""

from __future__ import annotations

from dataclasses import replace

from expert.case.consult import Consultant
from expert.case.events import Answered, Described, Event
from expert.case.logged import drive_of, log_events
from expert.case.safety import Verdict
from expert.case.state import fold
from expert.evidence.log.record import Span
from expert.loading.folder import load, shipped_folder
from expert.ui.protocol import Banner, Block, Heading, Steps, Table
from expert.ui.show_log import (
    HEALTHY,
    NO_PULL_YET,
    NOTHING_TO_RANK,
    ONLY_SO_FAR,
    advice_blocks,
    log_blocks,
    log_page,
    seconds,
)
from tests.evidence.log import testimonies
from tests.evidence.log.testimonies import BROKEN, shows, told
from tests.ui.script import shown as as_shown

KNOWN = load([shipped_folder()])
CAR: list[Event] = [Described("setup", "external-single"), Described("spring_kpa", 69.0)]


def shown(blocks: list[Block]) -> str:
    """The blocks on one line, with plain blanks."""
    return " ".join(as_shown(blocks).split())


def test_a_log_in_full() -> None:
    text = shown(log_blocks(KNOWN, told()))
    for words in (
        "pull.csv",
        "MAP",
        "kPa absolute",
        "90 %",
        "10.0 to 16.0 s, gear 3, duty 0 %, the lowest setting",
        "the highest boost",
        "Won't build boost, or builds it late. Steady boost is low. (12.0 to 15.5 s)",
        "zero-duty-log=below",
        "gears-and-cold: Only one gear is in the log.",
    ):
        assert words in text
    assert "onset" not in text


def test_a_log_that_is_of_no_use_says_why_and_no_more() -> None:
    blocks = log_blocks(KNOWN, BROKEN)
    assert shown(blocks).endswith("Not usable: there is no such file.")
    assert len(blocks) == 2


def test_a_healthy_log_says_so_and_one_with_doubts_says_that() -> None:
    assert HEALTHY in shown(log_blocks(KNOWN, testimonies.HEALTHY))
    doubtful = replace(told().unsure[0], symptoms=("creep",))
    partly = replace(testimonies.HEALTHY, unsure=(doubtful,))
    assert ONLY_SO_FAR in shown(log_blocks(KNOWN, partly))


def test_advice_waits_for_the_gate() -> None:
    assert NO_PULL_YET in shown(advice_blocks([told()], may_pull=False))
    assert "Record one pull" not in shown(advice_blocks([told()], may_pull=False))
    (steps,) = advice_blocks([told(), told()], may_pull=True)
    assert steps == Steps("What to record next", ("Record one pull in fourth gear.",))
    assert advice_blocks([testimonies.HEALTHY], may_pull=False) == []


def test_the_page_ends_with_verdict_ranking_and_next_check() -> None:
    high = shows("overboost", ("zero-duty-log", "well-above"))
    consultant = Consultant(KNOWN)
    state = fold([*CAR, *log_events(KNOWN, [high])])
    consultation = consultant.consult(state)
    page = log_page(KNOWN, [high, BROKEN], 69.0, consultation, drive_of(consultant, state))
    assert [block.danger for block in page if isinstance(block, Banner)] == ["stop"]
    text = shown(page)
    assert "Next check: red-flags" in text
    assert text.index("What follows") < text.index("Do not drive") < text.index("Ranking")
    assert len([block for block in page if isinstance(block, Table)]) == 2


def test_a_complaint_that_no_log_shows_is_marked_as_told() -> None:
    consultant = Consultant(KNOWN)
    state = fold([*CAR, Described("symptom", "creep"), *log_events(KNOWN, [told()])])
    page = log_page(KNOWN, [told()], 69.0, consultant.consult(state), drive_of(consultant, state))
    assert "Boost creeps up as the revs rise, as told" in shown(page)


def test_a_healthy_log_and_no_complaint() -> None:
    page = log_page(KNOWN, [testimonies.HEALTHY], 69.0, None, Verdict("ok", ()))
    assert NOTHING_TO_RANK in shown(page)
    assert log_page(KNOWN, [BROKEN], 69.0, None, Verdict("ok", ())) == []
    idle = replace(testimonies.HEALTHY, usable=False, reason="no pull is in it", features=None)
    page = log_page(KNOWN, [idle, BROKEN], 69.0, None, Verdict("ok", ()))
    assert [block.text for block in page if isinstance(block, Heading)] == ["pull.csv"]
    assert "Not usable: no pull is in it." in shown(page)


def test_answers_in_a_log_count_without_a_complaint() -> None:
    state = fold([*CAR, Answered("key-on-pressure", ("off-more",), "log")])
    verdict = drive_of(Consultant(KNOWN), state)
    page = log_page(KNOWN, [testimonies.HEALTHY], 69.0, None, verdict)
    assert [block.danger for block in page if isinstance(block, Banner)] == ["stop"]


def test_a_moment_is_told_as_one() -> None:
    assert seconds(Span(27.38, 27.42)) == "27.4\N{NO-BREAK SPACE}s"
    assert seconds(Span(27.3, 27.42)) == "27.3 to 27.4\N{NO-BREAK SPACE}s"
