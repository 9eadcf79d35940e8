"""docs/mail.md against the evaluation kit and the limits in the source."""

from __future__ import annotations

import re

from expert.evidence.mail import message
from expert.evidence.mail.figures import MAY_BE_ABSOLUTE_KPA
from expert.evidence.mail.judgement import MUST_STAND
from expert.evidence.mail.phrases import LONGEST_GAP
from tests.docs.pages import MAIL, rows, text_of
from tests.mail_eval import PARTS, READ_TWICE, agreement, table


def test_the_figures_are_those_that_the_kit_prints() -> None:
    page = text_of(MAIL).partition("<!-- figures -->\n")[2]
    assert rows(page.partition("\n\n")[0]) == rows(table(PARTS))


def test_the_readers_agree_as_printed() -> None:
    for part in READ_TWICE:
        assert agreement(part) in text_of(MAIL)


def test_the_limits_are_those_of_the_source() -> None:
    text = " ".join(text_of(MAIL).split())
    assert f"over {message.LARGEST_MESSAGE // 2**20} MiB" in text
    assert f"over {message.LARGEST_HEADER // 2**10} KiB" in text
    assert f"more than {message.MOST_PARTS} parts" in text
    assert f"deeper than {message.DEEPEST}" in text
    assert f"a number of {MAY_BE_ABSOLUTE_KPA:.0f} kPa" in text
    assert LONGEST_GAP == 7
    assert MUST_STAND == 0.2
    assert "danger likelier than one in five" in text
    assert re.search(r"up to seven words", text)
