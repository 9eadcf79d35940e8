"""The text of HTML messages: ``expert/evidence/mail/html.py``."""

from __future__ import annotations

from html.parser import HTMLParser

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.mail.html import text_of_html


@pytest.mark.parametrize(
    ("source", "text"),
    [
        ("<p>won&#39;t build <b>boost</b></p>", "won't build boost"),
        ("one<br>two", "one\ntwo"),
        ("<script>alert('no boost')</script>fine", "fine"),
        ("<STYLE>p{}</STYLE><P>5 psi</P>", "5 psi"),
        ("<!-- overboost -->ok", "ok"),
        ("5 < 7 psi", "5 < 7 psi"),
        ("<p>mine</p><blockquote>yours</blockquote>", "mine\n\n> yours"),
        ("a<script>never closed", "a"),
        ("<img src='http://x.example/y.png' alt='z'>text", "text"),
        ("&lt;b&gt; 0.8&nbsp;bar", "<b> 0.8\xa0bar"),
    ],
)
def test_what_a_reader_would_read(source: str, text: str) -> None:
    assert text_of_html(source) == text


class Reference(HTMLParser):
    """The running text by the parser of the standard library."""

    def __init__(self) -> None:
        super().__init__()
        self.text = ""

    def handle_data(self, data: str) -> None:
        self.text += data


TAGS = st.sampled_from(["<b>", "</b>", "<p>", "</p>", "<br>", "&amp;", " "])
WORDS = st.text("abc ", min_size=1, max_size=8)


@given(st.lists(TAGS | WORDS, max_size=20).map("".join))
def test_words_are_those_of_the_standard_library(source: str) -> None:
    reference = Reference()
    reference.feed(source)
    reference.close()
    ours = "".join(text_of_html(source).split())
    assert ours == "".join(reference.text.split())


@given(st.text("<>/!-ascriptABC&;= \n", max_size=300))
def test_any_source_gives_a_text(source: str) -> None:
    assert isinstance(text_of_html(source), str)


@pytest.mark.parametrize("piece", ["<", "<script>", "<!--", "<blockquote>", "</", "&#", "<a "])
def test_a_page_made_to_blow_up_is_read_once(piece: str) -> None:
    assert isinstance(text_of_html(piece * 30_000), str)
