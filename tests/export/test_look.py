"""Legible in colour and in grey. Contrast by the formula of WCAG 2.1 (success criterion 1.4.3)."""

from __future__ import annotations

import re
from itertools import combinations

import pytest

from expert.export import look
from expert.model import DANGERS

# What the colour names stand for in SVG 1.1, section 4.4.
NAMED = {"white": "#ffffff", "black": "#000000"}


def luminance(colour: str) -> float:
    text = NAMED.get(colour, colour)
    channels = [int(text[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_gives_its_known_ends() -> None:
    assert contrast("white", "black") == pytest.approx(21.0)
    assert contrast("#777777", "white") == pytest.approx(4.48, abs=0.005)


@pytest.mark.parametrize(
    "ink", [look.INK, look.QUIET, look.STOP, look.CARE, *look.SIGNALS.values()]
)
@pytest.mark.parametrize("ground", ["white", look.LEAF["fillcolor"]])
def test_every_ink_can_be_read(ink: str, ground: str) -> None:
    assert contrast(ink, ground) >= 4.5


@pytest.mark.parametrize("kind", [look.FORK, look.LEAF, look.REFERENCE])
def test_ink_can_be_read_on_every_shape(kind: dict[str, str]) -> None:
    assert contrast(look.INK, kind["fillcolor"]) >= 7.0


def without_colour(style: dict[str, str]) -> dict[str, str]:
    """The style as a grey printer shows it: how many lines, and which."""
    return {key: str(value.count(":")) if key == "color" else value for key, value in style.items()}


def test_lines_tell_every_danger_without_colour() -> None:
    styles = [
        without_colour({"color": "x", **look.edge(danger, walked)})
        for danger in DANGERS
        for walked in (False, True)
    ]
    assert all(one != other for one, other in combinations(styles, 2))


def test_frames_tell_every_verdict_without_colour() -> None:
    styles = [
        without_colour({"color": "x", **look.leaf(drive, walked)})
        for drive in ("ok", "caution", "stop")
        for walked in (False, True)
    ]
    assert all(one != other for one, other in combinations(styles, 2))


def test_every_kind_of_node_has_a_form_of_its_own() -> None:
    kinds = [look.CHECK, look.FORK, look.LEAF, look.REFERENCE, look.LEFT]
    forms = [(kind["shape"], "rounded" in kind.get("style", "")) for kind in kinds]
    assert len(set(forms)) == len(forms)


def test_colours_are_written_in_full() -> None:
    for name in ("INK", "QUIET", "STOP", "CARE"):
        assert re.fullmatch("#[0-9a-f]{6}", getattr(look, name))
