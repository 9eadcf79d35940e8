"""All rules, in the order of the page that documents them."""

from __future__ import annotations

from typing import Final

from expert.rules import (
    accusing_reading,
    basis_source,
    byte_order_mark,
    dead_branch,
    duplicate_text,
    early_load,
    excluded_cause,
    idle_check,
    idle_excuse,
    impossible_answer,
    last_line,
    line_ends,
    long_text,
    loose_text,
    missing_caution,
    missing_unit,
    misspelt,
    mixed_spelling,
    no_car,
    no_case,
    odd_minutes,
    overlapping_readings,
    schema_line,
    shared_name,
    shouting,
    similar_ids,
    stop_uncleared,
    trailing_blanks,
    unconfirmed,
    weak_answer,
)
from expert.rules.rule import Rule

_OTHERS: Final[tuple[Rule, ...]] = (
    # What can hurt people or engines.
    missing_caution.RULE,
    stop_uncleared.RULE,
    early_load.RULE,
    # What the numbers say.
    unconfirmed.RULE,
    idle_check.RULE,
    weak_answer.RULE,
    impossible_answer.RULE,
    excluded_cause.RULE,
    no_car.RULE,
    odd_minutes.RULE,
    no_case.RULE,
    # Trees.
    dead_branch.RULE,
    # Readings of logs.
    overlapping_readings.RULE,
    accusing_reading.RULE,
    # Texts and names.
    long_text.RULE,
    shouting.RULE,
    missing_unit.RULE,
    misspelt.RULE,
    mixed_spelling.RULE,
    duplicate_text.RULE,
    similar_ids.RULE,
    shared_name.RULE,
    basis_source.RULE,
    # The file itself.
    loose_text.RULE,
    schema_line.RULE,
    byte_order_mark.RULE,
    line_ends.RULE,
    trailing_blanks.RULE,
    last_line.RULE,
)
RULES: Final[tuple[Rule, ...]] = (*_OTHERS, idle_excuse.rule(one.id for one in _OTHERS))
BY_ID: Final = {rule.id: rule for rule in RULES}
