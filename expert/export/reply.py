"""A draft reply to a customer, as plain text: short, safety first, without false certainty."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from textwrap import fill
from typing import Final

from expert.case.offer import Offer, Withheld
from expert.case.safety import Drive
from expert.model import Cause, Knowledge
from expert.text import clean
from expert.units import shown_kpa

WIDTH: Final = 76
_HARD_SPACE: Final = "\N{NO-BREAK SPACE}"
_SIGNALS: Final = ("DANGER", "WARNING", "CAUTION", "NOTICE")
_MOST_WORDS: Final = 40
_MOST_ANSWERS: Final = 3
_MOST_LETTERS_OF_NAME: Final = 20
# From here on a share is told of the likeliest cause alone.
_TELLING: Final = 0.25
_SENTENCE: Final = re.compile(r"(?<=[.!?]) ")

_VERDICT: Final = {
    "stop": (
        "please do not drive the car as it is, not even gently, and make no pull to make sure. "
        "If it has to be moved, have it towed or trailered."
    ),
    "caution": "please drive gently and off boost until we know more.",
    "ok": "nothing you write says that the car must stand still.",
}
_NO_PULL: Final = {
    "stop": "",
    "caution": " No full-throttle pull, please.",
    "ok": " All the same, please make no full-throttle pull until this is found.",
}
_ONE_PULL: Final = " Please make no full-throttle pull but the one below."
_ASKED: Final = "{ask} {flags}; or none of these? If any, stop, switch off, and tell us first."
_FLAGS: Final = (
    "If you notice knocking, blue smoke, a smell of petrol, exhaust in the cabin, glowing parts or "
    "metal noises, stop, switch off, and tell us."
)
_MEANWHILE: Final = (
    "Until then, please leave duty, target, spring and limits alone, and change one thing at a "
    "time. Local rules come first; what you are not equipped to do safely belongs in a licensed "
    "workshop."
)
_LOG: Final = (
    "A log of the trouble if you already have one, with rpm, pedal, throttle, boost, target, duty, "
    "mixture, knock and intake temperature. No new pull for it, please."
)


@dataclass(frozen=True, slots=True)
class Shop:
    """The shop's own words at both ends of a letter; without a greeting the customer's name."""

    greeting: str = ""
    signature: str = "Kind regards"


@dataclass(frozen=True, slots=True)
class Likely:
    """A likely cause, and the customer's words that speak for it."""

    cause: Cause
    probability: float
    reasons: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Letter:
    """Everything a reply says; the desk fills it in.

    ``name`` is the customer's own, as the message gives it; ``answered`` says that this is a reply
    to ours. ``because`` are whole sentences; ``flags_ask`` and
    ``flags`` ask about the red flags, where nothing is known of them. ``pull`` is
    a run, offered or withheld; ``causes`` are those that this car can have, with their chance;
    ``concluded`` is a cause that is likely enough to be looked for and mended; ``hoses`` is the
    table of the setup, where the check needs it, and ``photos_will_do`` where there is none yet.
    """

    drive: Drive
    name: str = ""
    answered: bool = False
    because: tuple[str, ...] = ()
    flags_ask: str = ""
    flags: tuple[str, ...] = ()
    understood: tuple[str, ...] = ()
    likely: tuple[Likely, ...] = ()
    check: Offer | None = None
    questions: tuple[str, ...] = ()
    pull: Offer | Withheld | None = None
    photos: tuple[str, ...] = ()
    log_wanted: bool = False
    vague: bool = False
    shop: Shop = field(default_factory=Shop)
    causes: Mapping[str, float] = field(default_factory=dict)
    concluded: Cause | None = None
    hoses: tuple[str, ...] = ()
    photos_will_do: bool = False


