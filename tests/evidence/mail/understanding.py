"""What tests of the mail reader share: a lexicon of the shipped knowledge, and short cuts."""

from __future__ import annotations

from functools import cache

from expert.evidence.mail.lexicon import Lexicon
from expert.evidence.mail.message import Mail
from expert.evidence.mail.sentences import Sentence, sentences_of
from expert.evidence.mail.understand import understand
from expert.evidence.mail.understood import Understanding
from expert.evidence.mail.words import Vocabulary, tokens_of
from expert.loading.folder import load, shipped_folder


@cache
def lexicon() -> Lexicon:
    return Lexicon(load([shipped_folder()]))


def mail(text: str, subject: str = "") -> Mail:
    return Mail("", (), "", "", subject, None, text, ())


def told(text: str, subject: str = "") -> Understanding:
    return understand(mail(text, subject), lexicon())


def facts(text: str) -> set[str]:
    return {f"{one.check}={one.answer}" for one in told(text).facts}


def sentences(text: str, *words: str) -> list[Sentence]:
    return sentences_of(text, tokens_of(text), Vocabulary(words))
