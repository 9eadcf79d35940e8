"""How checks answer, learned from cases."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.model import Check, Slip
from expert.reasoning.network import History, Network
from expert.workbench.learn_count import SOUND, Answer, Tally
from expert.workbench.learn_fit import fitted_row, learned
from tests.small import CHECKS, knowledge, policy

SURE = policy(slip=Slip(asked=0.0, log=0.0, mail=0.0, hookup=0.0))
# Without leak, so that what is seen is what the cause does.
SMOKE = replace(CHECKS["smoke"], healthy={})


def counted(**counts: int) -> dict[tuple[tuple[str, ...], str], int]:
    return {((answer,), "asked"): count for answer, count in counts.items() if count}


@given(st.integers(0, 60), st.integers(0, 60), st.integers(1, 60), st.floats(1.0, 200.0))
def test_without_leak_and_slip_it_is_the_mean_of_a_dirichlet(
    nowhere: int, wisp: int, plume: int, prior: float
) -> None:
    # Textbook: (w p + n) / (w + all n), with p the row in the files.
    row = fitted_row(
        SMOKE, "charge-leak", counted(nowhere=nowhere, wisp=wisp, plume=plume), SURE, prior
    )
    total = prior + nowhere + wisp + plume
    assert row["wisp"] == pytest.approx((prior * 0.05 + wisp) / total, abs=2e-4)
    assert row["plume"] == pytest.approx((prior * 0.93 + plume) / total, abs=2e-4)


def test_placenta_previa_as_a_row() -> None:
    # Gelman et al., Bayesian Data Analysis, 3rd ed., section 2.4, as in test_learn_weights.
    check = replace(CHECKS["shaft"], healthy={}, given={"wheel-broken": {"broken": 0.5}})
    row = fitted_row(check, "wheel-broken", counted(free=543, broken=437), SURE, 2.0)
    assert row["broken"] == pytest.approx(0.446029, abs=1e-4)


def test_what_sound_cars_show_too_is_taken_off() -> None:
    # The wisp is there on half of the sound cars; a cause that never shows anything by itself
    # must not be credited with it.
    leaky = replace(
        CHECKS["smoke"], healthy={"wisp": 0.5}, given={"charge-leak": {"wisp": 0.2, "plume": 0.0}}
    )
    row = fitted_row(leaky, "charge-leak", counted(nowhere=500, wisp=500), SURE, 1.0)
    assert row["wisp"] < 0.02


def test_a_single_odd_answer_may_be_a_slip() -> None:
    sloppy = policy(slip=Slip(asked=0.3, log=0.3, mail=0.3, hookup=0.3))
    counts = counted(plume=40, wisp=4)
    sure = fitted_row(SMOKE, "charge-leak", counts, SURE, 5.0)
    unsure = fitted_row(SMOKE, "charge-leak", counts, sloppy, 5.0)
    assert unsure["wisp"] < sure["wisp"]


def test_the_answers_of_sound_cars() -> None:
    row = fitted_row(CHECKS["lamp"], SOUND, counted(dark=90, ring=10), SURE, 20.0)
    assert row == {"ring": pytest.approx((20.0 * 0.01 + 10) / 120.0, abs=2e-4)}


KINDS: list[tuple[str, str, Check]] = [
    ("smoke", "charge-leak", CHECKS["smoke"]),
    ("red-flags", "wheel-broken", CHECKS["red-flags"]),
    ("run", "hose-off", CHECKS["run"]),
]


@pytest.mark.parametrize(("name", "cause", "truth"), KINDS)
def test_many_cases_bring_back_what_made_them(name: str, cause: str, truth: Check) -> None:
    """Answers fall as the network predicts them; the row they come from is found again."""
    book = knowledge()
    network = Network(book, frozenset({"turbo", "external-gate"}), "lazy", History())
    channel, column = network.channel(name), network.column[cause]
    slip = book.policy.slip.asked
    counts: Counter[tuple[tuple[str, ...], str]] = Counter()
    sets = [(answer,) for answer in channel.answers]
    if truth.kind == "nominal":
        sets.append(tuple(sorted(channel.answers[1:3])))
    for answers in sets:
        alone = float(channel.reading(answers).of_single()[column])
        share = (1.0 - slip) * alone + (slip / len(channel.answers) if len(answers) == 1 else 0.0)
        counts[answers, "asked"] = round(1e6 * share)
    # The files were wrong about it by far.
    unsound = [answer for answer in truth.answers if answer != truth.sound_answer()]
    wrong = replace(truth, given={**truth.given, cause: dict.fromkeys(unsound, 0.15)})
    row = fitted_row(wrong, cause, counts, book.policy, 1.0)
    for answer in unsound:
        assert row[answer] == pytest.approx(truth.given[cause].get(answer, 0.0), abs=0.015)


@given(
    st.sampled_from(KINDS),
    st.data(),
    st.floats(0.1, 100.0),
)
def test_rows_stay_rows(kind: tuple[str, str, Check], data: Any, prior: float) -> None:
    _, cause, check = kind
    answers = st.sampled_from(list(check.answers)).map(lambda one: (one,))
    keys = st.tuples(answers, st.sampled_from(["asked", "log", "mail", "hookup"]))
    counts = data.draw(st.dictionaries(keys, st.integers(1, 10**6), min_size=1))
    row = fitted_row(check, cause, counts, policy(), prior)
    assert all(0.0 <= share <= 1.0 for share in row.values())
    assert set(row) <= set(check.answers) - {check.sound_answer()}
    sides = {"two-sided": [check.low, check.high], "nominal": []}.get(check.kind, [tuple(row)])
    for side in sides:
        assert sum(row.get(answer, 0.0) for answer in side) <= 1.0 + 1e-9
    assert check.given[cause].keys() <= row.keys()


def test_only_what_was_seen_is_changed() -> None:
    book = knowledge()
    told = Tally(answers=Counter({Answer("lamp", "ring-missing", ("dark",), "asked"): 30}))
    found = learned(book, told, 20.0)
    (change,) = found.rows
    assert (change.check, change.cause, change.cases) == ("lamp", "ring-missing", 30)
    assert found.knowledge.checks["lamp"].given["ring-missing"] == change.after
    assert change.after["ring"] < 0.5
    assert found.knowledge.checks["smoke"] is book.checks["smoke"]
    assert found.knowledge.causes == book.causes
    assert np.isclose(book.checks["lamp"].given["ring-missing"]["ring"], 0.93)