def read_shop(text: str) -> Shop:
    """The shop's greeting and signature from a file: parted by a line of three hyphens."""
    lines = [clean(line).rstrip() for line in text.splitlines()]
    if "---" not in lines:
        return Shop(signature="\n".join(lines).strip() or Shop().signature)
    at = lines.index("---")
    greeting = "\n".join(lines[:at]).strip()
    return Shop(greeting, "\n".join(lines[at + 1 :]).strip())


def draft(letter: Letter, knowledge: Knowledge) -> str:
    """The letter as plain text, safety first."""
    parts = [letter.shop.greeting or _greeting(letter.name), _safety(letter), _flags(letter)]
    if letter.understood:
        title = "What we understood; please put right what is wrong:"
        parts.append(_listed(title, letter.understood))
    if letter.likely and letter.concluded is None:
        parts.append(_causes(letter.likely))
    if letter.concluded is not None:
        parts.append(_mending(letter.concluded, letter.likely, knowledge))
    elif letter.check is not None and letter.photos_will_do:
        parts.append(_photographing(letter.check))
    elif letter.check is not None:
        parts.append(_check(letter.check, letter.causes, knowledge))
        if letter.hoses:
            parts.append(_listed("The table, where every hose goes:", letter.hoses))
    parts.append(_questions(letter))
    parts += _to_send(letter)
    if isinstance(letter.pull, Offer):
        parts.append(_pull(letter.pull, knowledge))
    parts += [_para(_MEANWHILE), letter.shop.signature]
    return "\n\n".join(part for part in parts if part).replace(_HARD_SPACE, " ") + "\n"


def lowered(text: str) -> str:
    """A text that goes on in the middle of a sentence; *I*, codes and capitals stay."""
    word = text.split(" ", 1)[0].strip(",.;:")
    stays = word == "I" or any(mark.isupper() or mark.isdigit() for mark in word[1:])
    return text if stays else text[:1].lower() + text[1:]


def _para(text: str, indent: str = "", first: str | None = None) -> str:
    return fill(
        " ".join(text.split(" ")),
        WIDTH,
        initial_indent=indent if first is None else first,
        subsequent_indent=indent,
        break_long_words=False,
        break_on_hyphens=False,
    )


def _listed(title: str, items: Sequence[str], numbered: bool = False) -> str:
    lines = [_para(title)]
    for number, item in enumerate(items, start=1):
        mark = f"{number}. " if numbered else "- "
        lines.append(_para(item, " " * len(mark), mark))
    return "\n".join(lines)


def _sentence(text: str) -> str:
    """A text that ends as a sentence does, once."""
    text = text.strip()
    return text if text.endswith((".", "!", "?")) else f"{text}."


def _greeting(name: str) -> str:
    """The customer's first name, where there is a plain one."""
    first = next(iter(name.split()), "")
    plain = first.isalpha() and first[:1].isupper() and 1 < len(first) <= _MOST_LETTERS_OF_NAME
    return f"Hello {first}," if plain else "Hello,"


def _safety(letter: Letter) -> str:
    thanks = "Thank you for your answers." if letter.answered else "Thank you for writing."
    pull = _ONE_PULL if isinstance(letter.pull, Offer) else _NO_PULL[letter.drive]
    reasons = [_sentence(text) for text in letter.because if text and letter.drive != "ok"]
    return _para(" ".join([f"{thanks} Safety first: {_VERDICT[letter.drive]}{pull}", *reasons]))


def _flags(letter: Letter) -> str:
    """The red flags: asked where nothing is known of them, else said once more."""
    if letter.flags:
        named = "; ".join(text.rstrip(".") for text in letter.flags)
        asked = _ASKED.format(ask=letter.flags_ask, flags=f"{named[:1].upper()}{named[1:]}")
        return _para(asked)
    return "" if letter.drive == "stop" else _para(_FLAGS)


