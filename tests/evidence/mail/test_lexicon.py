"""The phrases of the knowledge: ``expert/evidence/mail/lexicon.py``."""

from __future__ import annotations

from dataclasses import replace

from expert.evidence.mail.lexicon import Lexicon
from expert.evidence.mail.understand import understand
from expert.loading.folder import load, shipped_folder
from tests.evidence.mail.understanding import lexicon, mail, told


def test_every_symptom_has_phrases_and_each_is_found() -> None:
    knowledge = load([shipped_folder()])
    for name, symptom in knowledge.symptoms.items():
        assert len(symptom.says) >= 5, name


def test_a_phrase_that_is_added_is_understood() -> None:
    knowledge = load([shipped_folder()])
    words = "The turbo hums a sad song."
    assert told(words).symptoms == ()
    lazy = replace(knowledge.symptoms["lazy"], says=("hums sad song",))
    more = Lexicon(replace(knowledge, symptoms={**knowledge.symptoms, "lazy": lazy}))
    assert understand(mail(words), more).symptoms == ("lazy",)


def test_dangerous_answers_and_histories_are_known() -> None:
    assert ("red-flags", "knock") in lexicon().dangerous
    assert "what-changed" in lexicon().history
    assert "red-flags" in lexicon().several
