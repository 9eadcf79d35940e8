"""What a benchmark has found: a number, its limit if it has one, and a line to print."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Figure:
    """``value`` must not exceed ``limit``; without a limit it is only reported.

    ``digits`` are the significant ones that are printed.
    """

    what: str
    value: float
    unit: str
    limit: float | None = None
    note: str = ""
    digits: int = 4

    @property
    def over(self) -> bool:
        return self.limit is not None and not self.value <= self.limit

    def line(self) -> str:
        unit = f" {self.unit}" if self.unit else ""
        found = f"{self.what}: {self.value:.{self.digits}g}{unit}"
        if self.limit is not None:
            found += f" (limit {self.limit:g}{unit}) {'OVER' if self.over else 'PASS'}"
        return f"{found}; {self.note}" if self.note else found