def _causes(likely: Sequence[Likely]) -> str:
    title = "What it may be:" if len(likely) == 1 else "What it may be, the likeliest first:"
    items: list[str] = []
    told: set[tuple[str, ...]] = set()
    for one in likely:
        text = f"{one.cause.title}. {_in_short(one.cause.what)}"
        if one.reasons and one.reasons in told:
            text += " The same words fit."
        elif one.reasons:
            text += f" What you write fits: {' and '.join(one.reasons)}."
        told.add(one.reasons)
        items.append(text)
    return f"{_listed(title, items)}\n{_para(_how_sure(likely))}"


def _in_short(text: str) -> str:
    """The first sentence; with the second where it takes that to say what boost does."""
    first, *rest = _SENTENCE.split(text)
    if (
        rest
        and "boost" not in first.casefold()
        and len(f"{first} {rest[0]}".split()) <= _MOST_WORDS
    ):
        return _sentence(f"{first} {rest[0]}")
    return _sentence(first)


def _how_sure(likely: Sequence[Likely]) -> str:
    """In tenths, since a mail allows no finer judgement."""
    top, total = likely[0].probability, sum(one.probability for one in likely)
    if len(likely) == 1:
        chance = f"It has about {_tenths(top)}"
    elif top >= _TELLING:
        chance = f"The first has about {_tenths(top)}"
    else:
        chance = f"None is likely by itself; together they have about {_tenths(total)}"
    return f"{chance}. A check at the car counts for more than our guess."


def _tenths(probability: float) -> str:
    tenths = max(1, min(9, round(10 * probability)))
    return f"{tenths} {'chance' if tenths == 1 else 'chances'} in 10"


def _mending(cause: Cause, likely: Sequence[Likely], knowledge: Knowledge) -> str:
    """How to make sure of a likely cause and to mend it."""
    own = [one for one in likely if one.cause == cause]
    chance = f" ({_tenths(own[0].probability)})" if own else ""
    fits = (
        f" What you write fits: {' and '.join(own[0].reasons)}." if own and own[0].reasons else ""
    )
    lines = [_para(f"What it most likely is{chance}: {cause.title}. {_in_short(cause.what)}{fits}")]
    lines += _cautions(cause.cautions, knowledge)
    lines += [
        _para(f"Make sure first, before you buy or change anything: {lowered(cause.confirm)}"),
        _para(f"If it is so: {lowered(cause.fix)} That takes about {_minutes(cause.minutes)}."),
        _para("If it turns out to be sound, tell us, and we go on with the next."),
    ]
    return "\n".join(lines)


def _minutes(minutes: float) -> str:
    whole = max(1, round(minutes))
    return f"{whole} {'minute' if whole == 1 else 'minutes'}"


def _cautions(names: Sequence[str], knowledge: Knowledge) -> list[str]:
    """The cautions, the gravest first."""
    cautions = sorted(
        (knowledge.cautions[name] for name in names), key=lambda one: _SIGNALS.index(one.signal)
    )
    return [_para(f"{one.signal}: {one.text}", "  ") for one in cautions]


def _check(item: Offer, causes: Mapping[str, float], knowledge: Knowledge) -> str:
    check = item.check
    tools = "; ".join(knowledge.tools[name].title for name in check.tools)
    takes = f"It takes about {_minutes(item.minutes)}"
    needs = f", with: {tools}." if tools else " and no tools."
    lines = [_para(f"The one thing to check next: {lowered(check.ask)}"), _para(takes + needs)]
    lines += _cautions(item.cautions, knowledge)
    steps = [
        _sentence(f"First: {lowered(knowledge.preparations[name].title)}") for name in item.prepare
    ]
    lines += [
        _para(step, "   ", f"{number}. ")
        for number, step in enumerate([*steps, *check.how], start=1)
    ]
    lines.append("What you find, and what it will mean:")
    lines += [_para(text, "  ", "- ") for text in _meanings(item, causes, knowledge)]
    return "\n".join(lines)


