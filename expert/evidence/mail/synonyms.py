"""Words that mean the same in what customers write, so that a phrase needs only one of them.

Plain English with its endings taken off; several words with ``-`` between them stand for one.
What only the trade says belongs into ``says`` of the knowledge.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import chain
from typing import Final

from expert.evidence.mail.words import FILLERS, stem

# The first word of each group is only its name here: any of them stands for all.
_GROUPS: Final = (
    "rise climb increase ramp mount escalate ascend grow go-up",
    "fall drop sag fade taper dip decline decrease decay plummet plunge sink slump tumble diminish "
    "dwindle droop collapse wilt fizzle go-down come-down tail-off",
    "oscillate fluctuate bounce swing wander waver wobble vary pulse pulsate cycle seesaw yoyo "
    "jitter flicker hunt surge see-saw yo-yo jump-about jump-around move-about bob sway",
    "slow sluggish lazy laggy lethargic tardy",
    "weak poor pathetic feeble rubbish crap terrible useless dismal abysmal",
    "late delayed",
    "power shove punch grunt poke oomph",
    "revs rpm rpms revolution engine-speed",
    "redline limiter rev-limit",
    "noise sound racket din",
    "make build produce generate create develop deliver achieve attain",
    "split crack perish tear rip burst puncture rupture rot",
    "seized jammed frozen rusted siezed",
    "fit install",
    "change replace renew exchange",
    "smell stink reek whiff odour odor stench pong",
    "petrol fuel gasoline",
    "knock ping pink detonate det detonation pinking pinging",
    "grind scrape screech grate",
    "suddenly sudden abruptly instantly abrupt",
    "fine ok okay good perfect perfectly great nice nicely alright",
    "big massive huge large serious major enormous",
    "nothing none nowt zilch zip naff",
    "hardly barely scarcely",
    "brief quick short momentary",
    "briefly momentarily quickly",
    "gradually steadily progressively continuously",
    "boost pressure boost-pressure charge-pressure charging-pressure turbo-pressure "
    "loading-pressure",
    "lift let-off let-go leave-gas leave-throttle leave-accelerator back-off ease-off foot-off "
    "off-throttle off-gas come-off-throttle come-off-gas "
    "come-off-accelerator come-off-pedal come-off-power come-off-boost release-throttle "
    "release-accelerator release-gas release-pedal close-throttle shut-throttle",
    "shift change-gear gear-change gearchange swap-gear",
    "vacuum vac depression",
    "hose line tube tubing",
    "wastegate wg waste-gate",
    "solenoid boost-valve control-valve pressure-valve ebcs",
    "blocked plugged clogged bunged",
    "unplugged disconnected",
    "loose slack",
    "cabin interior cockpit",
    "whistle whine",
)


def _members() -> Mapping[str, tuple[tuple[str, ...], ...]]:
    found: dict[str, tuple[tuple[str, ...], ...]] = {}
    for group in _GROUPS:
        words = [tuple(map(stem, word.split("-"))) for word in group.split()]
        distinct = tuple(dict.fromkeys(words))
        for word in distinct:
            if len(word) == 1:
                found[word[0]] = distinct
    return found


_MEMBERS: Final = _members()
# Every stem that a synonym brings into play.
STEMS: Final = frozenset(chain.from_iterable(chain.from_iterable(_MEMBERS.values()))) - FILLERS


def likes_of(word: str) -> tuple[tuple[str, ...], ...]:
    """The words that mean the same as a stem, itself among them, each as its stems in order."""
    return _MEMBERS.get(word, ((word,),))


def name_of(word: str) -> str:
    """The one stem that stands for all that mean the same as a stem."""
    likes = _MEMBERS.get(word)
    return " ".join(likes[0]) if likes else word
