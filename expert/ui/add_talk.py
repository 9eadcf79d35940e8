"""The conversation of ``gatepost knowledge add``: one loop over questions, kept at every answer."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from expert.errors import EXIT_DONE, EXIT_INTERRUPTED, GatepostError, MissingError, UsageError
from expert.loading.folder import Loaded
from expert.loading.source import shown_path
from expert.ui import add_show
from expert.ui.add_pick import Narrowed, Told, Word, completions, first_shown, understood
from expert.ui.protocol import (
    Block,
    Cancelled,
    Heading,
    Interrupted,
    Leave,
    Paragraph,
    Talker,
    Verbatim,
)
from expert.workbench.add import journal, target
from expert.workbench.add.draft import Draft, standing
from expert.workbench.add.hear import fits
from expert.workbench.add.journal import DraftFile, Kept
from expert.workbench.add.plan import plan
from expert.workbench.add.question import NO, YES, Question, Value
from expert.workbench.add.script import KIND, script
from expert.workbench.add.setting import NewEntry, Setting
from expert.workbench.add.stage import take_back, write_all
from expert.workbench.add.target import Target
from expert.workbench.add.trial import Trial, trial

GO_ON, ANEW, DROP = "go-on", "anew", "drop"
_PROMPT: Final = "Your answer"
_NOTHING_TO_TAKE_BACK: Final = "There is nothing to take back yet."


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the command line asks for; folders as they were named."""

    kind: str | None
    into: Path | None
    knowledge: Sequence[Path]
    resume: bool


class _Back(Exception):  # noqa: N818 - the tuner's wish, no error
    """The tuner takes the last answer back."""


def run(wanted: Wanted, talker: Talker) -> int:
    """Talk until the entry is written, left or interrupted, and return the exit code.

    Raises GatepostError for a folder that nothing can be written into, mistakes in the knowledge,
    and a draft that cannot be kept; what was typed before then is kept.
    """
    earlier = _resumed(wanted) if wanted.resume else None
    into = earlier.into if earlier else wanted.into
    place = target.choose(into, earlier.knowledge if earlier else wanted.knowledge)
    conversation = _Conversation(talker, place, target.read(place))
    code = EXIT_DONE
    try:
        conversation.begin(wanted, earlier)
        while conversation.turn():
            pass
    except Leave:
        code = EXIT_DONE
    except (Interrupted, KeyboardInterrupt):
        code = EXIT_INTERRUPTED
    finally:
        conversation.close()
    with suppress(Leave):
        conversation.farewell()
    return code


def _resumed(wanted: Wanted) -> Kept:
    """The latest draft. Raises MissingError without one, UsageError for another folder or kind."""
    found = journal.drafts(journal.drafts_folder())
    if not found:
        raise MissingError(
            f"{journal.drafts_folder()}: there is no draft; begin one with: gatepost knowledge add"
        )
    kept = journal.read(found[0])
    if wanted.into is not None and wanted.into.resolve() != kept.into:
        raise UsageError(f"The latest draft goes into {kept.into}. Leave --into out to resume it.")
    first = kept.draft.answers[:1]
    if wanted.kind is not None and first and first[0].value != (wanted.kind,):
        raise UsageError(
            f"The latest draft is one of a {', '.join(first[0].value)}. Leave {wanted.kind} out to "
            "resume it."
        )
    return kept


