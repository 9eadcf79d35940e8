"""The dialogue from the first question to the last, on the small knowledge and on the real one."""

from __future__ import annotations

import errno
import os
import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from expert.case.consult import Consultant
from expert.case.events import (
    Answered,
    Confirmed,
    Described,
    Event,
    Lacks,
    Mended,
    Noted,
    Opened,
    Persists,
    Resumed,
    RuledOut,
    SetAside,
    Undone,
)
from expert.case.journal import Journal, read
from expert.case.state import fold
from expert.errors import EXIT_DONE, EXIT_INTERRUPTED, MissingError
from expert.loading.folder import load, shipped_folder
from expert.model import Check, Knowledge
from expert.ui.protocol import Banner, Bars, Block, Cancelled, Heading, Interrupted, Leave
from expert.ui.talk import run
from tests.ui.script import INTAKE, Line, Script, plumbed, shown, talked


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "a.case.jsonl"


def answers(path: Path) -> list[Event]:
    """The events of a case without its opening and resuming."""
    return [event for event in read(path).events if not isinstance(event, (Opened, Resumed))]


CLEAN = (*INTAKE, "none", "just-fitted", "matches")
RING = (*CLEAN, "ring")


def test_from_the_first_question_to_a_mended_car(path: Path) -> None:
    code, script = talked(path, [*RING, "mended", "matches", "none", "gone", "never asked"])
    assert code == EXIT_DONE
    assert answers(path) == [
        Described("setup", "outer"),
        Described("bypass", "none"),
        Described("symptom", "lazy"),
        Described("symptom", None),
        Described("spring_kpa", 82.737),
        Described("target_kpa", None),
        Answered("red-flags", ("none",)),
        Answered("what-changed", ("just-fitted",)),
        Answered("hose-trace", ("matches",)),
        Answered("lamp", ("ring",)),
        Mended("ring-missing"),
        Answered("hose-trace", ("matches",)),
        Answered("red-flags", ("none",)),
        Confirmed("ring-missing"),
    ]
    text = script.text()
    for words in ("Likely cause", "Then mend it", "After the repair", "Done", "Saved"):
        assert words in text
    assert f"gatepost diagnose --case {path}" in text


def test_every_answer_is_on_disk_before_the_next_question(path: Path) -> None:
    _, script = talked(path, [*RING, "mended", "matches", "none"])
    assert [len(events) for events in script.on_disk] == list(range(1, 15))
    assert script.on_disk[-1] == read(path).events


def test_leaving_says_where_the_case_is_and_how_to_go_on(path: Path) -> None:
    for leaving in (Leave, "leave", "save", "quit", ":leave"):
        code, script = talked(path, [leaving])
        assert code == EXIT_DONE
        assert script.text().rstrip().endswith(f"gatepost diagnose --case {path}")


def test_ctrl_c_drops_the_line_and_twice_interrupts(path: Path) -> None:
    code, script = talked(path, ["outer", Cancelled, "none", Cancelled, Interrupted])
    assert code == EXIT_INTERRUPTED
    assert answers(path) == [Described("setup", "outer"), Described("bypass", "none")]
    assert script.text().count("Line dropped") == 2
    assert "gatepost diagnose --case" in script.text()


def test_ctrl_c_between_two_questions_saves_and_interrupts(path: Path) -> None:
    class Hasty(Script):
        def tell(self, block: Block) -> None:
            if len(self.prompts) == 2 and self.completions[-1]:
                self.completions[-1] = ()
                raise KeyboardInterrupt
            super().tell(block)

    knowledge = plumbed()
    with Journal.open(path, knowledge.digest) as journal:
        code = run(Consultant(knowledge), journal, Hasty(["outer", "none"]))
    assert code == EXIT_INTERRUPTED
    assert answers(path) == [Described("setup", "outer"), Described("bypass", "none")]


BAD = ["", "   ", "x" * 10_000, "\x1b[A", "\x1b]0;owned\x07", "\x00\x01", "99", "nonsense", ":x"]


@pytest.mark.parametrize("typed", BAD, ids=lambda text: repr(text[:8]))
def test_a_bad_line_gets_one_message_and_the_question_stays(path: Path, typed: str) -> None:
    _, plain = talked(path, [*CLEAN])
    code, script = talked(path.with_name("b.jsonl"), [*CLEAN, typed])
    assert code == EXIT_DONE
    assert script.prompts[-1] == script.prompts[-2] == "Your answer"
    assert len(script.blocks) == len(plain.blocks) + 1
    assert answers(path.with_name("b.jsonl")) == answers(path)
    text = script.text()
    assert "\x1b" not in text
    assert "owned" not in text


