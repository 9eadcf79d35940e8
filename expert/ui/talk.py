"""The dialogue: one loop that asks, keeps every answer at once, and says what follows from it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from expert.case.car import gate_missing, parts_of
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
    Undone,
)
from expert.case.fitted import consultable, fitted
from expert.case.journal import Journal
from expert.case.known import known
from expert.case.state import STEPS, State, advanced, effective, fold
from expert.errors import EXIT_DONE, EXIT_INTERRUPTED, UsageError
from expert.model import Knowledge
from expert.text import clean
from expert.ui import intake, show, show_case
from expert.ui.protocol import (
    Block,
    Cancelled,
    Heading,
    Interrupted,
    Leave,
    Paragraph,
    Steps,
    Talker,
    Verbatim,
)
from expert.ui.question import Question, TakeUp
from expert.ui.reading import COMMANDS, Command, Expected, how_to_answer, read
from expert.ui.words import joined

if TYPE_CHECKING:
    from expert.case.consult import Consultation
    from expert.case.safety import Verdict
    from expert.ui.log_talk import Logs

REOPEN = "reopen"


class Consults(Protocol):
    """What the dialogue needs of a consultant."""

    @property
    def knowledge(self) -> Knowledge:
        """The knowledge that is consulted."""

    def consult(self, state: State) -> Consultation:
        """What follows from a state with a setup and a complaint."""


def run(
    consultant: Consults,
    journal: Journal,
    talker: Talker,
    prefill: Sequence[Event] = (),
    logs: Logs | None = None,
) -> int:
    """Talk until the case is found, left or interrupted, and return the exit code.

    ``prefill`` are events that the command line stands for; ``logs`` are read as soon as the car
    is known. Raises MissingError when an answer cannot be saved; all answers before it are.
    """
    dialogue = _Dialogue(consultant, journal, talker, logs)
    code = EXIT_DONE
    try:
        dialogue.begin(prefill)
        while dialogue.turn():
            pass
    except Leave:
        code = EXIT_DONE
    except (Interrupted, KeyboardInterrupt):
        code = EXIT_INTERRUPTED
    with suppress(Leave):
        dialogue.farewell()
    return code


class _Dialogue:
    def __init__(
        self, consultant: Consults, journal: Journal, talker: Talker, logs: Logs | None = None
    ) -> None:
        self._consultant = consultant
        self._knowledge = consultant.knowledge
        self._journal = journal
        self._talker = talker
        self._now: Consultation | None = None
        self._before: Consultation | None = None
        self._verdict: Verdict | None = None
        self._detour: Question | TakeUp | None = None
        self._logs = logs
        self._waiting = list(logs.files) if logs is not None else []

    # Opening and closing.

    def begin(self, prefill: Sequence[Event]) -> None:
        """Greet, or say what is known of a case that is taken up again; then add the prefill."""
        digests = [
            event.knowledge
            for event in self._journal.events
            if isinstance(event, (Opened, Resumed))
        ]
        if len(digests) < 2:
            self._greet()
        else:
            self._tell(Heading("Welcome back"))
        if self._journal.repaired:
            self._tell_repaired()
        if len(digests) >= 2:
            self._tell_known(changed=digests[-2] != self._knowledge.digest)
        self._add(prefill)

    def _greet(self) -> None:
        self._tell(
            Heading("Gatepost"),
            Paragraph(
                "Let us find out why the boost is wrong, one safe check at a time. Answer with a "
                "number or a word; help shows what else you can type."
            ),
            Paragraph("Every answer is saved at once, in"),
            Verbatim(str(self._journal.path)),
        )

    def _tell_repaired(self) -> None:
        self._tell(
            Paragraph(
                "The last line of the case was cut off, as when a computer stops. It was taken "
                "out; everything before it is whole. Its question comes again."
            )
        )

    def _tell_known(self, changed: bool) -> None:
        if changed:
            self._tell(
                Paragraph(
                    "The knowledge has changed since this case was last open. Your answers stand; "
                    "what follows from them may differ."
                )
            )
        self._tell(*show_case.status(self._knowledge, self._state()))

    def _add(self, prefill: Sequence[Event]) -> None:
        """Add what the command line says, unless the case says the same already."""
        for event in prefill:
            state = fold(self._journal.events)
            if advanced(state, event) != state:
                self._journal.append(event)
        named = any(isinstance(event, Described) and event.field == "symptom" for event in prefill)
        if named and not self._no_more_symptoms():
            self._journal.append(Described("symptom", None))

    def farewell(self) -> None:
        """Say where the case is, and how to go on."""
        self._tell(Heading("Saved"), *show_case.case_place(self._journal.path))

    # One question.

    def turn(self) -> bool:
        """Ask one question to its end; False when the case is closed."""
        question = self._question()
        self._tell(*question.whole())
        self._tell(*question.late())
        outcome = self._outcome(question)
        if isinstance(outcome, TakeUp):
            self._detour = outcome
            return True
        if outcome is None:
            return True
        self._keep(outcome)
        if isinstance(outcome, Mended):
            self._tell(*show_case.mended())
        if isinstance(outcome, Confirmed):
            self._tell(*show_case.closed(self._knowledge, outcome.cause))
        return not isinstance(outcome, Confirmed)

    def _keep(self, event: Event) -> None:
        """Save the event before anything else happens, and repeat it in words."""
        self._journal.append(event)
        if isinstance(event, (RuledOut, Persists)):
            self._before = self._now
        if isinstance(event, Answered) and event.answers:
            self._before = self._now
        if not isinstance(event, Undone):
            self._tell(Paragraph(f"Noted. {show_case.told(self._knowledge, event)}"))
        if isinstance(event, Described) and event.field == "symptom":
            self._tell(*show.complaint_banner(self._knowledge, event.value))

    def _state(self) -> State:
        return fitted(fold(self._journal.events), self._knowledge)

    def _question(self) -> Question:
        detour, self._detour = self._detour, None
        if isinstance(detour, Question):
            return detour
        state = self._state()
        if state.confirmed is not None:
            return self._closed(state.confirmed)
        missing = self._missing()
        if missing is not None:
            return missing
        if self._waiting:
            waiting, self._waiting = self._waiting, []
            self._read_logs(state, waiting)
            return self._question()
        return self._step(state, detour)

    def _missing(self) -> Question | None:
        """What must be known of the car before anything else is done."""
        return intake.missing(
            self._knowledge, self._state(), self._no_more_symptoms(), log_waits=bool(self._waiting)
        )

    def _read_logs(self, state: State, files: Sequence[Path]) -> None:
        """Say what some logs show, and keep it; a symptom in them is the complaint."""
        # Imported here: reading logs takes numpy, and most cases come without one.
        from expert.case.logged import news
        from expert.ui.log_talk import Logs, read_in

        shown, blocks = read_in(self._knowledge, state, self._logs or Logs(), files)
        self._tell(*blocks)
        self._before = None
        self._add(news(self._journal.events, shown))

    def _no_more_symptoms(self) -> bool:
        return Described("symptom", None) in effective(self._journal.events)

    def _step(self, state: State, wanted: TakeUp | None) -> Question:
        """The question of the next step, once it is said what the last answer has changed."""
        # Imported here: numpy comes with it, and the first questions can be asked without.
        from expert.ui.steps import question_of, taken_up

        self._now = self._consultant.consult(state)
        self._tell_verdict(self._now)
        if self._before is not None:
            known = [doubt.check for doubt in self._before.doubtful]
            self._tell(*show.change(self._before, self._now), *show.doubts(self._now, known))
            self._before = None
        if wanted is None:
            return question_of(self._now, self._now.step)
        return taken_up(self._consultant.consult, self._now, wanted.check)

    def _tell_verdict(self, consultation: Consultation) -> None:
        """The verdict on top, with its reasons when they are new."""
        verdict, last = consultation.verdict, self._verdict
        self._verdict = verdict
        self._tell(*show.banner(verdict, brief=last is not None and show.alike(verdict, last)))
        if verdict.drive == "ok" and last is not None and last.drive != "ok":
            self._tell(Paragraph("Nothing that is known speaks against driving gently any more."))

    def _closed(self, cause: str) -> Question:
        """A case whose cause was found before."""

        def refuse() -> Event:
            raise UsageError("This case is closed. Type reopen, or leave.")

        return Question(
            prompt="Your answer",
            ask="This case is closed. Shall we open it again?",
            expected=Expected({REOPEN: "The trouble is back, or was never gone"}),
            hear=lambda typed: Undone(),
            unknown=refuse,
            skip=refuse,
            how=lambda: [
                Paragraph("Reopen takes back that the trouble is gone; nothing else changes.")
            ],
            why=lambda: [Paragraph("A second fault can hide behind the first.")],
            intro=tuple(show_case.closed(self._knowledge, cause)),
            hints=("or: leave, status, help",),
        )

    # One line.

    def _outcome(self, question: Question) -> Event | TakeUp | None:
        """Read lines until one of them answers the question, or leads elsewhere (None)."""
        while True:
            try:
                typed = read(
                    self._talker.ask(question.prompt, question.expected.words()), question.expected
                )
                if not isinstance(typed, Command):
                    return question.hear(typed)
                if typed.name == "unknown":
                    return question.unknown()
                if typed.name == "skip":
                    return question.skip()
                if self._command(question, typed):
                    return None
            except Cancelled:
                self._tell(
                    Paragraph("Line dropped. Go on, or press Ctrl-C again to save and leave.")
                )
            except UsageError as error:
                self._tell(Paragraph(str(error)))

    def _command(self, question: Question, command: Command) -> bool:
        """Obey a command; True when the dialogue goes on with another question."""
        if command.name == "leave":
            raise Leave
        moves: Mapping[str, Callable[[], bool]] = {
            "back": self._back,
            "spring": lambda: self._pressure(command),
            "target": lambda: self._pressure(command),
            "take": lambda: self._take(command.rest),
            "no-tool": lambda: self._no_tool(question, command.rest),
            "log": lambda: self._log(command.rest),
        }
        if command.name == "note":
            self._note(command.rest)
            return False
        if command.name in moves:
            return moves[command.name]()
        looks: Mapping[str, Callable[[], list[Block]]] = {
            "help": lambda: _help(question.expected),
            "how": question.how,
            "why": question.why,
            "what-if": lambda: self._what_if(question, command.rest),
            "checks": lambda: self._other_checks(question),
            "ranking": self._ranking,
            "status": self._status,
            "hoses": self._hoses,
        }
        self._tell(*looks[command.name](), *question.short())
        return False

    def _back(self) -> bool:
        """Take the last step back, if there is one."""
        steps = [event for event in effective(self._journal.events) if isinstance(event, STEPS)]
        if not steps:
            self._tell(Paragraph("There is nothing to take back yet."))
            return False
        self._journal.append(Undone())
        self._before = None
        self._tell(Paragraph(f"Taken back. {show_case.told(self._knowledge, steps[-1])}"))
        return True

    def _pressure(self, command: Command) -> bool:
        """The spring or the target, told in the middle of something else."""
        question = intake.spring() if command.name == "spring" else intake.target()
        if not command.rest:
            self._detour = question
            return True
        typed = read(command.rest, question.expected)
        unknown = isinstance(typed, Command) and typed.name == "unknown"
        event = question.unknown() if unknown else question.hear(typed)
        if not isinstance(event, TakeUp):
            self._keep(event)
        return True

    def _take(self, name: str) -> bool:
        """Go to another check, or do one again."""
        consultation = self._consultation()
        if consultation is None:
            raise UsageError("Checks begin once setup and complaint are told.")
        if not name:
            raise UsageError("Type take and the name of a check; checks lists the best of them.")
        parts = consultation.network.parts
        checks = self._knowledge.checks
        known("check", name, [one for one, check in checks.items() if check.fits(parts)])
        self._detour = TakeUp(name)
        return True

    def _no_tool(self, question: Question, name: str) -> bool:
        """Set every check aside that takes a tool which the owner lacks."""
        check = self._knowledge.checks.get(question.check or "")
        tools = check.tools if check else ()
        if not tools:
            raise UsageError("This takes no tool. Type skip to go on without it.")
        if not name and len(tools) > 1:
            raise UsageError(f"Which tool do you lack? Type no-tool and {joined(tools, 'or')}.")
        tool = name or tools[0]
        known("tool", tool, tools)
        self._keep(Lacks(tool))
        return True

    def _log(self, name: str) -> bool:
        """Read a log now, or as soon as the car is known."""
        if not name:
            raise UsageError("Type log and the name of the file: log pull.csv.")
        path = Path(name).expanduser()
        if not path.exists():
            raise UsageError(f"{clean(name)}: there is no such file.")
        self._waiting.append(path)
        if self._missing() is not None:
            self._tell(
                Paragraph(f"{clean(name)} is read as soon as it is known what it is judged by.")
            )
        return True

    def _note(self, text: str) -> None:
        """Keep a remark; the question stands."""
        if not text:
            raise UsageError("Type note and the remark that you want to keep with the case.")
        self._keep(Noted(text))

    def _what_if(self, question: Question, rest: str) -> list[Block]:
        """What an answer to the check that is asked would change."""
        from expert.ui.show_choice import what_if

        consultation = self._consultation()
        if consultation is None or question.check is None:
            raise UsageError("What-if works at a check: what-if and the number of an answer.")
        typed = read(rest, question.expected)
        event = question.hear(typed) if not isinstance(typed, Command) else None
        if not isinstance(event, Answered):
            raise UsageError("Type what-if and the number or word of an answer.")
        after = self._consultant.consult(advanced(consultation.state, event))
        return what_if(consultation, after, show_case.told(self._knowledge, event))

    def _other_checks(self, question: Question) -> list[Block]:
        from expert.ui.show_choice import other_checks

        consultation = self._consultation()
        if consultation is None:
            return [Paragraph("Checks begin once setup and complaint are told.")]
        return other_checks(consultation, question.check)

    def _ranking(self) -> list[Block]:
        consultation = self._consultation()
        if consultation is None:
            return [Paragraph("There is nothing to rank before setup and complaint are told.")]
        return show.ranking(consultation)

    def _status(self) -> list[Block]:
        known = show_case.status(self._knowledge, self._state())
        return [*known, *self._more_status()]

    def _more_status(self) -> list[Block]:
        consultation = self._consultation()
        if consultation is None:
            return []
        blocks = show.banner(consultation.verdict)
        blocks += show.doubts(consultation, ())
        if not consultation.gate.allowed:
            blocks.append(Steps("No full-throttle run yet", consultation.gate.because))
        return [*blocks, *show_case.case_place(self._journal.path)]

    def _consultation(self) -> Consultation | None:
        state = self._state()
        return self._consultant.consult(state) if consultable(state, self._knowledge) else None

    def _hoses(self) -> list[Block]:
        state = self._state()
        if state.setup is None or gate_missing(self._knowledge, state.setup, state.gate):
            return [Paragraph("The hoses can be shown once the setup is known.")]
        parts = parts_of(self._knowledge, state.setup, state.gate, state.bypass)
        return show_case.hoses(self._knowledge, state, parts, full=True)

    def _tell(self, *blocks: Block) -> None:
        for block in blocks:
            self._talker.tell(block)


def _help(expected: Expected) -> list[Block]:
    words = [
        f"{':' if name in expected.answers else ''}{name}: {meaning}"
        for name, meaning in COMMANDS.items()
    ]
    return [
        Paragraph(how_to_answer(expected)),
        Steps("Words that work at every question", tuple(words)),
        Paragraph("Ctrl-C drops the line, twice saves and leaves; Ctrl-D saves and leaves."),
    ]