class _Conversation:
    def __init__(self, talker: Talker, place: Target, loaded: Loaded) -> None:
        self._talker = talker
        self._place = place
        self._loaded = loaded
        self._setting: Setting = target.setting_of(loaded, place)
        self._draft = Draft()
        self._file: DraftFile | None = None
        self._done = False
        self._earlier: dict[str, Value] = {}

    # Opening and closing.

    def begin(self, wanted: Wanted, earlier: Kept | None) -> None:
        """Greet, or take a draft up again; one that is there is offered."""
        self._tell(*add_show.greeting(self._place.folder))
        kept = earlier or self._offered()
        if kept is not None:
            self._take_up(kept)
            return
        folders = [one.resolve() for one in wanted.knowledge]
        if wanted.kind is not None:
            self._draft = Draft().answered(KIND, (wanted.kind,))
        self._file = DraftFile.new(self._place.folder, folders, self._draft)

    def _offered(self) -> Kept | None:
        """The latest draft for this folder, when the tuner wants to go on with it."""
        for path in journal.drafts(journal.drafts_folder()):
            kept = self._readable(path)
            if kept is None:
                continue
            choices = {
                GO_ON: "Go on with it",
                ANEW: "Begin something new and keep the draft",
                DROP: "Throw it away and begin anew",
            }
            last = kept.draft.answers[-1].value if kept.draft.answers else ()
            question = Question(
                "draft",
                "There is a draft for this folder. Shall we go on with it?",
                f"Its last answer was: {', '.join(last) or 'none'}",
                "one",
                choices,
            )
            choice = self._chosen(question)
            if choice == DROP:
                DraftFile.again(kept).discard()
            return kept if choice == GO_ON else None
        return None

    def _readable(self, path: Path) -> Kept | None:
        """A draft that is whole and about the same folders."""
        try:
            kept = journal.read(path)
        except GatepostError:
            return None
        folders = [*kept.knowledge, kept.into]
        here = self._place.folders[1:]
        same = kept.into == self._place.folder and all(one in here for one in kept.knowledge)
        return kept if same and set(here) <= set(folders) else None

    def _chosen(self, question: Question) -> str:
        """The one answer to a question that nothing comes before."""
        while True:
            try:
                (choice,) = self._ask(question)
                return choice
            except _Back:
                self._tell(Paragraph(_NOTHING_TO_TAKE_BACK))

    def _take_up(self, kept: Kept) -> None:
        self._file = DraftFile.again(kept)
        self._draft = kept.draft
        if self._finished(kept):
            return
        used = standing(lambda: script(self._setting), self._draft).used
        dropped = len(self._draft.answers) - used
        for _ in range(dropped):
            self._undo()
        if dropped:
            self._tell(
                Paragraph("The knowledge has changed since; the questions from here on come again.")
            )

    def _finished(self, kept: Kept) -> bool:
        """Finish a write that was cut short after its first file."""
        done = [one for one in kept.writing if _holds(one.path, one.after)]
        if not done:
            return False
        try:
            write_all(kept.writing)
        except GatepostError as problem:
            take_back(kept.writing)
            self._tell(
                Paragraph("Writing was cut short the last time, and cannot be finished:"),
                Paragraph(str(problem)),
                Paragraph("What had been written is taken back; resume once more."),
            )
            raise Leave from None
        self._tell(Paragraph("Writing was cut short the last time; it is finished now."))
        self._end()
        self._tell(Heading("Written"), *(Verbatim(shown_path(one.path)) for one in kept.writing))
        return True

    def close(self) -> None:
        """Let the draft go."""
        if self._file is not None:
            self._file.close()

    def farewell(self) -> None:
        """Say where the draft is."""
        if not self._done:
            begun = self._file is not None and self._file.begun
            self._tell(*add_show.kept(self._file.path if begun and self._file else None))

    # One question.

    def turn(self) -> bool:
        """Ask one question to its end, or offer to write; False when all is done."""
        if self._done:
            return False
        now = standing(lambda: script(self._setting), self._draft)
        try:
            if now.question is not None:
                value = self._ask(self._with_earlier(now.question))
                self._keep(now.question.key, value)
                self._tell(*add_show.noted(now.question, value))
            elif now.result is not None:
                return self._finish(now.result)
        except _Back:
            self._back()
        return True

    def _with_earlier(self, question: Question) -> Question:
        """The question with the answer that was taken back as its default.

        Where an empty line means that there is nothing, and no word would, it goes on doing so.
        """
        earlier = self._earlier.get(question.key)
        if earlier is None or not fits(question, earlier):
            return question
        if question.default == () and question.form != "several":
            return question
        return replace(question, default=earlier)

    def _finish(self, new: NewEntry) -> bool:
        """Show the text, try it in a copy, and ask whether to write it."""
        made = plan(new, self._loaded, self._place)
        self._tell(*add_show.preview(made))
        self._tell(Paragraph("Trying it in a copy; this takes a moment.", apart=True))
        found: Trial = trial(new, made, self._place, self._loaded)
        self._tell(*add_show.tried(new, found))
        files = "1 file" if len(made.changes) == 1 else f"{len(made.changes)} files"
        choices = {YES: f"Write {files}", NO: "Keep it as a draft and leave"}
        if found.mistakes:
            del choices[YES]
        where = shown_path(self._place.folder)
        folder = where if self._place.folder.exists() else f"the new folder {where}"
        question = Question(
            "write",
            f"Shall it be written into {folder}?",
            "back changes the last answer; until yes nothing is written.",
            "one",
            choices,
        )
        (answer,) = self._ask(question)
        if answer == NO:
            raise Leave
        if self._file is not None:
            self._file.writing(made.changes)
        write_all(made.changes)
        self._end()
        overlay = self._place.folder != self._place.folders[0]
        self._tell(*add_show.written(made, self._place.folder, overlay))
        return False

    def _end(self) -> None:
        self._done = True
        if self._file is not None:
            self._file.discard()

    def _keep(self, key: str, value: Value) -> None:
        """Keep an answer on the disk before anything else happens."""
        if self._file is not None:
            self._file.answered(key, value)
        self._draft = self._draft.answered(key, value)

    def _undo(self) -> None:
        if self._file is not None:
            self._file.undone()
        last = self._draft.answers[-1]
        self._earlier[last.key] = last.value
        self._draft = self._draft.back()

    def _back(self) -> None:
        if not self._draft.answers:
            self._tell(Paragraph(_NOTHING_TO_TAKE_BACK))
            return
        self._undo()
        self._tell(Paragraph("Taken back."))

    # One line.

    def _ask(self, question: Question) -> Value:
        """Read lines until one of them answers the question. Raises _Back."""
        shown = first_shown(question)
        self._tell(*add_show.asked(question, shown))
        while True:
            try:
                typed = understood(
                    question, shown, self._talker.ask(_PROMPT, completions(question))
                )
            except Cancelled:
                self._tell(
                    Paragraph("Line dropped. Go on, or press Ctrl-C again to keep it and leave.")
                )
                continue
            except UsageError as error:
                self._tell(Paragraph(str(error)))
                continue
            match typed:
                case Told(value):
                    return value
                case Narrowed(ids):
                    shown = ids
                    self._tell(*add_show.asked(question, shown, again=True))
                case Word("back"):
                    raise _Back
                case Word("leave"):
                    raise Leave
                case Word("list"):
                    shown = tuple(question.choices)
                    self._tell(*add_show.asked(question, shown, again=True))
                case Word():
                    self._tell(*add_show.help_with(question))

    def _tell(self, *blocks: Block) -> None:
        for block in blocks:
            self._talker.tell(block)


def _holds(path: Path, data: bytes) -> bool:
    try:
        return path.read_bytes() == data
    except OSError:
        return False
