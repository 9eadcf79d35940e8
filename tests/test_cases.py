"""The known cases that come with the program all come out, and they cover the knowledge."""

from __future__ import annotations

import pytest

from expert.loading.folder import Loaded, load_with_cases, shipped_folder
from expert.workbench.tryout import misses, outcomes
from expert.workbench.tryout_quick import QuickConsultant
from expert.workbench.tryout_report import lines

# Two faults that look alike, for each of which a case names one of the other as its counterpart.
LOOK_ALIKES = [
    # Little boost at no duty and the same at much: it escapes, or the solenoid does nothing.
    ("charge-leak-big", "solenoid-dead"),
    # Opens and shuts on the pump, and leaks exhaust all the same; or does not shut.
    ("seat-ring-missing", "valve-debris"),
    # Right at no duty and never more: the signal side, or the map asks for no more.
    ("duty-low", "gate-source-swap"),
    # Too much at no duty: the gate hears too little, or cannot move.
    ("restrictor-blocked", "flapper-seized-shut"),
    # Boost falls as duty rises: crossed hoses, or an output that works back to front.
    ("source-vent-swap", "driver-inverted"),
    # Less at the engine than at the housing: it leaks out, or is lost in the cooler.
    ("charge-leak-small", "cooler-blocked"),
    # Climbs with the revs only, or overshoots early and settles.
    ("gate-undersized", "restrictor-left-in"),
    # The solenoid clicks, which clears neither the hoses nor the vent.
    ("gate-source-swap", "vent-blocked"),
    ("signal-on-water", "diaphragm-torn"),
    ("uppers-capped", "spring-stiff"),
    ("source-unboosted", "tap-undrilled"),
    ("solenoid-dead", "solenoid-unpowered"),
    ("map-offset", "gauge-wrong"),
    ("blown-open", "exhaust-blocked"),
    ("bypass-torn", "bov-spring-soft"),
    ("limit-tight", "throttle-short"),
]


@pytest.fixture(scope="module")
def shipped() -> Loaded:
    return load_with_cases([shipped_folder()])


def test_no_case_misses(shipped: Loaded) -> None:
    assert shipped.cases
    found = outcomes(QuickConsultant(shipped.knowledge), shipped.cases)
    report = [
        line
        for name, case in shipped.cases.items()
        for line in lines(
            name, case, found[name], misses(shipped.knowledge, case, found[name]), shipped.places
        )
    ]
    assert not report, "\n".join(report)


def test_every_cause_has_a_case_that_ends_at_it(shipped: Loaded) -> None:
    proven = {case.expect.cause for case in shipped.cases.values()}
    assert set(shipped.knowledge.causes) == proven


def test_every_cause_that_must_not_be_driven_has_a_case_that_says_stop(shipped: Loaded) -> None:
    stopped = {case.expect.cause for case in shipped.cases.values() if case.expect.drive == "stop"}
    grave = {name for name, cause in shipped.knowledge.causes.items() if cause.danger == "stop"}
    assert grave
    assert grave <= stopped


@pytest.mark.parametrize("pair", LOOK_ALIKES, ids="-or-".join)
def test_every_pair_of_look_alikes_has_contrasting_cases(
    shipped: Loaded, pair: tuple[str, str]
) -> None:
    contrasts = {
        frozenset({case.expect.cause, shipped.cases[case.unlike].expect.cause})
        for case in shipped.cases.values()
        if case.unlike is not None
    }
    assert frozenset(pair) in contrasts


def test_the_cases_are_spread_over_all_there_is(shipped: Loaded) -> None:
    cases, knowledge = shipped.cases.values(), shipped.knowledge
    assert {case.setup for case in cases} == set(knowledge.setups)
    assert {case.gate for case in cases} >= {"internal", "external"}
    assert {case.bypass for case in cases} >= set(knowledge.bypasses)
    assert {case.symptoms[0] for case in cases} == set(knowledge.symptoms)
    changed = {
        answers[0] for case in cases for answers in [case.answers.get("what-changed")] if answers
    }
    assert changed >= {"just-fitted", "nothing", "earlier", "unknown"}
    assert {case.rest for case in cases} == {"unknown", "sound"}
    assert any(len(case.symptoms) > 1 for case in cases)
    assert any(case.expect.doubtful for case in cases)
    assert any(case.expect.never for case in cases)
