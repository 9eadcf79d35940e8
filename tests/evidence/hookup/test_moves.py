"""What is wrong and how to mend it: ``expert/evidence/hookup/moves.py``."""

from __future__ import annotations

from collections import deque
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from expert.evidence.hookup.found import AIR, CAP, Found, as_it_should_be, found_from
from expert.evidence.hookup.layout import Layout, Pair
from expert.evidence.hookup.moves import (
    Cap,
    Fit,
    Move,
    Remove,
    Step,
    Swap,
    Uncap,
    Untee,
    Wrong,
    moves,
    wrong_ports,
)
from tests.evidence.hookup.rigs import layout

NO, COM, NC = (f"three-port.{p}" for p in ("normally-open", "common", "normally-closed"))
NIPPLE, TAP, LOWER = "housing-nipple.nipple", "inlet-pipe.tap", "external-gate.lower"
UPPER, SPARE = "external-gate.upper", "external-gate.spare-lower"


def after(found: Found, steps: list[Step]) -> tuple[frozenset[Pair], frozenset[str]]:
    """The hoses and caps when the steps have been done one after the other."""
    hoses, capped = set(found.hoses), set(found.capped)
    for step in steps:
        match step:
            case Swap(one, other):
                turned = {one: other, other: one}
                hoses = {frozenset(turned.get(port, port) for port in pair) for pair in hoses}
            case Move(staying, from_, to):
                hoses.remove(frozenset((staying, from_)))
                hoses.add(frozenset((staying, to)))
            case Remove(one, other):
                hoses.remove(frozenset((one, other)))
            case Fit(one, other):
                hoses.add(frozenset((one, other)))
            case Cap(port):
                capped.add(port)
            case Uncap(port):
                capped.remove(port)
    return frozenset(hoses), frozenset(capped)


@pytest.mark.parametrize(
    ("hoses", "expected"),
    [
        ([], []),
        ([f"{NIPPLE}={NC}", f"{NO}={TAP}"], [Swap(NC, NO)]),
        ([f"{COM}={UPPER}"], [Move(COM, UPPER, LOWER)]),
        ([f"{NC}=air"], [Fit(TAP, NC)]),
        ([f"{UPPER}=manifold.tap"], [Remove(UPPER, "manifold.tap")]),
        ([f"{UPPER}=cap"], [Uncap(UPPER)]),
        ([f"{SPARE}=air"], [Cap(SPARE)]),
    ],
)
def test_the_moves_of_a_fault(hoses: list[str], expected: list[Step]) -> None:
    one = layout("external-single")
    assert moves(one, found_from(one, hoses)) == expected


def test_ports_rotated_take_two_swaps() -> None:
    one = layout("external-single")
    found = found_from(one, [f"{NIPPLE}={COM}", f"{LOWER}={NC}", f"{TAP}={NO}"])
    steps = moves(one, found)
    assert len(steps) <= 3
    assert after(found, steps) == (one.pairs, one.capped)


def test_wrong_ports_say_what_is_there_and_what_should_be() -> None:
    one = layout("external-single")
    found = found_from(one, [f"{COM}={UPPER}"])
    assert wrong_ports(one, found) == [
        Wrong(LOWER, AIR, COM),
        Wrong(UPPER, COM, AIR),
        Wrong(COM, UPPER, LOWER),
    ]
    capped = found_from(one, ["external-gate.water-in=cap", f"{UPPER}=cap"])
    assert wrong_ports(one, capped) == [Wrong(UPPER, CAP, AIR)]


def shuffled(one: Layout, ends: list[str]) -> Found:
    pairs = frozenset(frozenset(ends[k : k + 2]) for k in range(0, len(ends) - 1, 2))
    return Found(pairs, one.capped - {port for pair in pairs for port in pair})


@given(st.data())
@settings(max_examples=200, deadline=None)
def test_the_moves_always_lead_to_the_layout(data: st.DataObject) -> None:
    one = layout("external-single", None, "manifold")
    ports = sorted(port for port in one.ports if ".water-" not in port)
    order = data.draw(st.permutations(ports))
    count = data.draw(st.integers(0, len(ports) // 2))
    found = shuffled(one, order[: 2 * count])
    hoses, capped = after(found, moves(one, found))
    assert hoses == one.pairs
    assert one.capped <= capped
    assert not capped & (one.open | {port for pair in one.pairs for port in pair})


def fewest(one: Layout, found: Found) -> int:
    """The least number of steps, by trying all of them: breadth first."""
    ports = sorted({port for pair in one.pairs | found.hoses for port in pair})
    start = found.hoses
    seen, todo = {start}, deque([(start, 0)])
    while todo:
        hoses, count = todo.popleft()
        if hoses == one.pairs:
            return count
        taken = {port for pair in hoses for port in pair}
        following = [hoses - {pair} for pair in hoses]
        following += [
            hoses | {frozenset(pair)} for pair in combinations(sorted(set(ports) - taken), 2)
        ]
        for pair in hoses:
            for port in pair:
                (staying,) = pair - {port}
                following += [
                    (hoses - {pair}) | {frozenset((staying, to))} for to in set(ports) - taken
                ]
        for one_port, other in combinations(ports, 2):
            turned = {one_port: other, other: one_port}
            following.append(
                frozenset(frozenset(turned.get(port, port) for port in pair) for pair in hoses)
            )
        for new in following:
            if new not in seen:
                seen.add(new)
                todo.append((new, count + 1))
    raise AssertionError("no way")


@given(st.permutations([NIPPLE, NO, COM, LOWER, NC, TAP]), st.integers(1, 3))
@settings(max_examples=25, deadline=None)
def test_there_is_no_shorter_way(order: list[str], count: int) -> None:
    one = layout("external-single")
    found = Found(shuffled(one, order[: 2 * count]).hoses, one.capped)
    assert len(moves(one, found)) == fewest(one, found)


def test_the_layout_needs_no_move() -> None:
    for setup, gate in (
        ("internal-nipple", None),
        ("direct", "external"),
        ("manual-bleed", "internal"),
    ):
        one = layout(setup, gate)
        assert moves(one, as_it_should_be(one)) == []
        assert wrong_ports(one, as_it_should_be(one)) == []


def test_a_tee_comes_out_first() -> None:
    one = layout("external-single")
    upper = found_from(one, [], tees=[f"{LOWER}={UPPER}"])
    assert wrong_ports(one, upper) == [Wrong(UPPER, LOWER, AIR)]
    assert moves(one, upper) == [Untee(LOWER, UPPER)]
    spare = found_from(one, [f"{LOWER}=air", f"{COM}=air"], tees=[f"{COM}={SPARE}"])
    steps = moves(one, spare)
    assert steps == [Untee(SPARE, COM), Fit(LOWER, COM), Cap(SPARE)]
    assert after(spare, steps[1:]) == (one.pairs, one.capped)
    both = found_from(one, [], tees=[f"{NIPPLE}={NC}"])
    assert {wrong.port for wrong in wrong_ports(one, both)} == {NIPPLE, NC}
