"""The conversation of ``knowledge add``, and what is on the disk at every moment of it."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import pytest

from expert.errors import GatepostError, KnowledgeError, MissingError, UsageError
from expert.loading.folder import load_with_cases
from expert.ui import add_talk
from expert.ui.add_talk import Wanted, run
from expert.ui.protocol import Cancelled, Interrupted, Leave
from expert.workbench.add import journal
from tests.ui.script import Line, Script
from tests.workbench.add import folders
from tests.workbench.add.test_stage import tree

Answers = dict[str, tuple[str, ...]]


@pytest.fixture
def base(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    return folders.base(tmp_path, monkeypatch)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    return tmp_path / "shop"


def lines(shop: Path, answers: Answers) -> list[str]:
    return folders.lines(folders.opened(shop)[2], answers)


def talked(shop: Path | None, typed: Iterable[Line], **more: object) -> tuple[int, Script]:
    script = Script(typed)
    wanted = {"kind": None, "into": shop, "knowledge": (), "resume": False, **more}
    return run(Wanted(**wanted), script), script  # type: ignore[arg-type]


def left() -> list[Path]:
    return journal.drafts(journal.drafts_folder())


@pytest.mark.parametrize("answers", [folders.CAUSE, folders.CHECK], ids=["cause", "check"])
def test_a_whole_conversation(base: Path, shop: Path, answers: Answers) -> None:
    before = tree(base)
    code, script = talked(shop, [*lines(shop, answers), "yes"])
    assert code == 0
    text = script.text()
    assert "What would be written" in text
    assert "Check: no mistakes." in text
    assert "Try: the first case comes to" in text
    assert "Written" in text
    loaded = load_with_cases([base, shop])
    assert answers["id"][0] in {**loaded.knowledge.causes, **loaded.knowledge.checks}
    assert answers["case/id"][0] in loaded.cases
    assert left() == []
    assert tree(base) == before


def test_nothing_is_written_before_yes(base: Path, shop: Path) -> None:
    code, script = talked(shop, [*lines(shop, folders.CHECK), "no"])
    assert code == 0
    assert not shop.exists()
    assert "Kept as a draft" in script.text()
    assert "into the new folder" in script.text()
    assert len(left()) == 1


COUNTS = {"cause": len(folders.CAUSE) + 1, "check": len(folders.CHECK) + 1}
STOPS = [(kind, place) for kind, count in COUNTS.items() for place in range(1, count)]


@pytest.mark.parametrize(("kind", "place"), STOPS)
def test_an_interrupt_at_any_prompt_and_then_the_rest(
    base: Path, shop: Path, kind: str, place: int
) -> None:
    answers = folders.CAUSE if kind == "cause" else folders.CHECK
    typed = [*lines(shop, answers), "yes"]
    how, expected = [(Interrupted, 130), (Leave, 0), (KeyboardInterrupt, 130)][place % 3]
    code, script = talked(shop, [*typed[:place], how])
    assert code == expected
    assert not shop.exists()
    assert "--resume" in script.text()
    assert len(left()) == 1
    question = script.text().rstrip().rsplit("Your answer", 1)[0]
    assert question
    code, script = talked(None, typed[place:], resume=True)
    assert code == 0
    assert "come again" not in script.text()
    assert "Written" in script.text()
    assert answers["case/id"][0] in load_with_cases([base, shop]).cases
    assert left() == []


def test_an_interrupt_before_anything_is_typed_leaves_nothing(base: Path, shop: Path) -> None:
    for how in (Interrupted, Leave):
        _, script = talked(shop, [how], kind="cause")
        assert "nothing is kept" in script.text()
        assert left() == []
        assert not shop.exists()


def test_every_answer_is_on_the_disk_before_the_next_question(base: Path, shop: Path) -> None:
    class Killed(BaseException):
        """As when the computer stops: nothing is tidied up."""

    typed = lines(shop, folders.CHECK)
    for place in (1, 7, 20, len(typed)):
        with pytest.raises(Killed):
            talked(shop, [*(["anew"] if left() else []), *typed[:place], Killed])
        assert len(journal.read(left()[0]).draft.answers) == place
        left()[0].unlink()


def test_back_takes_one_answer_after_the_other_back(base: Path, shop: Path) -> None:
    typed = lines(shop, folders.CAUSE)
    backs = ["back"] * len(typed)
    code, script = talked(shop, [*typed, *backs, "back", *typed, "yes"])
    assert code == 0
    assert script.text().count("Taken back.") == len(typed)
    assert "There is nothing to take back yet." in script.text()
    assert "lid-off" in load_with_cases([base, shop]).knowledge.causes


def test_after_back_an_empty_line_says_the_same_again(base: Path, shop: Path) -> None:
    typed = lines(shop, folders.CAUSE)
    place = typed.index("15")
    # All the way back to the minutes, which become others, and down again with empty lines.
    again = ["60", *("" for _ in typed[place + 1 :])]
    code, script = talked(shop, [*typed, *["back"] * (len(typed) - place), *again, "yes"])
    assert code == 0
    assert "Nothing typed: Put it on." not in script.text()
    assert "Nothing typed: probable." in script.text()
    loaded = load_with_cases([base, shop])
    assert loaded.knowledge.causes["lid-off"].minutes == 60
    assert loaded.knowledge.checks["lid"].given["lid-off"] == {"crooked": 0.93}
    assert loaded.cases["lid-in-boot"].answers["lid"] == ("crooked",)


def test_the_kind_may_stand_on_the_command_line(base: Path, shop: Path) -> None:
    code, script = talked(shop, ["A lid", Leave], kind="cause")
    assert code == 0
    assert "What do you want to add?" not in script.text()
    assert [one.value for one in journal.read(left()[0]).draft.answers] == [("cause",), ("A lid",)]


def test_a_draft_for_the_folder_is_offered(base: Path, shop: Path) -> None:
    talked(shop, ["cause", "A lid", Leave])
    _, script = talked(shop, ["go-on", Leave])
    assert "There is a draft for this folder" in script.text()
    assert "Which id does the cause get?" in script.text()
    _, script = talked(shop, ["anew", Leave])
    assert "What do you want to add?" in script.text()
    assert len(left()) == 1
    talked(shop, ["drop", Leave])
    assert left() == []


def test_back_at_the_offer_takes_nothing_back(base: Path, shop: Path) -> None:
    talked(shop, ["cause", "A lid", Leave])
    _, script = talked(shop, ["back", "go-on", Leave])
    assert "There is nothing to take back yet." in script.text()
    assert "Which id does the cause get?" in script.text()


def test_a_damaged_draft_is_not_offered(base: Path, shop: Path) -> None:
    talked(shop, ["cause", "A lid", Leave])
    left()[0].write_bytes(b"no draft at all\n")
    _, script = talked(shop, [Leave])
    assert "There is a draft" not in script.text()
    with pytest.raises(GatepostError, match="Delete the file"):
        talked(None, [], resume=True)


def test_a_draft_of_the_other_kind_is_not_resumed(base: Path, shop: Path) -> None:
    talked(shop, ["cause", "A lid", Leave])
    with pytest.raises(UsageError, match=r"one of a cause\. Leave check out to resume it"):
        talked(None, [], resume=True, kind="check")
    code, script = talked(None, [Leave], resume=True, kind="cause")
    assert code == 0
    assert "Which id does the cause get?" in script.text()


def test_another_folder_is_not_offered_it(base: Path, shop: Path, tmp_path: Path) -> None:
    talked(shop, ["cause", "A lid", Leave])
    _, script = talked(tmp_path / "other", [Leave])
    assert "There is a draft" not in script.text()
    with pytest.raises(UsageError, match="Leave --into out"):
        talked(tmp_path / "other", [], resume=True)


def test_without_a_draft_there_is_nothing_to_resume(base: Path) -> None:
    with pytest.raises(MissingError, match="there is no draft"):
        talked(None, [], resume=True)


def test_answers_that_the_knowledge_no_longer_takes_come_again(base: Path, shop: Path) -> None:
    typed = lines(shop, folders.CAUSE)
    talked(shop, [*typed[:20], Leave])
    path = base / "causes" / "all.yaml"
    path.write_text(path.read_text().replace("hose-off:", "lid-off:", 1))
    for name in ("checks/all.yaml", "checks/lid.yaml", "checks/opening.yaml", "symptoms/lazy.yaml"):
        (base / name).write_text((base / name).read_text().replace("hose-off", "lid-off"))
    _, script = talked(None, [Leave], resume=True)
    assert "come again" in script.text()
    assert "Which id does the cause get?" in script.text()
    assert len(journal.read(left()[0]).draft.answers) == 2


def test_a_write_that_was_cut_short_is_finished(
    base: Path, shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Killed(BaseException):
        """As when the computer stops between two files."""

    def half(changes: list[journal.Change]) -> None:
        real(changes[:2])
        raise Killed

    real = add_talk.write_all
    with monkeypatch.context() as patch:
        patch.setattr(add_talk, "write_all", half)
        with pytest.raises(Killed):
            talked(shop, [*lines(shop, folders.CAUSE), "yes"])
    load_with_cases([base, shop])
    code, script = talked(None, [], resume=True)
    assert code == 0
    assert "cut short" in script.text()
    assert "lid-in-boot" in load_with_cases([base, shop]).cases
    assert left() == []


def test_a_write_that_was_cut_short_and_cannot_be_finished_is_taken_back(
    base: Path, shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Killed(BaseException):
        """As when the computer stops between two files."""

    def half(changes: list[journal.Change]) -> None:
        real(changes[:2])
        raise Killed

    real = add_talk.write_all
    before = tree(base)
    typed = lines(base, folders.CAUSE)
    with monkeypatch.context() as patch:
        patch.setattr(add_talk, "write_all", half)
        with pytest.raises(Killed):
            talked(base, [*typed, "yes"])
    assert tree(base) != before
    # Somebody edits one of the files that were still to come.
    lid = base / "checks" / "lid.yaml"
    lid.write_bytes(lid.read_bytes() + b"# note\n")
    _, script = talked(None, [], resume=True)
    assert "changed meanwhile" in script.text()
    assert "taken back" in script.text()
    assert tree(base) == {**before, "checks/lid.yaml": lid.read_bytes()}
    code, _ = talked(None, ["yes"], resume=True)
    assert code == 0
    assert lid.read_bytes().endswith(b"# note\n")
    assert "lid-in-boot" in load_with_cases([base]).cases


def test_a_write_that_fails_keeps_the_draft(
    base: Path, shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(changes: object) -> None:
        raise MissingError("no space left")

    typed = lines(shop, folders.CHECK)
    with monkeypatch.context() as patch:
        patch.setattr(add_talk, "write_all", full)
        with pytest.raises(MissingError):
            talked(shop, [*typed, "yes"])
    code, _ = talked(None, ["yes"], resume=True)
    assert code == 0
    assert "no-ring" in load_with_cases([base, shop]).cases


def test_mistakes_in_the_folder_come_first(base: Path, shop: Path) -> None:
    (shop / "causes").mkdir(parents=True)
    (shop / "causes" / "x.yaml").write_text("x: {title: y}\n")
    script = Script([])
    with pytest.raises(KnowledgeError):
        run(Wanted("cause", shop, (), False), script)
    assert script.blocks == []


def test_what_makes_a_mistake_is_not_written(
    base: Path, shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    wrong = add_talk.Trial(mistakes=("shop/checks/rings.yaml:1:1: wrong",))
    monkeypatch.setattr(add_talk, "trial", lambda *_: wrong)
    _, script = talked(shop, [*lines(shop, folders.CHECK), "yes", "back", Leave])
    assert "rings.yaml:1:1: wrong" in script.text()
    assert '"yes" is in no name of the list' in script.text()
    assert "Taken back." in script.text()
    assert not shop.exists()


def test_lines_that_are_no_answer_get_one_message_each(base: Path, shop: Path) -> None:
    typed: list[Line] = ["", "xyz", "help", "list", Cancelled, "cause", "../x", "", Leave]
    _, script = talked(shop, typed)
    text = script.text()
    for said in ("Nothing was typed", '"xyz" is in no name', "Words that work", "Line dropped"):
        assert said in text
    # A title may be anything; an id may not.
    assert "Which id does the cause get?" in text
    assert journal.read(left()[0]).draft.answers[-1].value == ("x",)


def test_a_draft_open_elsewhere_is_let_be(base: Path, shop: Path) -> None:
    talked(shop, ["cause", "A lid", Leave])
    kept = journal.read(left()[0])
    held = journal.DraftFile.again(kept)
    with pytest.raises(GatepostError, match="has this draft open"):
        talked(None, [], resume=True)
    held.close()


def test_an_overlay_that_is_there_is_written_into(base: Path, shop: Path) -> None:
    shop.mkdir()
    typed = [*lines(shop, folders.CHECK), "yes"]
    code, script = talked(None, typed, knowledge=[shop])
    assert code == 0
    assert "new folder" not in script.text()
    assert (shop / "checks" / "rings.yaml").is_file()
