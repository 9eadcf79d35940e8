"""Whole cases on the shipped knowledge: each ends at its cause.

The car answers as cars with its fault mostly do. Beside each lazy turbo stands what a technician
would do at such a car, one word a check, the questions to the owner included: common practice, no
source.
"""

from __future__ import annotations

from functools import cache

import pytest

from expert.case.consult import Consultant
from expert.case.events import Described
from expert.case.state import fold
from expert.loading.folder import load, shipped_folder
from expert.workbench.cars import typical
from expert.workbench.drive import Played, play


@cache
def consultant() -> Consultant:
    return Consultant(load([shipped_folder()]))


def played(symptom: str, setup: str, cause: str) -> Played:
    state = fold(
        [
            Described("setup", setup),
            Described("bypass", "recirculating"),
            Described("symptom", symptom),
            Described("spring_kpa", 50.0),
        ]
    )
    return play(consultant(), state, cause, typical(cause))


ASKED = "flags changed worked"

LAZY = [
    ("external-single", "seat-ring-missing", f"{ASKED} hoses pump lamp"),
    ("internal-nipple", "flapper-ajar", f"{ASKED} hoses rod"),
    ("internal-tap", "flapper-ajar", f"{ASKED} hoses rod"),
]


@pytest.mark.parametrize(("setup", "cause", "technician"), LAZY)
def test_a_lazy_turbo_is_found_in_no_more_checks_than_a_technician_needs(
    setup: str, cause: str, technician: str
) -> None:
    case = played("lazy", setup, cause)
    needed = len(technician.split())
    print(f"{setup}, {cause}: {len(case.asked)} checks; a technician: {needed}")
    assert case.found == cause
    assert case.wrong == ()
    assert len(case.asked) <= needed


# For each complaint a cause that the trade would name first: common practice, no source.
COMPLAINTS = [
    ("lazy", "internal-tap", "charge-leak-big"),
    ("overboost", "internal-nipple", "source-vent-swap"),
    ("overboost", "external-single", "spare-lower-open"),
    ("spring-ceiling", "internal-tap", "solenoid-unpowered"),
    ("creep", "internal-nipple", "port-limited"),
    ("spike", "internal-tap", "restrictor-left-in"),
    ("hunting", "internal-nipple", "loop-aggressive"),
    ("falls-off", "external-single", "spring-tired"),
    ("flutter", "external-single", "bypass-no-vacuum"),
    ("power-cut", "internal-nipple", "limit-tight"),
]


@pytest.mark.parametrize(("symptom", "setup", "cause"), COMPLAINTS)
def test_every_complaint_ends_at_the_cause_that_the_trade_would_name(
    symptom: str, setup: str, cause: str
) -> None:
    case = played(symptom, setup, cause)
    assert case.found == cause
    assert case.wrong == ()
    assert case.asked[0][0] == "red-flags"


def test_no_engine_is_loaded_before_the_hoses_in_any_of_them() -> None:
    checks = consultant().knowledge.checks
    cases = [played("lazy", setup, cause) for setup, cause, _ in LAZY]
    cases += [played(symptom, setup, cause) for symptom, setup, cause in COMPLAINTS]
    for case in cases:
        names = [name for name, _ in case.asked]
        loaded = [k for k, name in enumerate(names) if checks[name].loads_engine]
        assert all(k > names.index("hose-trace") for k in loaded)
