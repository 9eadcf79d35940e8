"""gatepost mail: triage of messages. It never sends anything; each part imports what it needs."""

from __future__ import annotations

import json
import sys

from expert.asked import knowledge_of

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator
    from pathlib import Path

    from expert.case.events import Event
    from expert.desk.threads import Cases
    from expert.desk.triage import Triage
    from expert.evidence.mail.lexicon import Lexicon
    from expert.export.reply import Shop
    from expert.model import Knowledge

DONE = 0
SHOW = "show"
CORRECT = "correct"
_CORRECTING = ("setup", "gate", "bypass", "symptom", "spring", "target", "answer", "drop")


def mail(options: argparse.Namespace) -> int:
    """Triage a mailbox, show one message, or set one right."""
    action, number, paths = _asked(options)
    _refuse_idle(options, action)
    knowledge = knowledge_of(options)
    shop = _shop(options.shop)
    cases = _cases(options, knowledge)
    lexicon = _lexicon(options, knowledge)
    triages = _triages(paths, knowledge, lexicon, cases, one_by_one=bool(action))
    if action:
        triage = _find(triages, number)
        if action == CORRECT:
            triage = _corrected(triage, options, knowledge, cases)
        return _show(triage, options, knowledge, shop)
    if options.json:
        return _print_json(triages, options, knowledge, shop)
    return _queue(triages, options, knowledge, shop)


def _asked(options: argparse.Namespace) -> tuple[str, int, list[str]]:
    """The action with its number, and the paths. Raises UsageError."""
    from expert.errors import UsageError
    from expert.text import clean

    words: list[str] = options.path
    if words[0] not in {SHOW, CORRECT}:
        return "", 0, words
    if len(words) < 3 or not (words[1].isascii() and words[1].isdigit()):
        found = f"; found {clean(words[1], 40)!r}" if len(words) > 1 else ""
        raise UsageError(
            f"Name the number of the message, then where it is: "
            f"gatepost mail {words[0]} NUMBER PATH{found}. "
            f"A file that is called {words[0]} is ./{words[0]}."
        )
    return words[0], int(words[1][:9]), words[2:]


def _refuse_idle(options: argparse.Namespace, action: str) -> None:
    """Raise UsageError for an option that would be passed over in silence."""
    from expert.errors import UsageError

    given = [name for name in _CORRECTING if getattr(options, name) is not None]
    if given and action != CORRECT:
        raise UsageError(f"--{given[0]} is for gatepost mail correct NUMBER PATH --cases DIR.")
    if action == CORRECT and not given:
        raise UsageError("Say what to correct: --symptom, --answer, --drop and so on.")
    if action == CORRECT and options.cases is None:
        raise UsageError("A correction is kept in a case: name the folder with --cases DIR.")
    if options.csv and (options.json or action):
        raise UsageError("--csv prints a queue; leave out --json, show and correct.")
    if (options.out or options.format or options.shop) and not options.draft:
        raise UsageError("--out, --format and --shop belong to --draft.")
    if options.format and not options.out:
        raise UsageError("--format is for files: name their folder with --out DIR.")
    if options.draft and not options.out and (options.json or options.csv):
        raise UsageError("Drafts beside --json or --csv go into files: add --out DIR.")


def _cases(options: argparse.Namespace, knowledge: Knowledge) -> Cases:
    from expert.desk.threads import FolderCases, MemoryCases

    if options.cases is None:
        return MemoryCases()
    return FolderCases(options.cases, knowledge.digest, _warn)


def _warn(message: str) -> None:
    sys.stderr.write(f"gatepost: {message}\n")


def _lexicon(options: argparse.Namespace, knowledge: Knowledge) -> Lexicon:
    """Phrases, and the sentences and letters that were heard. Raises KnowledgeError."""
    from expert.asked import folders_of
    from expert.evidence.mail.lexicon import Lexicon
    from expert.mail_heard import kin_of

    return Lexicon(knowledge, kin_of(folders_of(options), knowledge))


def _triages(
    paths: list[str], knowledge: Knowledge, lexicon: Lexicon, cases: Cases, *, one_by_one: bool
) -> Iterator[Triage]:
    """Every message with what it amounts to, in the order of the mailbox.

    One by one, no message is taken in after the last that is asked for.
    """
    import gc

    from expert.desk.ahead import ahead
    from expert.desk.threads import Threads
    from expert.desk.triage import Desk
    from expert.evidence.mail.reader import read_all

    threads = Threads(cases, knowledge, lexicon)
    desk = Desk(knowledge)
    # All of this lives as long as the run; no need to look through it for garbage again and again.
    gc.freeze()
    messages = read_all(paths, lexicon)
    for read in messages if one_by_one else ahead(messages):
        taken = threads.take(read)
        yield desk.triage(
            taken.message, taken.events or None, taken.case, taken.news, taken.logs.logs
        )


def _print_json(
    triages: Iterator[Triage], options: argparse.Namespace, knowledge: Knowledge, shop: Shop
) -> int:
    """One object, written message by message, so that a mailbox of any size needs little memory."""
    from expert.desk.report import message_report

    first = next(triages, None)
    sys.stdout.write('{"format": 1, "messages": [')
    mark = "\n"
    while first is not None:
        sys.stdout.write(mark + json.dumps(message_report(first), ensure_ascii=False))
        mark = ",\n"
        _draft_file(first, options, knowledge, shop)
        first = next(triages, None)
    sys.stdout.write("\n]}\n")
    return DONE


