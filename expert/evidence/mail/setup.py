"""Which setup a customer has, by the parts that he names."""

from __future__ import annotations

from collections.abc import Collection
from typing import Final

from expert.evidence.mail.lexicon import Lexicon
from expert.model import GATES

_GATES: Final = {part: gate for gate, part in GATES.items()}


def setup_of(
    parts: Collection[str], lexicon: Lexicon
) -> tuple[str | None, str | None, str | None, tuple[str, ...]]:
    """Setup, gate and bypass layout where the parts name one, and every setup that fits.

    A setup is named only where the parts that were mentioned leave no other, or where all others
    need a part of their own that nobody mentioned: two signal hoses, a tap in a coupler.
    """
    telling = {
        part
        for part in parts
        if any(part in own for own in lexicon.setups.values())
        and not all(part in own for own in lexicon.setups.values())
    }
    fitting = tuple(name for name, own in lexicon.setups.items() if telling <= own)
    gates = {_GATES[part] for part in telling if part in _GATES}
    gate = next(iter(gates)) if len(gates) == 1 else None
    named = _named(telling, fitting)
    if named is not None and gate is not None:
        fixed = lexicon.fixed_parts[named]
        gate = None if any(part in fixed for part in _GATES) else gate
    bypasses = [
        name for name, own in lexicon.bypasses.items() if (own - {"bypass-valve"}) & set(parts)
    ]
    return named, gate, bypasses[0] if len(bypasses) == 1 else None, fitting if telling else ()


def _named(telling: Collection[str], fitting: Collection[str]) -> str | None:
    if not telling:
        return None
    if len(fitting) == 1:
        return next(iter(fitting))
    if {"external-gate", "three-port"} <= set(telling) and "external-single" in fitting:
        # The upper chamber is driven on purpose, and who does it says so.
        return "external-single"
    return None
