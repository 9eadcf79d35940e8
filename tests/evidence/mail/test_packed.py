"""What was learned, as bytes: ``expert/evidence/mail/packed.py``."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from expert.evidence.mail.kin import Kin
from expert.evidence.mail.likeness import terms_in
from expert.evidence.mail.packed import packed, unpacked
from expert.loading.letters import Letter
from tests.evidence.mail.test_resemblance import HEARD

LETTER = Letter("No push. It whirrs.", "complaint", (("lazy", 0, 7),), "a.yaml")
KIN = Kin.of(HEARD, [LETTER])
PACKED = packed(KIN)


def test_what_is_unpacked_judges_alike() -> None:
    found = unpacked(PACKED)
    asked = [terms_in("the solenoid does not click"), terms_in("zebra 12 psi")]
    np.testing.assert_array_equal(found.likeness.shares(asked), KIN.likeness.shares(asked))
    np.testing.assert_array_equal(found.letters.shares(asked), KIN.letters.shares(asked))
    np.testing.assert_array_equal(found.habit("lazy"), KIN.habit("lazy"))
    assert (found.answers, found.symptoms, found.topics) == (KIN.answers, KIN.symptoms, KIN.topics)


@settings(max_examples=60)
@given(st.integers(0, len(PACKED) - 1), st.integers(1, 255))
def test_damaged_bytes_are_refused(place: int, change: int) -> None:
    damaged = bytearray(PACKED)
    damaged[place] ^= change
    with pytest.raises(ValueError, match="damaged"):
        unpacked(bytes(damaged))


@pytest.mark.parametrize("data", [b"", b"no archive", PACKED[:100], PACKED[:-40]])
def test_other_bytes_are_refused(data: bytes) -> None:
    with pytest.raises(ValueError, match=r"."):
        unpacked(data)
