"""American words among British ones."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Final

from expert.rules.prose import Written
from expert.rules.rule import Hit, Rule, Subject

# British -> American, the words that a garage uses; from memory. Left out are those whose twin is a
# word of its own on both sides: a meter measures, a bolt tires, a hood draws air.
DOUBLES: Final[Mapping[str, str]] = {
    "aluminium": "aluminum",
    "analyse": "analyze",
    "calibre": "caliber",
    "catalogue": "catalog",
    "centre": "center",
    "colour": "color",
    "coloured": "colored",
    "fibre": "fiber",
    "grey": "gray",
    "kilometre": "kilometer",
    "labelled": "labeled",
    "litre": "liter",
    "millimetre": "millimeter",
    "millimetres": "millimeters",
    "mould": "mold",
    "odour": "odor",
    "petrol": "gasoline",
    "pressurise": "pressurize",
    "pressurised": "pressurized",
    "recognise": "recognize",
    "spanner": "wrench",
    "spanners": "wrenches",
    "travelled": "traveled",
    "vapour": "vapor",
    "windscreen": "windshield",
}
_BRITISH: Final = {american: british for british, american in DOUBLES.items()}
_EITHER: Final = frozenset({*DOUBLES, *_BRITISH})
_WORD: Final = re.compile(r"[a-z]+")


def _find(subject: Subject) -> Iterator[Hit]:
    american: dict[Written, list[str]] = {}
    british: dict[Written, list[str]] = {}
    for one in subject.prose:
        for word in _EITHER.intersection(_WORD.findall(one.text.lower())):
            (american if word in _BRITISH else british).setdefault(one, []).append(word)
    if not american or not british:
        return
    rarer, twin = (american, _BRITISH) if len(american) <= len(british) else (british, DOUBLES)
    for one, words in rarer.items():
        place = subject.places.value(one.kind, one.name, *one.path)
        word = min(words)
        message = f"found '{word}'; other texts spell such words as '{twin[word]}'"
        yield Hit(place, message, (one.kind, one.name))


RULE = Rule(
    id="mixed-spelling",
    severity="warning",
    summary="American and British spellings are mixed",
    why="Search in the files finds only one of two spellings. The rarer of the two is reported.",
    wrong={
        "tools.yaml": "lamp: {title: a grey lamp}\ngray-box: {title: gray gauge in a box}\n",
    },
    right={"tools.yaml": "lamp: {title: a grey lamp}\ngrey-box: {title: grey gauge in a box}\n"},
    find=_find,
)