def _photographing(item: Offer) -> str:
    """In place of a check that needs a table, where it is not known which table."""
    return _para(
        "The one thing to do next: photograph the hoses and their ports, with the engine off and "
        "cold and the key out, and change nothing. The pictures tell us the setup. It takes about "
        f"{_minutes(item.minutes)}."
    )


def _meanings(item: Offer, causes: Mapping[str, float], knowledge: Knowledge) -> list[str]:
    """What the likelier answers mean; of a long list the rest in one line."""
    check = item.check
    answers = check.answers_for(list(causes))
    sound = check.sound_answer()
    weight = {
        answer: sum(
            row.get(answer, 0.0) * causes.get(cause, 0.0) for cause, row in check.given.items()
        )
        for answer in answers
    }
    order = sorted((name for name in answers if name != sound), key=lambda name: -weight[name])
    told = set(order[:_MOST_ANSWERS]) if len(order) > _MOST_ANSWERS + 1 else set(order)
    lines = []
    for answer, text in answers.items():
        if answer == sound or answer in told:
            meaning = _meaning(item, answer, causes, knowledge)
            lines.append(f"{_sentence(text)} {meaning}")
    left = [name for name in order if name not in told]
    if any(check.danger.get(name) == "stop" for name in left):
        lines.append("Anything else: leave the car standing, and tell us what you found.")
    elif left:
        lines.append("Anything else: tell us in your own words.")
    return lines


def _meaning(item: Offer, answer: str, causes: Mapping[str, float], knowledge: Knowledge) -> str:
    """What an answer speaks for, in a few words."""
    check = item.check
    if answer == check.sound_answer():
        return "Good, then we look elsewhere."
    ending = " Leave the car standing, and tell us." if check.danger.get(answer) == "stop" else ""
    shown = [
        (row.get(answer, 0.0) * causes[cause], cause)
        for cause, row in check.given.items()
        if cause in causes and row.get(answer, 0.0) > 0.0
    ]
    if not shown:
        return f"Then we know where to look next.{ending}"
    _, first = max(shown)
    return f"Most likely: {lowered(knowledge.causes[first].title)}.{ending}"


def _questions(letter: Letter) -> str:
    if not letter.questions:
        return ""
    several = len(letter.questions) > 1
    also = "also " if letter.check or letter.flags or letter.concluded else ""
    return _listed(f"Please {also}tell us:", letter.questions, numbered=several)


def _to_send(letter: Letter) -> list[str]:
    """What to send back: what was found, photographs, and a log that is there already."""
    if letter.check is None and letter.concluded is None:
        return []
    asked = letter.check.check.send if letter.check else ()
    items = [_sentence(text) for text in asked]
    words = " ".join(asked).casefold()
    if letter.photos and "photo" not in words:
        items.append(f"Sharp photographs: {'; '.join(letter.photos)}.")
    if letter.log_wanted and " log " not in f" {words} ":
        items.append(_LOG)
    found = "what you found (the words above will do)" if letter.check else "what you found"
    if letter.photos_will_do:
        return [_listed("Please send back:", items)]
    if not items:
        return [_para(f"Please send back {found}.")]
    return [_listed(f"Please send back {found}, and:", items)]


def _pull(item: Offer, knowledge: Knowledge) -> str:
    """A run, with its abort number; only what the load gate has let through gets here."""
    abort = (
        f"Lift at once at {shown_kpa(item.abort_kpa)} of boost, and do not try again."
        if item.abort_kpa is not None
        else "Tell us the spring's pressure first: without it there is no boost at which to lift."
    )
    lines = [_para("A run may be made now, on a closed legal place or a dyno:"), _para(abort, "  ")]
    lines += [
        _para(f"{knowledge.cautions[name].signal}: {knowledge.cautions[name].text}", "  ")
        for name in item.cautions
    ]
    lines += [_para(step, "   ", f"{n}. ") for n, step in enumerate(item.check.how, start=1)]
    return "\n".join(lines)
