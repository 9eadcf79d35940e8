"""What a message is judged by: ``expert/evidence/mail/signs.py``."""

from __future__ import annotations

import json

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.mail.judgement import LEARNED
from expert.evidence.mail.kin import Kin
from expert.evidence.mail.resemblance import Resemblance
from expert.evidence.mail.signs import (
    KINDS,
    Candidates,
    Message,
    answer_signs,
    complaint_signs,
    kind_signs,
)
from tests.evidence.mail.test_resemblance import HEARD, stretches
from tests.evidence.mail.understanding import sentences

SYMPTOMS = ("lazy", "flutter", "creep")
KIN = Kin.of(HEARD)
EVEN = (1.0, 0.0, 0.0)


def message(text: str, words: dict[str, float] | None = None) -> Message:
    like = Resemblance(stretches(text), KIN)
    return Message(like, SYMPTOMS, "complaint", words or {}, flagged=False)


def candidates(
    text: str, *phrased: str, complaints: tuple[float, ...] = (0.9, 0.1, 0.0)
) -> Candidates:
    return answer_signs(
        message(text), phrased, {"solenoid-click=silent"}, EVEN, np.array(complaints)
    )


def labels(found: Candidates) -> list[str]:
    return [KIN.answers[place] for place in found.answers]


def test_the_signs_are_those_that_were_learned_from() -> None:
    learned = json.loads(LEARNED.read_text("utf-8"))
    one = message("It is slow.")
    assert list(kind_signs(one)) == learned["kind"]["signs"]
    assert list(complaint_signs(one)) == learned["complaint"]["signs"]
    assert (
        list(candidates("It is slow.", "what-changed=nothing").signs) == learned["answer"]["signs"]
    )


def test_the_likest_complaint_has_the_most_and_leads() -> None:
    signs = complaint_signs(message("It is slow to build boost. Thank you for your letter."))
    assert signs["sentences"].argmax() == signs["likest"].argmax() == 0
    assert signs["lead"][0] == pytest.approx(-signs["lead"][1:].max())
    assert signs["other likest"][0] == signs["likest"][1:].max()
    # No sentence was ever heard of creep.
    assert signs["sentences"][2] == 0.0


def test_phrases_count_with_sentences() -> None:
    signs = complaint_signs(message("Hm.", {"creep": 4.0}))
    assert signs["words"].tolist() == [0.0, 0.0, 4.0]
    assert signs["other words"].tolist() == [4.0, 4.0, 0.0]
    assert signs["both"].argmax() == 2


def test_the_kind_counts_sentences() -> None:
    signs = kind_signs(message("Where is my parcel? Please send the invoice."))
    assert signs["sentences"] == 2
    assert signs["unrelated"] > 2 * max(signs["vague"], signs["none"], signs["complaints"])
    assert signs["by phrases complaint"] == 1.0


def test_an_answer_has_the_stretch_that_is_likest() -> None:
    text = "I live in the hills, the solenoid clicks loud and clear, thank you."
    found = candidates(text)
    place = labels(found).index("solenoid-click=crisp")
    stretch = found.stretches[place]
    tokens = message(text).like.stretches[int(stretch)].tokens
    assert " ".join(one.text for one in tokens).startswith(", the solenoid clicks")
    assert found.signs["sentence"][place] == 0.0
    assert found.signs["share"][place] == found.signs["share"].max()


def test_an_answer_that_a_phrase_tells_is_looked_at_with_any_share() -> None:
    text = "Please send the invoice, where is my parcel?"
    assert "solenoid-click=crisp" not in labels(candidates(text))
    found = candidates(text, "solenoid-click=crisp")
    assert dict(zip(labels(found), found.signs["phrased"], strict=True)) == {
        "solenoid-click=crisp": 1.0
    }


def test_how_a_stretch_is_meant_and_what_is_dangerous_are_signs() -> None:
    said = candidates("The solenoid does not click.")
    asked = candidates("Does the solenoid not click?")
    for found, expected in ((said, 0.0), (asked, 1.0)):
        place = labels(found).index("solenoid-click=silent")
        assert found.signs["asked"][place] == expected
        assert found.signs["dangerous"][place] == 1.0


def test_history_beside_a_sentence_is_a_sign() -> None:
    found = candidates("Since I fitted the pipe on Monday. The solenoid does not click.")
    place = labels(found).index("solenoid-click=silent")
    assert found.signs["work beside"][place] > 0.5 > found.signs["work here"][place]


def test_another_car_tells_nothing() -> None:
    assert labels(candidates("My friends car has a solenoid that does not click.")) == []


@given(st.text(alphabet="abost ,.?!12'\n", max_size=60))
def test_signs_of_any_text_are_finite_numbers(text: str) -> None:
    if not sentences(text):
        return
    one = message(text)
    assert np.isfinite(list(kind_signs(one).values())).all()
    found = answer_signs(one, {"solenoid-click=crisp"}, (), EVEN, np.array([0.2, 0.3, 0.1]))
    for signs in (complaint_signs(one), found.signs):
        assert np.isfinite(list(signs.values())).all()
    assert {len(one) for one in found.signs.values()} == {len(found.answers)}


def test_the_kinds_are_those_of_understanding() -> None:
    assert KINDS == ("complaint", "vague", "unrelated")
