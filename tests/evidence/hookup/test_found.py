"""What was found, as texts: ``expert/evidence/hookup/found.py``."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.errors import UsageError
from expert.evidence.hookup.found import Found, as_it_should_be, found_from, known_port
from tests.evidence.hookup.rigs import layout

NO, COM, NC = (f"three-port.{p}" for p in ("normally-open", "common", "normally-closed"))
NIPPLE, TAP, LOWER = "housing-nipple.nipple", "inlet-pipe.tap", "external-gate.lower"


def single() -> tuple[frozenset[frozenset[str]], Found]:
    one = layout("external-single")
    return one.pairs, as_it_should_be(one)


def test_nothing_said_is_as_it_should_be() -> None:
    assert found_from(layout("external-single"), []) == single()[1]


def test_a_named_port_frees_the_other_end_of_its_hose() -> None:
    found = found_from(layout("external-single"), [f"{NIPPLE}={NC}", f"{NO} = {TAP}"])
    assert found.hoses == {
        frozenset((NIPPLE, NC)),
        frozenset((NO, TAP)),
        frozenset((COM, LOWER)),
    }


def test_air_and_caps() -> None:
    found = found_from(
        layout("external-single"), [f"{NC}=air", "external-gate.upper=cap", f"{TAP}=cap"]
    )
    assert not [pair for pair in found.hoses if NC in pair]
    assert {"external-gate.upper", TAP} <= found.capped
    opened = found_from(layout("external-single"), ["external-gate.spare-lower=air"])
    assert "external-gate.spare-lower" not in opened.capped


def test_hoses_are_named_by_one_end_or_both() -> None:
    one = layout("external-single")
    gate_hose = frozenset((COM, LOWER))
    assert found_from(one, [], split=[COM]).split == {gate_hose}
    assert found_from(one, [], pinched=[f"{LOWER}={COM}"]).pinched == {gate_hose}
    assert found_from(one, [], checks=[f"{COM}={LOWER}"]).checks == {(COM, LOWER)}


@pytest.mark.parametrize(
    ("hoses", "message"),
    [
        ([NIPPLE], "is no hose: write both ends"),
        ([f"{NIPPLE}="], "is no hose: write both ends"),
        ([f"={NIPPLE}"], "is no hose: write both ends"),
        ([f"{NIPPLE}={NIPPLE}"], "cannot go from housing-nipple.nipple to itself"),
        ([f"{NIPPLE}=three-port.comon"], "'three-port.comon' is not on this car; did you mean"),
        (["air=cap"], "'cap' is not on this car"),
        (["zzz=air"], "'zzz' is not on this car; expected one of charge-path"),
        ([f"{NIPPLE}={NC}", f"{NIPPLE}={NO}"], "named twice: it cannot go to three-port.normally-"),
        ([f"{NIPPLE}={NC}", f"{LOWER}={NC}"], "The port three-port.normally-closed is named twice"),
    ],
)
def test_what_is_refused(hoses: list[str], message: str) -> None:
    with pytest.raises(UsageError) as caught:
        found_from(layout("external-single"), hoses)
    assert message in str(caught.value)


def test_a_fault_of_a_hose_that_is_not_there_is_refused() -> None:
    one = layout("external-single")
    with pytest.raises(UsageError, match=r"There is no hose on external-gate\.upper"):
        found_from(one, [], split=["external-gate.upper"])
    with pytest.raises(UsageError, match="There is no hose on"):
        found_from(one, [f"{NC}=air"], pinched=[f"{NC}={TAP}"])


@given(st.text(max_size=30))
def test_any_text_is_understood_or_refused_in_one_line(text: str) -> None:
    one = layout("external-single")
    try:
        found_from(one, [text])
    except UsageError as error:
        assert "\n" not in str(error)
        assert str(error).isprintable()
    assert known_port(NIPPLE, one.ports) == NIPPLE


def test_a_hose_may_be_told_from_both_ends_and_air_may_come_first() -> None:
    one = layout("external-single")
    twice = found_from(one, [f"{NIPPLE}={NC}", f"{NC}={NIPPLE}", f"air={NO}"])
    assert twice == found_from(one, [f"{NIPPLE}={NC}", f"{NO}=air"])


def test_tees() -> None:
    one = layout("external-single")
    upper, spare = "external-gate.upper", "external-gate.spare-lower"
    found = found_from(one, [], tees=[f"{LOWER}={upper}", f"{COM}={spare}"])
    assert found.tees == {frozenset((LOWER, upper)), frozenset((COM, spare))}
    # A tee takes the place of the cap that should be there.
    assert spare not in found.capped
    assert found.hoses == one.pairs
    for hoses, tee, message in (
        ([], f"{LOWER}=air", "A tee joins two ports"),
        ([], f"{LOWER}={LOWER}", "to itself"),
        ([], f"{LOWER}={COM}", "joins external-gate.lower and three-port.common already"),
        ([f"{upper}=cap"], f"{LOWER}={upper}", "external-gate.upper cannot be capped and have a"),
        ([], "lower", "is no hose"),
    ):
        with pytest.raises(UsageError, match=message):
            found_from(one, hoses, tees=[tee])


def test_what_the_car_has_not_is_refused() -> None:
    with pytest.raises(UsageError, match="this car has none that could be"):
        found_from(layout("external-single"), [], restrictor="blocked")
    with pytest.raises(UsageError, match="this car has none that could be"):
        found_from(layout("manual-ball", "internal"), [], restrictor="missing")
    with pytest.raises(UsageError, match="no boost solenoid"):
        found_from(layout("manual-ball", "internal"), [], plugged=False)
