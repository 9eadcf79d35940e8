"""What checks across entries work on: ``expert/loading/linking/context.py``."""

from __future__ import annotations

from expert.loading.entries import Entries, Source
from expert.loading.kinds import KINDS
from expert.loading.linking.context import Context
from expert.loading.places import Places

PARTS = """\
good: {title: a part, what: Does little., basis: invented}
bad: {title: a part, what: Does little.}
"""


def context(text: str = PARTS) -> Context:
    entries = Entries()
    entries.add(Source(KINDS["part"], "all", "parts/all.yaml"), text)
    return Context(entries, Places(entries.by_kind))


def test_entries_with_mistakes_of_their_own_are_set_apart() -> None:
    found = context()
    assert list(found.parts) == ["good", "bad"]
    assert [name for name, _ in found.sound("part", found.parts)] == ["good"]
    assert found.is_sound("part", "good")
    assert not found.is_sound("part", "bad")
    assert not found.is_sound("part", "none")
    assert not found.complete("part")
    assert not found.lost("part")
    assert found.complete("cause")


def test_mistakes_have_their_places_and_mark_their_entries() -> None:
    found = context(PARTS.splitlines()[0])
    assert found.complete("part")
    found.at_key("one", "part", "good", "title")
    found.at_value("two", "part", "good", "title")
    found.unknown_keys("the key", ["a", "b"], ["b"], ("part", "good"))
    assert [str(mistake) for mistake in found.mistakes] == [
        "parts/all.yaml:1:8: one",
        "parts/all.yaml:1:15: two",
        "parts/all.yaml:1:1: the key 'a' is not known; expected one of b",
    ]
    assert found.is_sound("part", "good")
    assert not found.fits("part", "good")
    assert not found.complete("part")


def test_a_check_that_overrides_another_is_named_with_its_place() -> None:
    entries = Entries()
    for folder in ("a", "b"):
        entries.begin_folder()
        entries.add(Source(KINDS["check"], "all", f"{folder}/all.yaml"), "\nlight: {ask: What?}\n")
    entries.add(Source(KINDS["check"], "more", "b/more.yaml"), "flap: {ask: What?}\n")
    found = Context(entries, Places(entries.by_kind))
    assert found.answer_of("flap") == "of the check 'flap', the answer"
    wanted = "of the check 'light' as b/all.yaml:2 overrides it, the answer"
    assert found.answer_of("light") == wanted


def test_a_lost_file() -> None:
    assert context("[").lost("part")
    assert not context("[").complete("part")
