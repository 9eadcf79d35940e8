"""Mistakes that only show when all entries are looked at together, each with its place."""

from __future__ import annotations

from expert.errors import Mistake
from expert.loading.entries import Entries
from expert.loading.linking.answers import check_answers
from expert.loading.linking.cases import check_cases
from expert.loading.linking.causes import check_causes
from expert.loading.linking.checks import check_checks
from expert.loading.linking.context import Context
from expert.loading.linking.plumbing import check_plumbing
from expert.loading.linking.readings import check_readings
from expert.loading.linking.references import check_references
from expert.loading.linking.trees import check_trees
from expert.loading.places import Places


def link(entries: Entries, places: Places) -> list[Mistake]:
    """The mistakes of each entry and of all of them together.

    What follows from a mistake that is reported already is left out as far as that can be told:
    entries with mistakes of their own are not looked at for whether their fields fit each other.
    """
    context = Context(entries, places)
    check_causes(context)
    check_checks(context)
    check_plumbing(context)
    branched = check_trees(context)
    check_answers(context, branched)
    check_readings(context)
    check_cases(context)
    return [*check_references(entries), *context.mistakes]