def test_back_takes_one_answer_after_the_other_away(path: Path) -> None:
    _, script = talked(path, [*CLEAN, "back", "back", "undo", "back"])
    assert fold(read(path).events).findings == ()
    assert fold(read(path).events).spring_kpa == 82.737
    assert "target_kpa" not in fold(read(path).events).said
    assert answers(path)[-4:] == [Undone()] * 4
    assert script.prompts[-1] == "Target boost"
    assert "Taken back. hose-trace: All match." in script.text()


def test_back_at_the_very_beginning(path: Path) -> None:
    _, script = talked(path, ["back"])
    assert "There is nothing to take back yet." in script.text()
    assert answers(path) == []


def test_back_takes_a_conclusion_back_too(path: Path) -> None:
    talked(path, [*RING, "not-it", "back", "back", "dark"])
    state = fold(read(path).events)
    assert state.ruled_out == ()
    assert state.answers("lamp") == ("dark",)


def test_unknown_and_skip(path: Path) -> None:
    _, script = talked(path, [*INTAKE, "none", "unknown", "skip"])
    unknown, aside = answers(path)[-2:]
    assert unknown == Answered("what-changed", ())
    assert isinstance(aside, SetAside)
    assert aside.check in plumbed().checks
    assert f"Next check: {aside.check}" in script.text()
    assert f"{aside.check}: skipped for now." in script.text()


def test_what_cannot_be_unknown(path: Path) -> None:
    _, script = talked(path, ["unknown", "skip"])
    assert "Nothing can be worked out without this." in script.text()
    assert "This one cannot be skipped" in script.text()
    assert answers(path) == []


def test_what_if_is_shown_and_not_kept(path: Path) -> None:
    _, script = talked(path, [*CLEAN, "what-if ring", "what-if 1", "what-if", "what-if back"])
    assert answers(path)[-1] == Answered("hose-trace", ("matches",))
    text = script.text()
    assert "If it were so: lamp: A ring of light." in text
    assert "If it were so: lamp: No light." in text
    assert "Nothing was typed" in text
    assert "Type what-if and the number or word of an answer." in text


def test_a_conclusion_says_how_firm_it_is_after_everything_else(path: Path) -> None:
    _, script = talked(path, RING)
    text = script.text()
    assert text.index("Likely cause") < text.index("not-it:") < text.index("How firm:")


def test_what_if_needs_a_check(path: Path) -> None:
    _, script = talked(path, ["what-if 1"])
    assert "What-if works at a check" in script.text()


def test_another_check_can_be_taken_and_one_be_done_again(path: Path) -> None:
    _, script = talked(
        path, [*CLEAN, "checks", "take smoke", "plume", "take smoke", "nowhere", "take lmap"]
    )
    assert [event for event in answers(path) if isinstance(event, Answered)][-2:] == [
        Answered("smoke", ("plume",)),
        Answered("smoke", ("nowhere",)),
    ]
    assert fold(read(path).events).answers("smoke") == ("nowhere",)
    assert "Other checks, the best first" in script.text()
    assert "Did you mean lamp?" in script.text()


def test_taking_a_check_needs_its_name(path: Path) -> None:
    _, script = talked(path, [*CLEAN, "take"])
    assert "Type take and the name of a check" in script.text()


def test_what_was_asked_at_the_beginning_can_be_taken_again(path: Path) -> None:
    talked(path, [*CLEAN, "take what-changed", "nothing"])
    assert fold(read(path).events).answers("what-changed") == ("nothing",)


def test_a_pressure_told_with_its_command_may_be_unknown(path: Path) -> None:
    talked(path, [*CLEAN, "spring 7 psi", "spring unknown"])
    assert answers(path)[-1] == Described("spring_kpa", None)


def test_a_check_that_loads_the_engine_cannot_be_taken_past_the_gate(path: Path) -> None:
    _, script = talked(path, [*INTAKE, "take run"])
    assert "run must not be done yet" in script.text()
    assert "Every hose must be traced" in script.text()


