"""What customers were heard to say: ``expert/evidence/mail/kin.py``."""

from __future__ import annotations

import numpy as np

from expert.evidence.mail.kin import ALONE, Kin
from expert.evidence.mail.lexicon import Lexicon
from expert.evidence.mail.words import tokens_of
from expert.loading.folder import load, shipped_folder
from expert.loading.letters import Letter
from tests.evidence.mail.test_resemblance import HEARD, KIN


def test_labels_are_symptoms_topics_and_answers() -> None:
    assert set(KIN.symptoms) == {"lazy", "flutter"}
    assert set(KIN.topics) == {"none", "vague", "unrelated"}
    labels = KIN.likeness.labels
    assert [labels[place] for place in KIN.columns] == list(KIN.answers)
    assert {*KIN.symptoms, *KIN.topics, *KIN.answers} == set(HEARD)


def test_answers_of_a_check_and_of_history_belong_together() -> None:
    checks = [label.partition("=")[0] for label in KIN.answers]
    for one, check in enumerate(checks):
        for other, another in enumerate(checks):
            assert (KIN.check[one] == KIN.check[other]) == (check == another)
            apart = {check, another} & set(ALONE) and check != another
            assert (KIN.group[one] == KIN.group[other]) == (not apart)


def test_places_and_flags_of_answers() -> None:
    assert len(KIN.places("solenoid-click")) == 2
    (place,) = KIN.places("solenoid-click", "crisp")
    assert KIN.likeness.labels[place] == "solenoid-click=crisp"
    assert len(KIN.places("seat-ring")) == 0
    flags = KIN.are(["solenoid-click=crisp", "never=heard"])
    assert [KIN.answers[k] for k in np.flatnonzero(flags)] == ["solenoid-click=crisp"]
    assert KIN.number_of_check("seat-ring") == -1


def test_without_a_topic_phrases_count_alone() -> None:
    knowledge = load([shipped_folder()])
    for heard in ({}, {"lazy": ["no push"], "none": ["thank you"], "vague": ["odd"]}):
        kin = Kin.of(heard)
        assert not kin.knows_topics()
        assert Lexicon(knowledge, kin).kin is None
    assert Lexicon(knowledge, KIN).kin is KIN


def test_letters_teach_sentences_and_habits() -> None:
    letter = Letter("No push. It whirrs.", "complaint", (("lazy", 0, 7), ("fan=on", 9, 18)), "a")
    kin = Kin.of(HEARD, [letter] * 30)
    assert "fan=on" in kin.answers
    habit, usual = kin.habit("lazy")[:, kin.answers.index("fan=on")]
    assert habit > usual > kin.habit("lazy")[1, kin.answers.index("solenoid-click=crisp")]
    assert kin.letters.labels == ("lazy",)


def test_words_that_are_known_to_answer_a_check() -> None:
    answer, share = KIN.answer_to("solenoid-click", tokens_of("no click at all")) or ("", 0.0)
    assert answer == "silent"
    assert 0.2 < share < 1.0
    assert KIN.answer_to("seat-ring", tokens_of("not a click")) is None
    assert KIN.answer_to("solenoid-click", []) is None
