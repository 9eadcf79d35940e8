from __future__ import annotations

from expert.evidence.log.plateau import plateau_of
from expert.evidence.log.seen import seen
from tests.evidence.log.drives import flat, made, only_pull


def test_a_pull_with_its_plateau() -> None:
    trace = only_pull(made(flat(69.0))).trace
    assert seen(trace).trace is trace
    assert seen(trace).plateau == plateau_of(trace)
