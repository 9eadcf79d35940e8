"""Whole letters of customers: ``expert/loading/letters.py``."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from expert.errors import KnowledgeError, MissingError
from expert.loading.folder import load, shipped_folder
from expert.loading.letters import LONGEST, Letter, load_letters
from expert.model import Knowledge
from tests.loading.folders import write

GOOD = """\
- text: |-
    It lags since Monday.
    Since Monday it reeks, too.
  means:
    lazy: It lags
    flags=smell: it reeks
- text: Something is off.
  topic: vague
- text: Where is my parcel? It reeks.
  topic: unrelated
  means: {flags=smell: It reeks}
"""


@pytest.fixture(scope="module")
def knowledge(tmp_path_factory: pytest.TempPathFactory) -> Knowledge:
    """The small knowledge: the symptom lazy, the checks worked-on, flags, light, spring-run."""
    return load([write(tmp_path_factory.mktemp("small"))])


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def folder(text: str, name: str = "ours") -> Path:
    """A folder in the current one with one file of letters."""
    target = Path(name) / "letters" / "a.yaml"
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_bytes(text.encode("utf-8"))
    return Path(name)


def mistakes(knowledge: Knowledge, text: str) -> list[str]:
    with pytest.raises(KnowledgeError) as caught:
        load_letters([folder(text)], knowledge)
    return [str(mistake) for mistake in caught.value.mistakes]


def test_letters_with_the_places_of_their_words(knowledge: Knowledge) -> None:
    lagging, vague, parcel = load_letters([folder(GOOD)], knowledge)
    assert lagging.text == "It lags since Monday.\nSince Monday it reeks, too."
    assert [(label, lagging.text[a:b]) for label, a, b in lagging.means] == [
        ("lazy", "It lags"),
        ("flags=smell", "it reeks"),
    ]
    assert (lagging.topic, lagging.complaints(), lagging.answers()) == (
        "complaint",
        ("lazy",),
        ("flags=smell",),
    )
    assert vague == Letter("Something is off.", "vague", (), "ours/letters/a.yaml")
    assert (parcel.topic, parcel.complaints()) == ("unrelated", ())


def test_later_folders_add_letters(knowledge: Knowledge) -> None:
    folders = [folder(GOOD, "one"), folder(GOOD, "two")]
    assert len(load_letters(folders, knowledge)) == 2 * len(load_letters(folders[:1], knowledge))


def test_a_folder_without_letters_adds_nothing(knowledge: Knowledge) -> None:
    Path("plain").mkdir()
    assert load_letters([Path("plain")], knowledge) == ()
    assert load_letters([], knowledge) == ()
    with pytest.raises(MissingError):
        load_letters([Path("nowhere")], knowledge)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "lazy: [it lags]\n",
            "1:1: found a mapping (key: value); expected a list of letters, each after '- '",
        ),
        ("# hm\n", "1:1: there is nothing in this file but comments"),
        ("- it lags\n", "1:3: found the text 'it lags'; expected a letter with text: and means:"),
        ("- topic: vague\n", "1:3: a letter needs its text: add text: |-"),
        ("- text: ' '\n  topic: vague\n", "1:9: expected the words of the letter"),
        (
            "- text: It lags.\n  topic: angry\n  means: {}\n",
            "2:10: expected one of vague, unrelated; a complaint stands under means:",
        ),
        (
            "- text: It lags.\n  means: {lazy: it is slow}\n",
            "2:17: the words 'it is slow' do not stand in the text like this",
        ),
        (
            "- text: It lags.\n  means: {lazzy: It lags}\n",
            "2:11: the label 'lazzy' is not known; did you mean 'lazy'?",
        ),
        (
            "- text: It lags.\n  means: {flags=smel: It lags}\n  topic: vague\n",
            "2:11: of the check 'flags' the answer 'smel' is not known; did you mean 'smell'?",
        ),
        (
            "- text: It lags.\n  topic: vague\n  stop: yes\n",
            "3:3: the field 'stop' is not known; expected one of text, topic, means",
        ),
        (
            "- text: It lags.\n",
            "1:3: a letter tells a complaint under means:, or has the topic vague or unrelated; "
            "one of the two",
        ),
        (
            "- text: It lags.\n  topic: vague\n  means: {lazy: It lags}\n",
            "1:3: a letter tells a complaint under means:, or has the topic vague or unrelated; "
            "one of the two",
        ),
        (
            "- text: It lags.\n  topic: vague\n  means: [lazy]\n",
            "3:10: found a list; expected labels, each with the words that state it",
        ),
    ],
)
def test_each_mistake_says_where_and_what(knowledge: Knowledge, text: str, expected: str) -> None:
    assert mistakes(knowledge, text) == [f"ours/letters/a.yaml:{expected}"]


def test_the_longest_letter(knowledge: Knowledge) -> None:
    fits = f"- text: {'a' * LONGEST}\n  topic: vague\n"
    assert len(load_letters([folder(fits)], knowledge)) == 1
    (found,) = mistakes(knowledge, f"- text: {'a' * (LONGEST + 1)}\n  topic: vague\n")
    assert found.endswith(f"{LONGEST + 1} characters; at most {LONGEST} are read, so shorten it")


@settings(max_examples=60)
@given(st.text(alphabet="- :{}[]|#\n\"'abtextmnsop", max_size=80))
def test_any_file_is_read_or_refused(text: str) -> None:
    knowledge = load([shipped_folder()]) if not _KNOWN else _KNOWN[0]
    _KNOWN[:] = [knowledge]
    try:
        found = load_letters([folder(text)], knowledge)
    except KnowledgeError as problem:
        assert problem.mistakes
    else:
        assert all(one.text[start:end] for one in found for _, start, end in one.means)


_KNOWN: list[Knowledge] = []


def test_the_shipped_letters() -> None:
    shipped = load([shipped_folder()])
    letters = load_letters([shipped_folder()], shipped)
    texts = [one.text for one in letters]
    assert len(set(texts)) == len(texts) > 5000
    assert {name for one in letters for name in one.complaints()} == set(shipped.symptoms)
    answers = {
        f"{name}={answer}" for name, check in shipped.checks.items() for answer in check.answers
    }
    assert {name for one in letters for name in one.answers()} == answers
