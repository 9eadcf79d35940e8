"""A draft reply to a customer, as text or as an .eml file. It is written, never sent."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from email.errors import HeaderParseError
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import parseaddr
from textwrap import fill
from typing import Final

from expert.case.offer import Offer, Withheld
from expert.case.safety import Drive
from expert.model import Cause, Knowledge
from expert.text import clean
from expert.units import shown_kpa

WIDTH: Final = 76
_HARD_SPACE: Final = "\N{NO-BREAK SPACE}"
_LONGEST_SUBJECT: Final = 180
_LONGEST_CHAIN: Final = 850
_LINE_LIMIT: Final = 990
_ID: Final = re.compile(r"<[!-;=?-~]{1,250}>")

_VERDICT: Final = {
    "stop": (
        "First of all: please do not drive the car as it is. If it has to be moved, have it towed "
        "or trailered. Do not try a pull to make sure."
    ),
    "caution": (
        "First of all: please drive gently and stay off boost until we know more. No full-throttle "
        "pulls, please."
    ),
    "ok": (
        "Nothing you wrote says that the car must stand still. All the same, please make no "
        "full-throttle pulls until this is found."
    ),
}
_FLAGS: Final = (
    "If you notice knocking, blue smoke, a smell of petrol, exhaust in the cabin, glowing parts or "
    "metal noises, stop at once, switch off, and tell us."
)
_UNSURE: Final = (
    "This is a judgement from a few lines of mail, not a finding. A check at the car counts for "
    "more than anything we can guess from here."
)
_RULES: Final = (
    "Local rules on noise, exhaust and emission parts go before anything here. Whatever you are "
    "not equipped to do safely belongs in a licensed workshop."
)
_SIGNALS: Final = ("DANGER", "WARNING", "CAUTION", "NOTICE")
_MOST_CAUTIONS: Final = 4


@dataclass(frozen=True, slots=True)
class Shop:
    """The shop's own words at both ends of a letter."""

    greeting: str = "Hello,"
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

    ``pull`` is a run, offered or withheld; ``causes`` are those that this car can have;
    ``concluded`` is a cause that is likely enough to be looked for and mended; ``hoses`` is the
    table of the setup, where the check needs it.
    """

    drive: Drive
    because: tuple[str, ...] = ()
    understood: tuple[str, ...] = ()
    likely: tuple[Likely, ...] = ()
    check: Offer | None = None
    questions: tuple[str, ...] = ()
    pull: Offer | Withheld | None = None
    photos: tuple[str, ...] = ()
    log_wanted: bool = False
    vague: bool = False
    shop: Shop = field(default_factory=Shop)
    causes: frozenset[str] = frozenset()
    concluded: Cause | None = None
    hoses: tuple[str, ...] = ()


def read_shop(text: str) -> Shop:
    """The shop's greeting and signature from a file: parted by a line of three hyphens."""
    lines = [clean(line).rstrip() for line in text.splitlines()]
    if "---" not in lines:
        return Shop(signature="\n".join(lines).strip() or Shop().signature)
    at = lines.index("---")
    greeting = "\n".join(lines[:at]).strip()
    return Shop(greeting or Shop().greeting, "\n".join(lines[at + 1 :]).strip())


def draft(letter: Letter, knowledge: Knowledge) -> str:
    """The letter as plain text, safety first."""
    parts = [letter.shop.greeting, _opening(letter), _safety(letter)]
    if letter.understood:
        parts.append(
            _listed(
                "This is what we understood; please put right what is wrong:", letter.understood
            )
        )
    if letter.likely:
        parts.append(_causes(letter.likely))
    if letter.concluded is not None:
        parts.append(_mending(letter.concluded, knowledge))
    elif letter.check is not None:
        parts.append(_check(letter.check, letter.causes, knowledge))
        if letter.hoses:
            parts.append(_listed("The table: where every hose goes", letter.hoses))
    if letter.questions:
        title = "Please also tell us:" if letter.check else "Please tell us:"
        parts.append(_listed(title, letter.questions, numbered=len(letter.questions) > 1))
    parts.append(_not_to_do(letter))
    parts += _to_send(letter, knowledge)
    parts.append(_closing(letter))
    parts.append(letter.shop.signature)
    return "\n\n".join(part for part in parts if part).replace(_HARD_SPACE, " ") + "\n"


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