def _queue(
    triages: Iterator[Triage], options: argparse.Namespace, knowledge: Knowledge, shop: Shop
) -> int:
    from expert.desk.queue import csv_of, in_order, row_of
    from expert.output import tell
    from expert.ui.show_mail import queue_blocks

    rows = []
    drafts: list[tuple[int, str]] = []
    for triage in triages:
        rows.append(row_of(triage, knowledge))
        if options.draft and not options.out and _answerable(triage):
            drafts.append((triage.read.number, _draft(triage, knowledge, shop)))
        _draft_file(triage, options, knowledge, shop)
    rows = in_order(rows)
    if options.csv:
        sys.stdout.write(csv_of(rows))
        return DONE
    code = tell(queue_blocks(rows), options.no_color)
    for number, text in drafts:
        sys.stdout.write(f"\n=== Draft for message {number} ===\n\n{text}")
    return code


def _show(triage: Triage, options: argparse.Namespace, knowledge: Knowledge, shop: Shop) -> int:
    """Show one message with what it amounts to, and its draft where one is asked for."""
    code = DONE
    if options.json:
        from expert.desk.report import message_report
        from expert.output import print_json

        print_json({"format": 1, "messages": [message_report(triage)]})
    else:
        from expert.output import tell
        from expert.ui.show_mail import message_blocks

        code = tell(message_blocks(triage, knowledge), options.no_color)
        if options.draft and not options.out and _answerable(triage):
            text = _draft(triage, knowledge, shop)
            sys.stdout.write(f"\n=== Draft for message {triage.read.number} ===\n\n{text}")
    _draft_file(triage, options, knowledge, shop)
    return code


def _find(triages: Iterator[Triage], number: int) -> Triage:
    from expert.errors import UsageError

    last = 0
    for triage in triages:
        last = triage.read.number
        if last == number:
            return triage
    raise UsageError(f"There is no message {number}; the last one is {last}.")


def _corrected(
    triage: Triage, options: argparse.Namespace, knowledge: Knowledge, cases: Cases
) -> Triage:
    """The message with its case set right, and the case goes on from there."""
    from expert.case.prefill import events_from
    from expert.desk.correct import corrections
    from expert.desk.threads import about_a_car, identity, noted, set_right, settled
    from expert.desk.triage import Desk
    from expert.errors import UsageError

    mail = triage.read.mail
    if mail is None:
        raise UsageError(
            f"Message {triage.read.number} is broken and belongs to no case, "
            "so there is nothing to correct."
        )
    # What was taken for unrelated begins its case here.
    case = triage.case or cases.name(identity(mail))
    before = cases.events(case)
    setup = options.setup or triage.state.setup
    said: list[Event] = events_from(
        knowledge,
        setup=setup,
        gate=options.gate or (triage.state.gate if setup == triage.state.setup else None),
        bypass=options.bypass or triage.state.bypass,
        symptoms=options.symptom or [],
        spring=options.spring,
        target=options.target,
        answers=options.answer or [],
    )
    made = [*corrections(before, said, options.drop or []), set_right(mail)]
    cases.append(case, made if triage.case else [*made, noted(mail)])
    events = cases.events(case)
    return Desk(knowledge).triage(settled(about_a_car(triage.read), events), events, case)


def _shop(path: Path | None) -> Shop:
    from expert.errors import MissingError
    from expert.export.reply import Shop, read_shop
    from expert.text import clean

    if path is None:
        return Shop()
    try:
        with path.open("rb") as file:
            return read_shop(file.read(20_000).decode("utf-8", "replace"))
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise MissingError(f"{clean(str(path))}: cannot be read: {reason}.") from None


def _answerable(triage: Triage) -> bool:
    return triage.kind in {"complaint", "vague"} and triage.read.mail is not None


def _draft(triage: Triage, knowledge: Knowledge, shop: Shop) -> str:
    from expert.desk.answer import letter_of
    from expert.export.reply import draft

    return draft(letter_of(triage, knowledge, shop), knowledge)


def _draft_file(
    triage: Triage, options: argparse.Namespace, knowledge: Knowledge, shop: Shop
) -> None:
    """Write the draft into the chosen folder, under a name that no message decides."""
    if not options.draft or not options.out or not _answerable(triage):
        return
    from expert.desk.threads import draft_id, identity
    from expert.export.files import write_whole
    from expert.export.reply_eml import eml

    text = _draft(triage, knowledge, shop)
    mail = triage.read.mail
    assert mail is not None  # as _answerable has it
    if options.format == "text":
        name, data = f"reply-{triage.read.number:05d}.txt", text.encode("utf-8")
    else:
        name = f"reply-{triage.read.number:05d}.eml"
        data = eml(
            text,
            to=mail.reply_to or mail.sender,
            subject=mail.subject,
            own_id=draft_id(identity(mail)),
            message_id=mail.message_id,
            references=mail.references,
        )
    write_whole(options.out / name, data)
