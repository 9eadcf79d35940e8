"""What customers were heard to say: ``expert/loading/heard.py``."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from expert.errors import KnowledgeError, MissingError
from expert.loading.folder import load, shipped_folder
from expert.loading.heard import LONGEST, TOPICS, load_heard
from expert.model import Knowledge
from tests.loading.folders import write


@pytest.fixture(scope="module")
def knowledge(tmp_path_factory: pytest.TempPathFactory) -> Knowledge:
    """The small knowledge: the symptom lazy, the checks worked-on, flags, light, spring-run."""
    return load([write(tmp_path_factory.mktemp("small"))])


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def folder(name: str, files: dict[str, str]) -> Path:
    """A folder in the current one with these files in its ``heard``."""
    path = Path(name)
    for file, text in files.items():
        target = path / "heard" / file
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(text.encode("utf-8"))
    return path


def mistakes(knowledge: Knowledge, *folders: Path) -> list[str]:
    with pytest.raises(KnowledgeError) as caught:
        load_heard(folders, knowledge)
    return [str(mistake) for mistake in caught.value.mistakes]


def mistake(knowledge: Knowledge, text: str) -> str:
    """The only mistake of one file with this text."""
    (found,) = mistakes(knowledge, folder("ours", {"a.yaml": text}))
    return found


def test_labels_and_sentences_in_the_order_of_the_files(knowledge: Knowledge) -> None:
    one = folder(
        "one",
        {
            "b.yaml": "vague: [something is off]\nlazy: [no push]\n",
            "a.yaml": "# hm\nlazy:\n  - 'it hangs:  no go'\n  - slow\nflags=smell: [it reeks]\n",
        },
    )
    assert load_heard([one], knowledge) == {
        "lazy": ("it hangs: no go", "slow", "no push"),
        "flags=smell": ("it reeks",),
        "vague": ("something is off",),
    }


def test_later_folders_add_to_earlier_ones(knowledge: Knowledge) -> None:
    one = folder("one", {"a.yaml": "lazy: [no push]\n"})
    two = folder("two", {"a.yaml": "none: [see you friday]\nlazy: [no shove]\n"})
    heard = load_heard([one, two], knowledge)
    assert heard == {"lazy": ("no push", "no shove"), "none": ("see you friday",)}
    assert list(heard) == ["lazy", "none"]


def test_a_later_folder_moves_a_sentence_to_another_label(knowledge: Knowledge) -> None:
    one = folder("one", {"a.yaml": "lazy: [no push, it lags]\n"})
    two = folder("two", {"a.yaml": "vague: ['No push!']\n"})
    assert load_heard([one, two], knowledge) == {"vague": ("No push!",), "lazy": ("it lags",)}


def test_a_sentence_that_is_twice_under_one_label_counts_once(knowledge: Knowledge) -> None:
    one = folder("one", {"a.yaml": "lazy: [no push]\n", "b.yaml": "lazy: ['No push.']\n"})
    assert load_heard([one], knowledge) == {"lazy": ("No push.",)}


def test_a_folder_without_heard_adds_nothing(knowledge: Knowledge) -> None:
    Path("plain").mkdir()
    assert load_heard([Path("plain")], knowledge) == {}
    assert load_heard([], knowledge) == {}
    (Path("plain") / "heard").mkdir()
    assert load_heard([Path("plain")], knowledge) == {}


def test_a_missing_folder(knowledge: Knowledge) -> None:
    with pytest.raises(MissingError, match=r"^nowhere: there is no such folder$"):
        load_heard([Path("nowhere")], knowledge)


@pytest.mark.parametrize(
    ("label", "message"),
    [
        ("lazi", "the label 'lazi' is not known; did you mean 'lazy'?"),
        ("vage", "the label 'vage' is not known; did you mean 'vague'?"),
        ("xyzzy", "the label 'xyzzy' is not known; expected one of lazy, none, vague, unrelated"),
        ("lihgt=dark", "the check 'lihgt' is not known; did you mean 'light'?"),
        (
            "light=rng",
            "of the check 'light' the answer 'rng' is not known; did you mean 'ring'?",
        ),
        (
            "light=",
            "of the check 'light' the answer is missing here; expected one of dark, crescent, ring",
        ),
        ("light", "'light' is a check; write light= and one of dark, crescent, ring"),
        ("lazy=dark", "the check 'lazy' is not known; expected one of worked-on, flags, light,"),
    ],
)
def test_an_unknown_label(knowledge: Knowledge, label: str, message: str) -> None:
    found = mistake(knowledge, f"none: [hello]\n{label}:\n  - a sentence\n")
    assert found.startswith(f"ours/heard/a.yaml:2:1: {message}")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("- a sentence\n", "1:1: found a list; expected a mapping from labels to lists of"),
        ("hello\n", "1:1: found the text 'hello'; expected a mapping from labels"),
        ("# nothing\n", "1:1: there is nothing in this file but comments"),
        ("", "1:1: the file is empty"),
        ("{}\n", "1:1: found an empty mapping; expected a mapping from labels"),
        ("lazy: it lags\n", "1:7: found the text 'it lags'; expected a list of sentences"),
        ("lazy:\n  a: b\n", "2:3: found a mapping (key: value); expected a list of sentences"),
        ("lazy:\nnone: [hello]\n", "1:6: found nothing; expected a list of sentences"),
        ("lazy: []\n", "1:7: there is no sentence here; write one, or delete the label"),
        ("[lazy]: [it lags]\n", "1:1: found a list as a key; expected a label"),
        ("lazy:\n  - fine\n  - boost: none\n", "3:5: found a mapping (key: value); expected a"),
        ("lazy:\n  - [it lags]\n", "2:5: found a list; expected a sentence, in quotes where"),
        ("lazy:\n  - ''\n", "2:5: there is no word in this sentence; write one, or delete"),
        ("lazy:\n  - '?!'\n", "2:5: there is no word in this sentence; write one, or delete"),
        ("lazy: [a]\nnone: [b]\nlazy: [c]\n", "3:1: the key 'lazy' is here twice; see line 1"),
        ("lazy:\n  - it\tlags\n", "2:7: found a tab; use spaces"),
        ("lazy:\n  - &x it lags\n", "2:5: the anchor &x is not allowed; delete it"),
    ],
)
def test_a_mistake_in_its_place(knowledge: Knowledge, text: str, message: str) -> None:
    assert mistake(knowledge, text).startswith(f"ours/heard/a.yaml:{message}")


def test_the_longest_sentence(knowledge: Knowledge) -> None:
    longest = "a" * LONGEST
    ours = folder("ours", {"a.yaml": f"lazy:\n  - {longest}\n"})
    assert load_heard([ours], knowledge) == {"lazy": (longest,)}
    assert mistake(knowledge, f"lazy:\n  - {longest}a\n") == (
        "ours/heard/a.yaml:2:5: this sentence has 301 characters; at most 300 are read, so split"
        " it or shorten it"
    )


def test_the_same_sentence_under_two_labels(knowledge: Knowledge) -> None:
    ours = folder(
        "ours",
        {
            "a.yaml": "lazy:\n  - No push, at all!\nvague:\n  - no push at  ALL\n",
            "b.yaml": "none: ['no push at all']\n",
        },
    )
    assert mistakes(knowledge, ours) == [
        "ours/heard/a.yaml:4:5: this sentence is under 'lazy' too, see ours/heard/a.yaml:2;"
        " delete one of them",
        "ours/heard/b.yaml:1:8: this sentence is under 'lazy' too, see ours/heard/a.yaml:2;"
        " delete one of them",
    ]


def test_every_mistake_of_every_file_comes_at_once(knowledge: Knowledge) -> None:
    one = folder("one", {"a.yaml": "lazi: []\n", "b.yaml": "lazy: x\n"})
    two = folder("two", {"a.yaml": "lazy: [\n", "b.yaml": "none: ['']\n"})
    found = mistakes(knowledge, one, two)
    assert [line.partition(": ")[0].rpartition(":")[0] for line in found] == [
        "one/heard/a.yaml:1",
        "one/heard/a.yaml:1",
        "one/heard/b.yaml:1",
        "two/heard/a.yaml:1",
        "two/heard/b.yaml:1",
    ]


def test_what_does_not_belong_there(knowledge: Knowledge) -> None:
    ours = folder("ours", {"a.yml": "lazy: [x]\n", "notes.txt": "let be\n", ".b.yaml": "let be\n"})
    (ours / "heard" / "more").mkdir()
    assert mistakes(knowledge, ours) == [
        "ours/heard/a.yml:1:1: found the suffix .yml; expected .yaml, so rename the file",
        "ours/heard/more:1:1: found a folder in heard/; expected files",
    ]


def test_of_very_many_mistakes_the_first_are_kept(knowledge: Knowledge) -> None:
    ours = folder("ours", {"a.yaml": "lazy:\n" + "  - '?'\n" * 1000})
    found = mistakes(knowledge, ours)
    assert len(found) == 201
    assert "mend the first 200 first" in found[-1]


SENTENCES = st.text(st.characters(codec="utf-8"), max_size=320)
LABELS = st.sampled_from(["lazy", "light=ring", "flags=none", *TOPICS, "light", "=", ""])
PIECES = st.sampled_from(
    [
        "lazy",
        "light=ring",
        "none",
        ":",
        ": ",
        "\n",
        "\n  ",
        "- ",
        "[",
        "]",
        "{",
        "}",
        "'",
        '"',
        "&a ",
    ]
)


def assert_sound_or_refused(knowledge: Knowledge, data: bytes) -> None:
    """Either sentences under known labels, or mistakes that lie inside the file."""
    path = Path("ours") / "heard" / "a.yaml"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    try:
        heard = load_heard([Path("ours")], knowledge)
    except KnowledgeError as error:
        assert error.mistakes
        lines = data.removeprefix(b"\xef\xbb\xbf").decode("utf-8", "replace").split("\n")
        for found in error.mistakes:
            assert 1 <= found.place.line <= len(lines), str(found)
            assert 1 <= found.place.column <= len(lines[found.place.line - 1]) + 1, str(found)
            assert found.message.isprintable()
        return
    assert heard
    for label, sentences in heard.items():
        assert label in {*knowledge.symptoms, *TOPICS} or "=" in label
        assert sentences
        assert all(one.isprintable() and 0 < len(one) <= LONGEST for one in sentences)


@settings(deadline=None)
@given(st.lists(st.tuples(LABELS, st.lists(SENTENCES, max_size=3)), max_size=4))
def test_arbitrary_sentences(knowledge: Knowledge, entries: list[tuple[str, list[str]]]) -> None:
    text = "".join(
        f"{label}:\n" + "".join(f"  - {sentence}\n" for sentence in sentences)
        for label, sentences in entries
    )
    assert_sound_or_refused(knowledge, text.encode("utf-8"))


@settings(deadline=None)
@given(st.lists(PIECES, max_size=40).map("".join))
def test_yaml_like_text(knowledge: Knowledge, text: str) -> None:
    assert_sound_or_refused(knowledge, text.encode("utf-8"))


@settings(deadline=None)
@given(st.binary(max_size=200))
def test_random_bytes(knowledge: Knowledge, data: bytes) -> None:
    assert_sound_or_refused(knowledge, data)


WORDS = st.lists(st.sampled_from(["no", "boost", "till", "four"]), min_size=1, max_size=4)


@settings(deadline=None)
@given(st.lists(st.tuples(st.sampled_from(["lazy", *TOPICS]), WORDS), min_size=1, max_size=8))
def test_a_sentence_has_one_label_or_is_a_mistake(
    knowledge: Knowledge, said: list[tuple[str, list[str]]]
) -> None:
    """Against the plain count of labels by words."""
    lists: dict[str, list[str]] = {}
    for label, words in said:
        lists.setdefault(label, []).append(" ".join(words).capitalize())
    text = "".join(f"{label}: {sentences}\n" for label, sentences in lists.items())
    labels: dict[str, set[str]] = {}
    for label, words in said:
        labels.setdefault(" ".join(words), set()).add(label)
    path = folder("ours", {"a.yaml": text})
    if all(len(ones) == 1 for ones in labels.values()):
        heard = load_heard([path], knowledge)
        assert {
            sentence.casefold(): {label} for label, ones in heard.items() for sentence in ones
        } == labels
    else:
        assert all("delete one of them" in line for line in mistakes(knowledge, path))


def test_the_shipped_sentences() -> None:
    """Nearly every label that there is has some; those of new entries may come later."""
    shipped = load([shipped_folder()])
    heard = load_heard([shipped_folder()], shipped)
    labels = {
        *shipped.symptoms,
        *TOPICS,
        *(f"{name}={answer}" for name, check in shipped.checks.items() for answer in check.answers),
    }
    assert set(heard) <= labels
    assert len(labels - set(heard)) <= len(labels) // 20, sorted(labels - set(heard))
    assert set(shipped.symptoms) | set(TOPICS) <= set(heard)
    assert sum(map(len, heard.values())) > 10_000