def test_a_tool_that_is_not_at_hand_sets_its_checks_aside(path: Path) -> None:
    _, script = talked(path, [*CLEAN, "no-tool", "back", "no-tool torch", "no-tool lamp"])
    lacking = [event for event in answers(path) if isinstance(event, (Lacks, Undone))]
    assert lacking == [Lacks("lamp"), Undone(), Lacks("lamp")]
    assert "Not at hand: a lamp." in script.text()
    assert "There is no tool 'torch'" in script.text()
    assert script.prompts[-1] == "Your answer"
    assert "Where does smoke come out?" in script.text()


def test_a_note_is_kept_and_the_question_stands(path: Path) -> None:
    _, script = talked(path, [*CLEAN, "note", "note Only on cold mornings", "status", "ring"])
    assert answers(path)[-2:] == [Noted("Only on cold mornings"), Answered("lamp", ("ring",))]
    text = script.text()
    assert "Type note and the remark" in text
    assert "Noted. Note: Only on cold mornings" in text


def test_a_check_without_tools_says_so(path: Path) -> None:
    _, script = talked(path, [*INTAKE, "no-tool"])
    assert "This takes no tool." in script.text()


def test_none_of_these_and_a_flag_is_refused_kindly(path: Path) -> None:
    _, script = talked(path, [*INTAKE, "none, knock", "knock, metal-noise"])
    assert '"none" means none of the others' in script.text()
    assert answers(path)[-1] == Answered("red-flags", ("knock", "metal-noise"))


INFORMATION = ["how", "why", "ranking", "status", "hoses", "help"]


@pytest.mark.parametrize("command", INFORMATION)
@pytest.mark.parametrize("before", [(), INTAKE[:1], INTAKE[:4], INTAKE, CLEAN, RING])
def test_looking_at_something_changes_nothing_and_asks_again(
    path: Path, command: str, before: Sequence[Line]
) -> None:
    _, script = talked(path, [*before, command])
    again = script.on_disk[-1] == script.on_disk[-2]
    assert again
    assert script.prompts[-1] == script.prompts[-2]
    # The question stands before the command and after it.
    assert script.completions[-1] == script.completions[-2]


FAREWELL = 5


def after(path: Path, lines: Sequence[Line], command: str) -> str:
    """What a command shows at the question that the lines lead to."""
    name = f"{len(lines)}-{command}"
    _, before = talked(path.with_name(f"{name}.before"), lines)
    _, script = talked(path.with_name(f"{name}.after"), [*lines, command])
    return shown(script.blocks[len(before.blocks) - FAREWELL : -FAREWELL])


def test_what_the_commands_show(path: Path) -> None:
    assert "Follow each hose." in after(path, CLEAN[:-1], "how")
    assert "Ring left out rises" in after(path, CLEAN, "why")
    assert "Ring left out" in after(path, CLEAN, "ranking")
    assert "nothing to rank" in after(path, INTAKE[:1], "ranking")
    status = after(path, CLEAN, "status")
    assert "All match" in status
    assert "gatepost diagnose --case" in status
    assert "No full-throttle run yet" in after(path, INTAKE, "status")
    assert "turbo, nipple" in after(path, INTAKE[:1], "hoses")
    assert "once the setup is known" in after(path, (), "hoses")
    assert "back: take the last answer back" in after(path, CLEAN, "help")
    assert "strongly for" in after(path, RING, "why")


def test_the_hoses_stand_beside_the_tracing(path: Path) -> None:
    _, script = talked(path, CLEAN[:-1])
    assert "turbo, nipple" in script.text()


def test_the_spring_can_be_told_later(path: Path) -> None:
    lines = [
        "outer",
        "none",
        "lazy",
        "no",
        "unknown",
        "unknown",
        "spring 12 psi",
        "target",
        "1 bar",
    ]
    _, script = talked(path, [*lines, "none"])
    state = fold(read(path).events)
    assert (state.spring_kpa, state.target_kpa) == (82.737, 100.0)
    assert script.prompts[-3:] == ["Target boost", "Your answer", "Your answer"]
    assert state.answers("red-flags") == ("none",)


def test_a_wrong_spring_is_refused_where_it_is_typed(path: Path) -> None:
    _, script = talked(path, [*INTAKE, "spring 12", "spring 5000 psi"])
    assert "The unit is missing." in script.text()
    assert "is not what such a car has" in script.text()
    assert fold(read(path).events).spring_kpa == 82.737


