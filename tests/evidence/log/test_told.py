from __future__ import annotations

from expert.evidence.log.record import Measured
from expert.evidence.log.told import NO_PULL, first_reason, largest, least, missing, surest

SURE, LARGE, ABSENT = Measured(3.0, 0.1), Measured(9.0, 2.0), missing("no rpm")


def test_one_out_of_several() -> None:
    assert surest([ABSENT, LARGE, SURE]) is SURE
    assert largest([SURE, ABSENT, LARGE]) is LARGE
    assert least([LARGE, SURE, ABSENT]) is SURE


def test_the_reason_when_there_is_none() -> None:
    for choose in (surest, largest, least):
        assert choose([ABSENT]).why == "no rpm"
        assert choose([]).why == NO_PULL
        assert choose([], "the log is short").why == "the log is short"
    assert first_reason([SURE, ABSENT]) is ABSENT
    assert missing("x").value is None
