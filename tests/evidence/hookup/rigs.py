"""Shipped layouts and verdicts for the tests of the hook-up."""

from __future__ import annotations

from functools import cache

from expert.case.car import parts_of
from expert.evidence.hookup.found import found_from
from expert.evidence.hookup.layout import Layout, layout_of
from expert.evidence.hookup.verdict import Verdict, verdict
from expert.loading.folder import load, shipped_folder
from expert.model import Knowledge

SPRING_PA = 50e3


@cache
def shipped() -> Knowledge:
    return load([shipped_folder()])


@cache
def layout(setup: str, gate: str | None = None, bypass: str | None = None) -> Layout:
    parts = parts_of(shipped(), setup, gate, bypass)
    return layout_of(shipped(), setup, bypass, parts)


def judged(
    setup: str,
    *hoses: str,
    gate: str | None = None,
    bypass: str | None = None,
    pinched: tuple[str, ...] = (),
    split: tuple[str, ...] = (),
    checks: tuple[str, ...] = (),
    restrictor: str = "right",
    plugged: bool = True,
    tees: tuple[str, ...] = (),
) -> Verdict:
    """The verdict on a layout with some hoses changed."""
    one = layout(setup, gate, bypass)
    found = found_from(
        one,
        hoses,
        pinched=pinched,
        split=split,
        checks=checks,
        restrictor=restrictor,
        plugged=plugged,
        tees=tees,
    )
    return verdict(one, found, SPRING_PA)
