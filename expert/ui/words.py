"""Numbers and lists in words."""

from __future__ import annotations

from collections.abc import Sequence

_HARD_SPACE = "\N{NO-BREAK SPACE}"

# Midpoints between the values that S. Kent gives his words ("Words of Estimative Probability",
# 1964): almost certain .93, probable .75, about even .50, probably not .30, almost certainly not
# .07.
_SURENESS = (
    (0.84, "almost certain"),
    (0.625, "probable"),
    (0.40, "about even"),
    (0.185, "probably not"),
)

# Weights of evidence in decibans. Five are odds of about three to one, ten are ten to one.
_STRONG_DECIBANS = 10.0
_CLEAR_DECIBANS = 5.0
_SLIGHT_DECIBANS = 1.0


def percent(probability: float) -> str:
    """A probability for people; never 0 or 100, since nothing is that certain."""
    share = 100.0 * probability
    if share < 1.0:
        return f"under{_HARD_SPACE}1{_HARD_SPACE}%"
    if share > 99.0:
        return f"over{_HARD_SPACE}99{_HARD_SPACE}%"
    return f"{share:.0f}{_HARD_SPACE}%"


def sureness(probability: float) -> str:
    """The nearest of Kent's words."""
    for edge, word in _SURENESS:
        if probability >= edge:
            return word
    return "almost certainly not"


def strength(decibans: float) -> str | None:
    """How strongly a finding speaks, for or against; None when it says next to nothing."""
    size = abs(decibans)
    side = "for" if decibans > 0.0 else "against"
    if size >= _STRONG_DECIBANS:
        return f"strongly {side}"
    if size >= _CLEAR_DECIBANS:
        return f"clearly {side}"
    return f"a little {side}" if size >= _SLIGHT_DECIBANS else None


def minutes(amount: float) -> str:
    """A duration for people."""
    whole = max(1, round(amount))
    hours, rest = divmod(whole, 60)
    if not hours:
        return f"{whole}{_HARD_SPACE}min"
    return f"{hours}{_HARD_SPACE}h" + (f"{_HARD_SPACE}{rest}{_HARD_SPACE}min" if rest else "")


def joined(items: Sequence[str], last: str = "and") -> str:
    """``a, b and c``."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"


def sentence(text: str) -> str:
    """The text with a full stop, unless it ends in a mark already."""
    text = text.strip()
    return text if not text or text[-1] in ".!?:" else f"{text}."
