from __future__ import annotations

import numpy as np
import pytest

from expert.evidence.mail.kin import Kin
from expert.evidence.mail.resemblance import Resemblance, Stretch, stretches_of
from expert.evidence.mail.stance import Attitude
from expert.loading.letters import Letter
from tests.evidence.mail.understanding import sentences

HEARD = {
    "lazy": ("slow to build boost", "takes ages to come on boost"),
    "flutter": ("it chatters when I lift", "a flutter off the throttle"),
    "solenoid-click=silent": ("the solenoid does not click", "no click from the solenoid"),
    "solenoid-click=crisp": ("the solenoid clicks loud and clear", "a crisp click"),
    "what-changed=just-fitted": ("since I fitted the pipe on Monday", "began right after the work"),
    "what-changed=nothing": ("nobody touched anything", "nothing was changed"),
    "none": ("thank you for your letter", "I live in the hills"),
    "vague": ("the turbo is not right",),
    "unrelated": ("where is my parcel", "please send the invoice"),
}
KIN = Kin.of(HEARD)


def stretches(text: str, subject_from: int = 99) -> list[Stretch]:
    found = sentences(text)
    return list(stretches_of(found, [Attitude(one) for one in found], subject_from))


def resemblance(text: str, subject_from: int = 99) -> Resemblance:
    return Resemblance(stretches(text, subject_from), KIN)


def test_a_sentence_and_its_longer_clauses() -> None:
    text = "Slow to build boost, and the solenoid does not click, ok. Thanks."
    found = [(text[one.start : one.end], one.whole) for one in stretches(text)]
    assert found == [
        ("Slow to build boost, and the solenoid does not click, ok", True),
        ("Slow to build boost", False),
        (", and the solenoid does not click", False),
        ("Thanks", True),
    ]


def test_each_stretch_has_its_own_stance() -> None:
    (asked,) = stretches("Is the solenoid silent?")
    assert asked.stance == "asked"
    (said,) = stretches("The solenoid is silent.")
    assert said.stance == "said"


def test_each_sentence_is_like_its_label() -> None:
    found = resemblance("It is slow to build boost. It chatters when I lift. Where is my parcel")
    labels = found.kin.likeness.labels
    likest = [labels[place] for place in found.shares.argmax(axis=1)]
    assert likest == ["lazy", "flutter", "unrelated"]
    np.testing.assert_allclose(found.shares.sum(axis=1), 1.0)


def test_an_answer_is_weighed_with_its_group_and_the_topics_alone() -> None:
    found = resemblance("it is slow to build boost since I fitted the pipe on Monday")
    answers = dict(zip(found.kin.answers, found.among[0], strict=True))
    assert answers["what-changed=just-fitted"] > 0.5
    own = found.shares[0, found.kin.places("what-changed", "just-fitted")]
    group = found.shares[0, found.kin.places("what-changed")].sum()
    assert answers["what-changed=just-fitted"] == pytest.approx(
        float(own[0] / (group + found.topics[0].sum()))
    )


def test_what_is_said_of_another_car_is_passed_over() -> None:
    assert resemblance("My friends car is slow to build boost.").best("lazy") is None


def test_the_sentence_that_is_most_like_a_symptom() -> None:
    text = "I live in the hills. It is slow to build boost."
    stretch, share = resemblance(text).best("lazy") or (None, 0.0)
    assert stretch is not None
    assert text[stretch.start : stretch.end] == "It is slow to build boost"
    assert share > 0.5
    assert resemblance(text, subject_from=0).best("lazy") is None


def test_the_whole_message_is_like_letters() -> None:
    letters = [
        Letter("It is slow. Then it goes.", "complaint", (("lazy", 0, 10),), "a.yaml"),
        Letter("Where is my invoice? Then I pay.", "unrelated", (), "a.yaml"),
    ]
    found = Resemblance(stretches("So slow. Then it goes."), Kin.of(HEARD, letters))
    assert found.letter["lazy"] > found.letter["unrelated"]
    assert sum(found.letter.values()) == pytest.approx(1.0)
    assert resemblance("So slow.").letter == {}


def test_without_topics_and_complaints_there_is_nothing_to_find() -> None:
    kin = Kin.of({"solenoid-click=crisp": ("a crisp click",)})
    found = Resemblance(stretches("It clicks."), kin)
    assert (found.topics.shape, found.best("lazy")) == ((1, 0), None)
    np.testing.assert_allclose(found.among, 1.0)