def test_a_reading_is_sorted_and_said_back(path: Path) -> None:
    # Ring and shaft are cleared without load first, so that the gate opens for the run.
    knowledge = plumbed()
    state_lines = ["outer", "none", "lazy", "no", "12 psi", "unknown"]
    prefill = [
        Answered("shaft", ("free",)),
        Answered("what-changed", ("just-fitted",)),
        Answered("hose-trace", ("matches",)),
        Answered("lamp", ("dark",)),
        Answered("smoke", ("wisp",)),
    ]
    _, script = talked(path, [*state_lines, "none", "12 psi"], knowledge, prefill)
    assert "Lift off at once" in script.text()
    assert answers(path)[-1] == Answered("run", ("on-spring",))
    assert "Noted. run: The spring." in script.text()


def test_the_change_is_told_in_words_and_bars(path: Path) -> None:
    _, script = talked(path, RING)
    bars = [block for block in script.blocks if isinstance(block, Bars)]
    assert bars
    last = bars[-1].items[0]
    assert last.label == "Ring left out"
    assert last.before is not None
    assert last.now > last.before
    assert "Still in front: Ring left out" in script.text()


def test_an_unknown_answer_is_followed_by_no_talk_of_change(path: Path) -> None:
    _, one = talked(path, INTAKE)
    _, script = talked(path.with_name("b.jsonl"), [*INTAKE, "unknown"])
    fresh = script.text(len(one.blocks) - FAREWELL)
    assert "in front" not in fresh


def banners(script: Script) -> list[Banner]:
    return [block for block in script.blocks if isinstance(block, Banner)]


def test_a_dangerous_complaint_is_said_at_once_and_on_top_of_every_check(path: Path) -> None:
    _, script = talked(path, ["outer", "none", "overboost", "no", "12 psi", "unknown", "none"])
    shown_at = [type(block).__name__ for block in script.blocks]
    assert shown_at.index("Banner") < shown_at.index("Paragraph", shown_at.index("Banner"))
    assert [banner.danger for banner in banners(script)] == ["stop"] * 3
    # The reasons are told once, and again only when they are new.
    assert [bool(banner.because) for banner in banners(script)][:2] == [False, True]


def test_a_red_flag_means_stop(path: Path) -> None:
    _, script = talked(path, [*INTAKE, "knock"])
    assert banners(script)[-1].danger == "stop"
    assert any("A knock" in reason for reason in banners(script)[-1].because)


def test_a_verdict_that_clears_is_said_too(path: Path) -> None:
    base = plumbed()
    calm = replace(base, policy=replace(base.policy, notable=0.9))
    _, script = talked(path, [*INTAKE, "knock", "back", "none"], calm)
    assert [banner.danger for banner in banners(script)] == ["stop"]
    assert script.text().count("Nothing that is known speaks against driving gently") == 1


def test_not_it_goes_on(path: Path) -> None:
    _, script = talked(path, [*RING, "not-it"])
    assert answers(path)[-1] == RuledOut("ring-missing")
    text = script.text()
    assert "Now in front" in text.partition("It is not this: Ring left out.")[2]
    assert script.prompts[-1] == "Your answer"


def test_a_repair_that_did_not_help_goes_on_too(path: Path) -> None:
    _, script = talked(path, [*RING, "mended", "matches", "none", "still-there"])
    assert answers(path)[-1] == Persists()
    assert not fold(read(path).events).verifying
    assert script.text().count("Is the trouble gone?") == 1


class Ignorant(Script):
    """Knows no answer and finds no fault; at the workshop it types the rest of its lines."""

    def ask(self, prompt: str, completions: Sequence[str] = ()) -> str:
        headings = [block.text for block in self.blocks if isinstance(block, Heading)]
        if len(self.prompts) < len(INTAKE) or "Time for a workshop" in headings:
            return super().ask(prompt, completions)
        self.prompts.append(prompt)
        assert len(self.prompts) < 40, headings
        return "not-it" if "not-it" in completions else "unknown"


def test_the_workshop_and_a_check_that_is_taken_up_after_all(path: Path) -> None:
    knowledge = plumbed()
    script = Ignorant([*INTAKE, "unknown", "1", "1"], path)
    with Journal.open(path, knowledge.digest) as journal:
        run(Consultant(knowledge), journal, script)
    text = script.text()
    assert "Time for a workshop" in text
    assert "There is nothing more to answer here." in text
    taken = re.findall("Next check: (.*)", text.partition("Time for a workshop")[2])[0]
    first = next(iter(knowledge.checks[taken].answers))
    assert Answered(taken, ()) in answers(path)[:-1]
    assert answers(path)[-1] == Answered(taken, (first,))


