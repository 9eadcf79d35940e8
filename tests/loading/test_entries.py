"""Files to entries: ``expert/loading/entries.py``."""

from __future__ import annotations

import pytest

from expert.loading.entries import Entries, Source
from expert.loading.kinds import KINDS
from tests.loading.folders import CAUSES, SETUP_EXTERNAL

TOOL = "lamp: {title: a lamp}\n"


def added(kind: str, *texts: str, stem: str = "x") -> tuple[Entries, list[str]]:
    """The entries of files f0, f1, ... of one folder, and all mistakes in them."""
    entries = Entries()
    entries.begin_folder()
    for number, text in enumerate(texts):
        entries.add(Source(KINDS[kind], stem, f"f{number}"), text)
    mistakes = [*entries.mistakes, *(m for read in entries.readings for m in read.mistakes)]
    return entries, [str(mistake) for mistake in mistakes]


def test_a_file_of_many_and_a_file_of_one() -> None:
    assert list(added("cause", CAUSES)[0].values("cause")) == [
        "ring-missing",
        "hose-off",
        "as-designed:large",
    ]
    entries, mistakes = added("setup", SETUP_EXTERNAL, stem="external")
    assert mistakes == []
    assert entries.values("setup")["external"].title == "external gate"


def test_references_are_kept_by_kind() -> None:
    entries, _ = added("cause", CAUSES)
    (reading,) = entries.readings
    assert {kind: [node.value for node in nodes] for kind, nodes in reading.refs.items()} == {
        "part": ["external-gate"],
        "check": ["spring-run"],
    }


def test_an_id_twice_in_one_folder() -> None:
    _, mistakes = added("tool", TOOL, "torch: {title: a torch}\n" + TOOL)
    assert mistakes == ["f1:2:1: the tool 'lamp' is there twice; see f0:1"]


def test_an_id_twice_in_one_file() -> None:
    _, mistakes = added("tool", TOOL + TOOL)
    assert mistakes == ["f0:2:1: the key 'lamp' is here twice; see line 1"]


def test_a_later_folder_overrides() -> None:
    entries, _ = added("tool", "lamp: {title: a lamp}\ntorch: {title: a torch}\n")
    entries.begin_folder()
    entries.add(Source(KINDS["tool"], "x", "g"), "lamp: {title: a bright lamp}\n")
    assert [tool.title for tool in entries.values("tool").values()] == ["a bright lamp", "a torch"]
    assert entries.by_kind["tool"]["lamp"].document.file == "g"
    assert entries.mistakes == []


def files_overridden(entries: Entries, name: str) -> list[str]:
    """The files of the tools that a tool overrides, the nearest first."""
    found = []
    entry = entries.by_kind["tool"][name].overrides
    while entry is not None:
        found.append(entry.document.file)
        entry = entry.overrides
    return found


def test_an_entry_knows_what_it_overrides() -> None:
    entries, _ = added("tool", "lamp: {title: a lamp}\ntorch: {title: a torch}\n")
    for file in ("g", "h"):
        entries.begin_folder()
        entries.add(Source(KINDS["tool"], "x", file), TOOL)
    assert files_overridden(entries, "lamp") == ["g", "f0"]
    assert files_overridden(entries, "torch") == []


def test_a_file_that_is_read_twice_overrides_only_what_it_did_before() -> None:
    entries, _ = added("tool", TOOL)
    for file in ("g", "g", "f0", "f0"):
        entries.begin_folder()
        entries.add(Source(KINDS["tool"], "x", file), TOOL)
    assert files_overridden(entries, "lamp") == ["g", "f0"]
    entries, _ = added("tool", TOOL, TOOL)
    assert files_overridden(entries, "lamp") == []