def _opening(letter: Letter) -> str:
    if letter.vague:
        return _para(
            "Thank you for writing. What you tell us could be many things, so we would rather ask "
            "than guess."
        )
    return "Thank you for writing, and for the details."


def _safety(letter: Letter) -> str:
    lines = [_para(_VERDICT[letter.drive])]
    reasons = [_plainly(text) for text in letter.because if text][:2]
    if letter.drive != "ok" and reasons:
        lines.append(_para(f"Why: {' '.join(reasons)}"))
    if letter.drive != "stop":
        lines.append(_para(_FLAGS))
    return "\n".join(lines)


def _plainly(reason: str) -> str:
    """A reason of the verdict, said to the customer."""
    begins, ends = "The complaint itself is dangerous: ", "."
    if reason.startswith(begins):
        title = reason.removeprefix(begins).removesuffix(ends)
        return f"What you describe is dangerous by itself: {title[:1].lower()}{title[1:]}."
    if reason.startswith("Seen in the check "):
        words = reason.partition(": ")[2]
        return f"From what you write: {words[:1].lower()}{words[1:]}"
    return reason


def _causes(likely: Sequence[Likely]) -> str:
    title = (
        "What it most likely is:" if len(likely) == 1 else "What it could be, the likeliest first:"
    )
    items = []
    for one in likely:
        text = f"{one.cause.title} ({_chance(one.probability)}). {one.cause.what}"
        if one.reasons:
            text += f" What you wrote that points there: {', '.join(one.reasons)}."
        items.append(text)
    return f"{_listed(title, items)}\n{_para(_UNSURE)}"


def _chance(probability: float) -> str:
    """In tenths, since a mail allows no finer judgement."""
    tenths = min(9, round(10 * probability))
    if tenths <= 0:
        return "less than 1 chance in 10"
    return f"about {tenths} {'chance' if tenths == 1 else 'chances'} in 10"


def _mending(cause: Cause, knowledge: Knowledge) -> str:
    """How to make sure of a likely cause and to mend it."""
    cautions = sorted(
        (knowledge.cautions[name] for name in cause.cautions),
        key=lambda one: _SIGNALS.index(one.signal),
    )
    return "\n".join(
        [
            _para("That is likely enough to look for it now."),
            *(_para(f"{one.signal}: {one.text}", "  ") for one in cautions),
            _para(f"Make sure first, before you buy or change anything: {cause.confirm}"),
            _para(f"Then mend it: {cause.fix}"),
            _para(
                f"The repair takes about {cause.minutes:.0f} minutes. If it turns out to be sound, "
                "tell us; then we go on with the next."
            ),
        ]
    )


def _check(item: Offer, causes: frozenset[str], knowledge: Knowledge) -> str:
    check = item.check
    tools = ", ".join(knowledge.tools[name].title for name in check.tools)
    lines = [_para(f"The one check to do next: {check.ask}")]
    lines.append(
        _para(f"It takes about {item.minutes:.0f} minutes" + (f" and: {tools}." if tools else "."))
    )
    cautions = [knowledge.cautions[name] for name in item.cautions]
    cautions.sort(key=lambda one: _SIGNALS.index(one.signal))
    lines += [_para(f"{one.signal}: {one.text}", "  ") for one in cautions]
    lines += [_para(f"First: {knowledge.preparations[name].title}.", "  ") for name in item.prepare]
    lines += [_para(step, "   ", f"{number}. ") for number, step in enumerate(check.how, start=1)]
    lines.append("What the answer will mean:")
    lines += [
        _para(f"{text.rstrip('.')}: {_meaning(item, answer, causes, knowledge)}", "  ", "- ")
        for answer, text in _telling(item, causes).items()
    ]
    return "\n".join(lines)


def _telling(item: Offer, causes: frozenset[str]) -> dict[str, str]:
    """The answers to explain; a long list is cut to the sound one and the common faults."""
    answers = item.check.answers_for(causes)
    if len(answers) <= 6:
        return answers
    weight = {
        answer: sum(
            row.get(answer, 0.0) for cause, row in item.check.given.items() if cause in causes
        )
        for answer in answers
    }
    kept = sorted(answers, key=lambda name: -weight[name])[:5]
    sound = item.check.sound_answer()
    return {name: text for name, text in answers.items() if name in kept or name == sound}