def test_a_case_is_taken_up_where_it_was_left(path: Path) -> None:
    talked(path, CLEAN)
    code, script = talked(path, ["ring"])
    assert code == EXIT_DONE
    text = script.text()
    assert "Welcome back" in text
    assert "Known so far" in text
    assert "All match" in text
    assert "knowledge has changed" not in text
    assert "Let us find out" not in text
    assert answers(path)[-1] == Answered("lamp", ("ring",))


def test_a_case_says_when_the_knowledge_has_changed(path: Path) -> None:
    talked(path, CLEAN)
    other = replace(plumbed(), digest="another")
    _, script = talked(path, [], other)
    assert "The knowledge has changed" in script.text()
    _, script = talked(path, [], other)
    assert "The knowledge has changed" not in script.text()


def test_a_case_whose_setup_the_knowledge_lost_asks_again(path: Path) -> None:
    talked(path, CLEAN)
    base = plumbed()
    other = replace(base, digest="another", setups={"inner": base.setups["inner"]})
    _, script = talked(path, ["inner"], other)
    assert answers(path)[-1] == Described("setup", "inner")
    assert script.prompts == ["Your answer", "Your answer"]


@pytest.mark.parametrize("lines", [INTAKE[:2], CLEAN])
def test_a_torn_line_is_reported_and_only_its_question_comes_again(
    path: Path, lines: Sequence[Line]
) -> None:
    talked(path, lines)
    whole = path.read_bytes()
    last = answers(path)[-1]
    path.write_bytes(whole[:-9])
    _, script = talked(path, [])
    assert "was cut off" in script.text()
    assert last not in answers(path)


def test_a_case_torn_in_its_first_line_begins_anew(path: Path) -> None:
    path.write_bytes(b'{"format": 1, "ti')
    _, script = talked(path, ["outer"])
    assert "was cut off" in script.text()
    assert "Let us find out" in script.text()
    assert answers(path) == [Described("setup", "outer")]


def test_a_closed_case_can_be_opened_again(path: Path) -> None:
    talked(path, [*RING, "mended", "matches", "none", "gone"])
    _, script = talked(path, ["unknown", "reopen", "still-there"])
    assert "This case is closed." in script.text()
    assert answers(path)[-2:] == [Undone(), Persists()]
    assert fold(read(path).events).confirmed is None


PREFILL: list[Event] = [
    Described("setup", "outer"),
    Described("symptom", "lazy"),
    Described("spring_kpa", 80.0),
    Answered("hose-trace", ("matches",)),
]


def test_what_the_command_line_says_is_not_asked(path: Path) -> None:
    _, script = talked(path, [], prefill=PREFILL)
    assert answers(path) == [*PREFILL, Described("symptom", None)]
    assert "bypass valve does it have" in script.text()


