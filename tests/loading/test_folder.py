"""Folders to knowledge: ``expert/loading/folder.py``."""

from __future__ import annotations

import os
import re
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from expert.errors import KnowledgeError, MissingError
from expert.loading.folder import load, load_with_places, main, shipped_folder
from expert.model import Knowledge
from tests.loading.folders import SMALL, edited, mistakes_in, write


@pytest.fixture
def small(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The small knowledge in the current folder, called knowledge."""
    monkeypatch.chdir(tmp_path)
    return write(tmp_path / "knowledge")


def reports(*folders: Path) -> list[str]:
    with pytest.raises(KnowledgeError) as caught:
        load(folders)
    return [str(mistake) for mistake in caught.value.mistakes]


def test_the_small_knowledge(small: Path) -> None:
    knowledge = load([small])
    assert list(knowledge.causes) == ["ring-missing", "hose-off", "as-designed:large"]
    assert list(knowledge.setups) == ["external", "manual"]
    assert knowledge.policy.slip.mail == 0.15
    assert knowledge.checks["light"].given["ring-missing"]["ring"] == 0.93
    assert knowledge.bypasses["blow-off"].hoses["signal"].from_ == "manifold.tap"


def test_the_shipped_knowledge_is_fine() -> None:
    folder = shipped_folder()
    assert (folder / "policy.yaml").is_file()
    assert isinstance(load([folder]), Knowledge)


def test_the_shipped_folder_of_an_installed_wheel(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    module = tmp_path / "expert" / "loading" / "folder.py"
    monkeypatch.setattr("expert.loading.folder.__file__", str(module))
    assert shipped_folder() == tmp_path / "knowledge"
    (tmp_path / "expert" / "knowledge").mkdir(parents=True)
    assert shipped_folder() == tmp_path / "expert" / "knowledge"


def test_a_folder_that_is_missing(small: Path) -> None:
    with pytest.raises(MissingError, match=r"^elsewhere: there is no such folder$"):
        load([Path("elsewhere")])
    with pytest.raises(MissingError, match=r"^elsewhere: there is no such folder$"):
        load([small, Path("elsewhere")])
    with pytest.raises(MissingError, match=r"^knowledge/tools\.yaml: this is a file; expected a"):
        load([small / "tools.yaml"])
    with pytest.raises(MissingError, match="cannot be read"):
        load([Path("a\0b")])


def test_a_folder_without_a_policy(small: Path) -> None:
    (small / "policy.yaml").unlink()
    with pytest.raises(MissingError, match=r"^knowledge: there is no policy\.yaml"):
        load([small])
    with pytest.raises(MissingError, match=r"^no folder: there is no policy\.yaml"):
        load([])


def test_a_policy_that_cannot_be_read_is_a_mistake(small: Path) -> None:
    (small / "policy.yaml").write_text("")
    assert reports(small) == ["knowledge/policy.yaml:1:1: the file is empty"]


@pytest.mark.parametrize(
    ("name", "data", "expected"),
    [
        ("causes/all.yaml", b"", "1:1: the file is empty"),
        ("causes/all.yaml", b"\x00\x01\x02\x03", "1:1: found the invisible character U+0000"),
        ("causes/all.yaml", b"\x7fELF\x02\x01\x01\0\xff", "1:9: this is not a text file"),
        ("checks/all.yaml", b"a: \xff", "1:4: the byte 0xFF is not UTF-8"),
        ("setups/external.yaml", b"a: b: c", "1:5: a colon does not belong here"),
        ("tools.yaml", b"a: &a b", "1:4: the anchor &a is not allowed"),
        ("tools.yaml", b"lamp: {title: a}\n---\nb: c", "2:1: a second document begins here"),
        ("symptoms/lazy.yaml", b"- " * 50_000, "1:41: nested deeper than 20 levels"),
        ("symptoms/lazy.yaml", b"#" * (1 << 20) + b"#", "1:1: the file has 1.0 MiB"),
    ],
)
def test_files_that_cannot_be_read(small: Path, name: str, data: bytes, expected: str) -> None:
    (small / name).write_bytes(data)
    assert any(report.startswith(f"knowledge/{name}:{expected}") for report in reports(small))
    # Nothing is said about what refers to the entries that were in the file.
    assert not [report for report in reports(small) if "is not known; did" in report]


def test_200_mb_and_a_folder_for_a_file(small: Path) -> None:
    os.truncate(small / "tools.yaml", 200 * 10**6)
    (small / "causes" / "more.yaml").mkdir()
    assert reports(small) == [
        "knowledge/causes/more.yaml:1:1: this is a folder; expected a file",
        "knowledge/tools.yaml:1:1: the file has 190.7 MiB; at most 1 MiB is read, so split it by"
        " topic",
    ]


def test_byte_order_mark_and_crlf_change_nothing_but_the_digest(small: Path) -> None:
    before = load([small])
    path = small / "causes" / "all.yaml"
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n"))
    after = load([small])
    assert after.causes == before.causes
    assert after.digest != before.digest


def test_what_editors_leave_is_ignored(small: Path) -> None:
    before = load([small])
    for name in (
        *(".hidden.yaml", "tools.yaml~", ".tools.yaml.swp", "README.md", "notes.txt"),
        *("causes/.all.yaml.swp", "causes/#all.yaml#", "causes/all.yaml~", "causes/.x.yaml"),
        *("causes/gate.cases.yaml", "symptoms/lazy.cases.yaml", "causes/4913"),
    ):
        (small / name).write_bytes(b"\xff: [")
    for name in ("schema", ".git", "backup~"):
        (small / name).mkdir()
        (small / name / "tools.yaml").write_bytes(b"\xff")
    assert load([small]) == before


@pytest.mark.skipif(sys.platform == "win32", reason="links need a privilege there")
def test_a_link_that_leads_in_a_circle_is_named(small: Path) -> None:
    (small / "causes" / "loop.yaml").symlink_to("loop.yaml")
    (small / "causes" / "loop.txt").symlink_to("loop.txt")
    with pytest.raises(KnowledgeError) as caught:
        load([small])
    (mistake,) = caught.value.mistakes
    assert mistake.place.file.endswith("causes/loop.yaml")
    assert "cannot be read" in mistake.message


def test_what_is_not_part_of_the_layout(small: Path) -> None:
    (small / "caus").mkdir()
    (small / "zebra").mkdir()
    (small / "cause.yaml").write_text("a: b")
    (small / "tool.yaml").write_text("a: b")
    (small / "policy.yml").write_text("a: b")
    (small / "causes" / "gate.yml").write_text("a: b")
    (small / "causes" / "gate").mkdir()
    (small / "preparations.yaml").unlink()
    (small / "preparations.yaml").mkdir()
    (small / "bypasses" / "blow-off.yaml").unlink()
    (small / "bypasses").rmdir()
    (small / "bypasses").write_text("a: b")
    assert reports(small) == [
        "knowledge/bypasses:1:1: found a file; expected the folder bypasses/",
        "knowledge/caus:1:1: the folder 'caus' is not known here; did you mean 'causes/'?",
        "knowledge/cause.yaml:1:1: the file 'cause.yaml' is not known here; did you mean"
        " 'causes/'?",
        "knowledge/causes/gate:1:1: found a folder in causes/; expected files",
        "knowledge/causes/gate.yml:1:1: found the suffix .yml; expected .yaml, so rename the file",
        "knowledge/policy.yml:1:1: found the suffix .yml; expected .yaml, so rename the file",
        "knowledge/preparations.yaml:1:1: this is a folder; expected a file",
        "knowledge/tool.yaml:1:1: the file 'tool.yaml' is not known here; did you mean"
        " 'tools.yaml'?",
        "knowledge/zebra:1:1: the folder 'zebra' is not known here; expected one of policy.yaml,"
        " tools.yaml, cautions.yaml, preparations.yaml, parts, setups, bypasses, causes, checks,"
        " symptoms, channels.yaml, readings.yaml",
    ]


def test_names_of_files_are_shown_safely(small: Path) -> None:
    (small / "causes" / "a\x1b[31m\n\u202e.yaml").write_text("x: y")
    # This name is no UTF-8.
    (small / "checks" / os.fsdecode(b"a\xff.yaml")).write_text("x: [")
    for report in reports(small):
        assert report.isprintable()


def test_an_overlay_adds_and_overrides(small: Path, tmp_path: Path) -> None:
    before = load([small])
    overlay = tmp_path / "mine"
    (overlay / "causes").mkdir(parents=True)
    cause = SMALL["causes/all.yaml"].split("hose-off:")[0]
    text = cause.replace("Ring left out", "No ring") + cause.replace("ring-missing", "ring-worn")
    (overlay / "causes" / "mine.yaml").write_text(text)
    knowledge, places = load_with_places([small, overlay])
    assert knowledge.causes["ring-missing"].title == "No ring"
    assert list(knowledge.causes) == [*before.causes, "ring-worn"]
    assert knowledge.policy == before.policy
    assert knowledge.digest != before.digest
    assert places.file("cause", "ring-missing") == "mine/causes/mine.yaml"
    assert str(places.of("cause", "ring-worn", "title")) == "mine/causes/mine.yaml:14:3"
    assert places.file("cause", "hose-off") == "knowledge/causes/all.yaml"


def test_the_order_of_files_is_that_of_their_names(small: Path) -> None:
    for name in ("zz", "aa", "mm"):
        (small / "parts" / f"{name}.yaml").write_text(
            f"{name}: {{title: a part, what: Does little., basis: invented}}\n"
        )
    assert list(load([small]).parts) == [
        *("aa", "manifold", "external-gate", "internal-gate", "blow-off", "mm", "zz")
    ]


def test_the_digest_follows_names_and_contents(small: Path, tmp_path: Path) -> None:
    digest = load([small]).digest
    assert re.fullmatch("[0-9a-f]{16}", digest)
    assert load([write(tmp_path / "copy")]).digest == digest
    (small / "causes" / "all.yaml").rename(small / "causes" / "every.yaml")
    renamed = load([small]).digest
    assert renamed != digest
    with (small / "tools.yaml").open("a") as stream:
        stream.write("# a comment\n")
    assert load([small]).digest not in (digest, renamed)


def test_paths_are_shown_from_the_current_folder(
    small: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (small / "tools.yaml").write_text("lamp: x\n")
    message = "1:7: found the text 'x'; expected a mapping with title"
    assert reports(small) == [f"knowledge/tools.yaml:{message}"]
    monkeypatch.chdir(small)
    assert reports(Path()) == [f"tools.yaml:{message}"]
    monkeypatch.chdir(small / "causes")
    assert reports(small) == [f"{small}/tools.yaml:{message}"]


def test_the_command(small: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([str(small)]) == 0
    out = capsys.readouterr().out
    assert "4 checks, 1 symptom, 0 channels, 0 readings: fine" in out
    assert main([str(small), "nowhere"]) == 3
    assert capsys.readouterr().err == "nowhere: there is no such folder\n"
    write(small, edited("tools.yaml", "title", "titel"))
    assert main([str(small)]) == 1
    assert capsys.readouterr().err == (
        "knowledge/tools.yaml:1:8: the key 'titel' is not known; did you mean 'title'?\n"
    )


# Fuzz: whatever is written into a file of a folder that was fine, loading it ends in knowledge or
# in mistakes that point into the files.

PIECES = [
    *("\n", "\n  ", "\n    ", ": ", "- ", "? ", "{", "}", "[", "]", ", ", "#", "'", '"', "|", ">-"),
    *(
        "&a ",
        "*a",
        "!t ",
        "---\n",
        "%",
        "\\",
        "\t",
        "\0",
        "\x1b[31m",
        "\u202e",
        "é",
        "\ufeff",
        "\r",
    ),
    *(
        "title",
        "check",
        "then",
        "otherwise",
        "suspect",
        "subtree: gate",
        "has",
        "given",
        "nan",
        "2",
    ),
    *("as-designed:", "ring-missing", "two-sided", ".5", "-1", "{}", "[]", "1e999", "~", "<<", ""),
]


@st.composite
def mutated(draw: st.DrawFn) -> tuple[str, bytes]:
    """The name of a file, and its text with a few random changes."""
    name = draw(st.sampled_from(sorted(SMALL)))
    text = SMALL[name]
    for _ in range(draw(st.integers(1, 4))):
        start = draw(st.integers(0, len(text)))
        end = draw(st.integers(start, min(len(text), start + 30)))
        change = draw(st.sampled_from(["replace", "delete", "repeat", "move"]))
        if change == "replace":
            text = text[:start] + draw(st.sampled_from(PIECES)) + text[end:]
        elif change == "delete":
            text = text[:start] + text[end:]
        elif change == "repeat":
            text = text[:end] + text[start:end] + text[end:]
        else:
            text = text[:start] + text[end:] + text[start:end]
    return name, text.encode("utf-8", "surrogatepass")


def assert_sound_or_refused(folder: Path, name: str, data: bytes) -> None:
    """Load the small knowledge with other bytes in one file, and put the file back."""
    (folder / name).write_bytes(data)
    try:
        load([folder])
    except MissingError:
        assert not (folder / "policy.yaml").exists()
    except KnowledgeError as error:
        assert error.mistakes
        for mistake in error.mistakes:
            # Lines as all of the loader counts them; a stray carriage return ends none.
            data = Path(mistake.place.file).read_bytes().removeprefix(b"\xef\xbb\xbf")
            lines = data.decode("utf-8", "replace").split("\n")
            assert 1 <= mistake.place.line <= len(lines), str(mistake)
            assert 1 <= mistake.place.column <= len(lines[mistake.place.line - 1]) + 1, str(mistake)
            assert mistake.message.isprintable()
    finally:
        (folder / name).write_bytes(SMALL[name].encode())


@pytest.fixture(scope="module")
def fuzzed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write(tmp_path_factory.mktemp("fuzzed"))


@settings(deadline=None)
@given(mutated())
def test_mutated_files(fuzzed: Path, change: tuple[str, bytes]) -> None:
    assert_sound_or_refused(fuzzed, *change)


@settings(deadline=None)
@given(st.sampled_from(sorted(SMALL)), st.binary(max_size=300))
def test_random_bytes(fuzzed: Path, name: str, data: bytes) -> None:
    assert_sound_or_refused(fuzzed, name, data)


@settings(deadline=None)
@given(st.sampled_from(sorted(SMALL)), st.lists(st.sampled_from(PIECES), max_size=40))
def test_yaml_like_text(fuzzed: Path, name: str, pieces: list[str]) -> None:
    assert_sound_or_refused(fuzzed, name, "".join(pieces).encode())


def test_a_chain_of_subtrees_longer_than_calls_can_nest(tmp_path: Path) -> None:
    length = 2 * sys.getrecursionlimit()
    chain = "".join(
        f"  s{number}: {{check: light, then: {{ring: s{number + 1}}}}}\n"
        for number in range(length)
    )
    files = edited(
        "symptoms/lazy.yaml",
        "      otherwise: {subtree: run}\n",
        f"      otherwise: s0\n{chain}  s{length}: run\n",
    )
    assert mistakes_in(tmp_path, files) == []