@pytest.mark.parametrize(
    ("kind", "stem", "text", "expected"),
    [
        ("tool", "x", "[lamp]\n", "f0:1:1: found a list; expected a mapping from ids to tools"),
        ("tool", "x", "lamp\n", "f0:1:1: found the text 'lamp'; expected a mapping from ids to"),
        ("tool", "x", "# lamp\n", "f0:1:1: there is nothing in this file but comments"),
        ("tool", "x", "[a]: {title: b}\n", "f0:1:1: found a list as a key; expected an id"),
        ("tool", "x", "lamp: [\n", "f0:1:8: something is missing here"),
        ("setup", "My Setup", SETUP_EXTERNAL, "f0:1:1: the name of the file is 'My Setup'; exp"),
        ("setup", "x", "[a]\n", "f0:1:1: found a list; expected a mapping with title, what, "),
    ],
)
def test_files_of_another_shape(kind: str, stem: str, text: str, expected: str) -> None:
    _, (mistake,) = added(kind, text, stem=stem)
    assert mistake.startswith(expected)


def test_kinds_of_which_a_file_is_lost() -> None:
    assert added("tool", "[a]\n")[0].lost == {"tool"}
    assert added("tool", "a: [\n")[0].lost == {"tool"}
    assert added("tool", "# none\n")[0].lost == {"tool"}
    assert added("tool", "A: {title: a lamp}\n")[0].lost == {"tool"}
    assert added("tool", "a: {titel: a lamp}\n")[0].lost == set()


def test_an_entry_with_mistakes_is_marked() -> None:
    entries, _ = added("tool", "lamp: {titel: a lamp}\ntorch: {title: a torch}\n")
    broken = {name: entry.broken for name, entry in entries.by_kind["tool"].items()}
    assert broken == {"lamp": True, "torch": False}


def test_a_file_full_of_mistakes_is_given_up() -> None:
    text = "".join(f"tool-{number}: x\n" for number in range(5000))
    entries, mistakes = added("tool", text)
    assert len(mistakes) == 201
    assert mistakes[-1] == "f0:201:11: more mistakes follow; mend the first 200 first"
    assert "tool" in entries.lost


CHANNEL = """\
boost:
  title: boost
  quantity: pressure
  names: [boost, map]
  units: [kPa]
  basis: invented
"""


def over_channels(*texts: str) -> tuple[Entries, list[str]]:
    """The entries of such files, each in a folder of its own, and all mistakes in them."""
    entries = Entries()
    for number, text in enumerate((CHANNEL, *texts)):
        entries.begin_folder()
        entries.add(Source(KINDS["channel"], "channels", f"f{number}"), text)
    mistakes = [*entries.mistakes, *(m for read in entries.readings for m in read.mistakes)]
    return entries, [str(mistake) for mistake in mistakes]


def test_later_folders_add_names_to_a_channel() -> None:
    more = "boost: {also: [Ladedruck, map]}\n", "boost:\n  also: [p2]\n  basis: our logger\n"
    entries, mistakes = over_channels(*more)
    assert mistakes == []
    boost = entries.values("channel")["boost"]
    assert boost.names == ("p2", "Ladedruck", "map", "boost")
    assert (boost.quantity, boost.units, boost.basis) == ("pressure", ("kPa",), "invented")
    entry = entries.by_kind["channel"]["boost"]
    assert entry.document.file == "f2"
    assert entry.overrides is not None
    assert entry.overrides.document.file == "f1"


def test_names_are_added_to_nothing_else() -> None:
    _, mistakes = over_channels("bost: {also: [p2]}\n")
    assert mistakes == [
        "f1:1:1: found 'also', but no earlier folder has the channel 'bost'; "
        "mend its id, or write it whole"
    ]
    entries, mistakes = over_channels("boost: {also: [p2], units: [bar]}\n")
    assert len(mistakes) == 1
    assert mistakes[0].startswith("f1:1:21: ")
    assert entries.by_kind["channel"]["boost"].broken
    assert added("tool", "lamp: {also: [torch]}\n")[1] != []