def _meaning(item: Offer, answer: str, here: frozenset[str], knowledge: Knowledge) -> str:
    """What an answer speaks for, in a few words."""
    check = item.check
    ending = " Leave the car standing and tell us." if check.danger.get(answer) == "stop" else ""
    if check.kind == "history":
        return "it tells us where to look first."
    if answer == check.sound_answer():
        return "good, that side is sound; tell us and we go on from there."
    shown = sorted(
        ((row.get(answer, 0.0), cause) for cause, row in check.given.items() if cause in here),
        reverse=True,
    )
    causes = [knowledge.causes[cause].title for share, cause in shown[:2] if share > 0.0]
    if not causes:
        return f"we need to know that.{ending}"
    return (
        f"it points to: {'; or: '.join(title[:1].lower() + title[1:] for title in causes)}.{ending}"
    )


def _not_to_do(letter: Letter) -> str:
    items = []
    if not isinstance(letter.pull, Offer):
        items.append("No full-throttle pull, on the road or on a dyno, until we have said so.")
    items.append("Do not raise duty, target or spring, and do not take out or raise any limit.")
    items.append("Change one thing at a time, and tell us each change.")
    return _listed("What not to do meanwhile:", items)


def _to_send(letter: Letter, knowledge: Knowledge) -> list[str]:
    """What to send back: readings, photographs, an old log, and a run only where it is offered."""
    items: list[str] = []
    if letter.check is not None:
        items += [text.rstrip(".") + "." for text in letter.check.check.send]
        items.append("The answer to the check, in the words of the list above if you can.")
    if letter.photos and not any("photo" in text.lower() for text in items):
        items.append(f"Photographs, sharp and in good light: {'; '.join(letter.photos)}.")
    if letter.log_wanted:
        items.append(
            "If you have a log of the trouble already: rpm, throttle, pedal, boost, air pressure, "
            "boost target, wastegate duty, mixture, knock, ignition, intake temperature and speed, "
            "at least ten times a second. Please make no new pull for it."
        )
    parts = [_listed("What to send back:", items)] if items else []
    if isinstance(letter.pull, Offer):
        parts.append(_pull(letter.pull, knowledge))
    return parts


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


def _closing(letter: Letter) -> str:
    if letter.drive == "stop":
        return _para(f"Take your time with it; a car that stands still breaks nothing. {_RULES}")
    return _para(_RULES)


def eml(text: str, *, to: str, subject: str, message_id: str, references: Sequence[str]) -> bytes:
    """The draft as an unsent message that answers another (RFC 5322, section 3.6.4).

    It has no sender, date or id of its own: the program that sends it adds them. Header texts are
    made safe, so that nothing in them can begin another header.
    """
    # Ids must not be folded, since folding would encode long ones.
    message = EmailMessage(policy=SMTP.clone(max_line_length=_LINE_LIMIT))
    address = _address(to)
    if address is not None:
        message["To"] = address
    own = clean(subject, _LONGEST_SUBJECT).strip() or "your message"
    message["Subject"] = own if own.casefold().startswith("re:") else f"Re: {own}"
    if _is_id(message_id):
        message["In-Reply-To"] = message_id
        chain = [message_id]
        for one in reversed(references):
            if len(" ".join([*chain, one])) > _LONGEST_CHAIN:
                break
            if _is_id(one) and one not in chain:
                chain.insert(0, one)
        message["References"] = " ".join(chain)
    message["X-Unsent"] = "1"
    message.set_content(text, charset="utf-8", cte="quoted-printable")
    return message.as_bytes()


def _is_id(text: str) -> bool:
    return bool(_ID.fullmatch(text))


def _address(text: str) -> Address | None:
    """The address of a From header, or None for one that is none by the rules."""
    name, address = parseaddr(clean(text, 500))
    user, at, domain = address.rpartition("@")
    if not (at and user and domain and address.isascii()):
        return None
    try:
        return Address(clean(name, 100), user, domain)
    except (ValueError, IndexError, HeaderParseError):
        return None