def test_the_same_command_line_twice_adds_nothing(path: Path) -> None:
    talked(path, [], prefill=PREFILL)
    talked(path, [], prefill=PREFILL)
    assert answers(path) == [*PREFILL, Described("symptom", None)]


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EROFS, errno.EIO])
def test_a_failed_save_is_one_clear_message_and_nothing_is_lost(
    path: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    knowledge = plumbed()
    real = os.fsync

    def full(file: int) -> None:
        if b"lazy" in path.read_bytes():
            raise OSError(number, os.strerror(number))
        real(file)

    monkeypatch.setattr(os, "fsync", full)
    script = Script(INTAKE)
    with Journal.open(path, knowledge.digest) as journal, pytest.raises(MissingError) as caught:
        run(Consultant(knowledge), journal, script)
    assert "could not be saved" in str(caught.value)
    assert "\n" not in str(caught.value)
    assert answers(path) == [Described("setup", "outer"), Described("bypass", "none")]
    monkeypatch.undo()
    _, script = talked(path, ["lazy"])
    assert answers(path)[-1] == Described("symptom", "lazy")


def test_an_answer_called_like_a_command(path: Path) -> None:
    base = plumbed()
    lamp = replace(base.checks["lamp"], answers={"back": "The back is dark", "ring": "A ring"})
    clash = replace(base, checks={**base.checks, "lamp": lamp})
    _, script = talked(path, [*CLEAN, "help", ":back", "matches", "back"], clash)
    assert ":back: take the last answer back" in script.text()
    assert answers(path)[-3:] == [
        Undone(),
        Answered("hose-trace", ("matches",)),
        Answered("lamp", ("back",)),
    ]


WORDS = [*INFORMATION, "1", "2", "3", "1,2", "none", "matches", "unknown", "skip", "back"]
WORDS += ["mended", "not-it", "gone", "still-there", "reopen", "12 psi", "spring 1 bar", ""]
typed = st.one_of(
    st.sampled_from([*WORDS, "\x1b[A"]),
    st.text(max_size=12),
    st.just(Cancelled),
)


@settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(st.lists(typed, max_size=25), st.sampled_from([(), INTAKE]))
def test_whatever_is_typed_the_journal_replays_to_the_same_state(
    tmp_path_factory: pytest.TempPathFactory, lines: list[Line], before: Sequence[Line]
) -> None:
    path = tmp_path_factory.mktemp("case") / "a.jsonl"
    knowledge = plumbed()
    script = Script([*before, *lines], path)
    with Journal.open(path, knowledge.digest) as journal:
        assert run(Consultant(knowledge), journal, script) == EXIT_DONE
        assert fold(read(path).events) == fold(journal.events)
    for events, later in zip(script.on_disk, script.on_disk[1:], strict=False):
        assert later[: len(events)] == events


# The knowledge that is shipped: an owner whose car has one known fault answers as the knowledge
# says that such a car answers, and must be led to that fault.


class Owner(Script):
    """Answers every check as a car with this cause most often does; mends what is found."""

    def __init__(self, knowledge: Knowledge, cause: str, symptom: str, setup: str) -> None:
        super().__init__([])
        self._knowledge = knowledge
        self._cause = cause
        self._first: list[str] = [setup, "none", symptom, "no", "12 psi", "unknown"]
        self.checks: list[str] = []
        self.wrong = 0

    def ask(self, prompt: str, completions: Sequence[str] = ()) -> str:
        self.prompts.append(prompt)
        if len(self.prompts) > 60:
            raise Leave
        if self._first:
            return self._first.pop(0)
        heading = [block.text for block in self.blocks if isinstance(block, Heading)][-1]
        if heading.startswith("Next check: "):
            check_id = heading.removeprefix("Next check: ")
            self.checks.append(check_id)
            return self._answer(check_id, self._knowledge.checks[check_id])
        if heading in {"Likely cause", "Best suspect"}:
            title = f"{self._knowledge.causes[self._cause].title}."
            recent = self.blocks[-30:]
            if any(getattr(block, "text", "") == title for block in recent):
                raise Leave
            self.wrong += 1
            return "not-it"
        raise Leave

    def _answer(self, check_id: str, check: Check) -> str:
        if check.kind == "history":
            return "just-fitted" if check_id == "what-changed" else "unknown"
        shares: dict[str, Any] = dict(check.given.get(self._cause, {}))
        sound = check.sound_answer()
        if check.kind == "nominal":
            seen = [answer for answer, share in shares.items() if share >= 0.5]
            return ",".join(seen) or sound
        shares[sound] = 1.0 - sum(shares.values())
        return max(shares, key=lambda answer: float(shares[answer]))


@pytest.fixture(scope="module")
def shipped() -> Knowledge:
    return load([shipped_folder()])


@pytest.mark.parametrize(
    ("setup", "symptom", "cause"),
    [
        ("external-single", "lazy", "seat-ring-missing"),
        ("internal-nipple", "lazy", "charge-leak-big"),
        ("external-single", "overboost", "source-vent-swap"),
        ("internal-tap", "overboost", "tap-undrilled"),
        ("internal-nipple", "spring-ceiling", "solenoid-dead"),
        ("internal-nipple", "creep", "port-limited"),
    ],
)
def test_a_known_fault_is_found(
    path: Path, shipped: Knowledge, setup: str, symptom: str, cause: str
) -> None:
    owner = Owner(shipped, cause, symptom, setup)
    with Journal.open(path, shipped.digest) as journal:
        assert run(Consultant(shipped), journal, owner) == EXIT_DONE
    headings = [block.text for block in owner.blocks if isinstance(block, Heading)]
    assert headings[-2] in {"Likely cause", "Best suspect"}, (owner.checks, headings[-3:])
    assert owner.wrong <= 2
