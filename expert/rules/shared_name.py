"""Names of columns that two channels of a log lay claim to."""

from __future__ import annotations

from collections.abc import Iterator

from expert.rules.rule import Hit, Rule, Subject
from expert.text import name_words


def _find(subject: Subject) -> Iterator[Hit]:
    first: dict[tuple[str, ...], list[tuple[str, str, str]]] = {}
    for channel, entry in subject.knowledge.channels.items():
        for index, name in enumerate(entry.names):
            words = tuple(sorted(word for word in name_words(name) if not word.isdecimal()))
            earlier = first.setdefault(words, [])
            for other, quantity, spelt in earlier:
                # A unit tells a speed in km/h from one in rpm.
                if other == channel or "any" in (quantity, entry.quantity):
                    rival = True
                else:
                    rival = quantity == entry.quantity
                if rival:
                    place = subject.places.of("channel", channel, "names", index)
                    whose = "this channel" if other == channel else f"the channel '{other}'"
                    message = (
                        f"'{name}' is the same name as '{spelt}' of {whose}: capitals, signs, "
                        "numbers and order do not count; leave one out"
                    )
                    yield Hit(place, message, ("channel", channel))
                    break
            earlier.append((channel, entry.quantity, name))


_CHANNELS = """\
boost:
  title: boost
  quantity: pressure
  names: [boost, "%s"]
  basis: invented
target:
  title: the boost that is asked for
  quantity: pressure
  names: [boost target]
  basis: invented
"""

RULE = Rule(
    id="shared-name",
    severity="warning",
    summary="two channels of a log claim one name of a column",
    why=(
        "A column of that name is then taken for one of them by chance. The same name may stand for"
        " quantities that differ in their units, such as speed."
    ),
    wrong={"channels.yaml": _CHANNELS % "Boost_Target"},
    right={"channels.yaml": _CHANNELS % "Boost_Pressure"},
    find=_find,
)
