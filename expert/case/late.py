"""A consultant that is called in only when there is something to consult about."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from expert.case.consult import Consultant, Consultation
    from expert.case.state import State
    from expert.model import Knowledge


class LateConsultant:
    """Behaves like a Consultant; numpy is imported at the first consultation, not before.

    The first questions of a dialogue need the knowledge alone, and are on the screen sooner.
    """

    def __init__(self, knowledge: Knowledge) -> None:
        self.knowledge = knowledge

    def consult(self, state: State) -> Consultation:
        """What follows from a state with a setup and a complaint. Raises UsageError without."""
        return self._consultant.consult(state)

    @cached_property
    def _consultant(self) -> Consultant:
        from expert.case.consult import Consultant

        return Consultant(self.knowledge)
