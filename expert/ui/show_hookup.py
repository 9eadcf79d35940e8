"""The hose table and the verdict on a plumbing, as blocks."""

from __future__ import annotations

from expert.evidence.hookup.layout import Layout
from expert.evidence.hookup.moves import Wrong
from expert.evidence.hookup.verdict import Verdict
from expert.evidence.hookup.words import end_words, mending_words, port_words
from expert.model import Knowledge
from expert.ui.protocol import Banner, Block, Fact, Heading, Paragraph, Steps, Table
from expert.units import shown_kpa

WORKS = "It works as it should."
UNUSUAL = (
    "It is not as the table has it, but it does the same work. Nothing needs to be moved; still, "
    "the table is what the next person will look for."
)
CAREFUL = "Mend this before you drive hard; boost will not be what you ask for."
_SHARES = ("0", "50", "100")
# What has nothing to do with the duty, though it is worked out at rest.
_ANYWHERE = ("flutter", "lazy", "spike", "hunting")
STOP = "Do not load the engine like this. Mend it before the engine runs under boost."


def hose_table(knowledge: Knowledge, layout: Layout, title: str) -> list[Block]:
    """Where every hose goes and why, and which ports are open or capped."""
    rows = [(name, hose.from_, hose.to) for name, hose in layout.hoses.items()]
    used = [port for hose in layout.hoses.values() for port in (hose.from_, hose.to)]
    blocks: list[Block] = [
        Heading(title),
        Table("Where every hose goes", ("Hose", "From", "To"), tuple(rows)),
        Steps("What for", tuple(f"{name}: {hose.why}" for name, hose in layout.hoses.items())),
    ]
    for name, ports in (("Open to the air", layout.open), ("Capped", layout.capped)):
        if ports:
            named = tuple(port_words(knowledge, port) for port in layout.ports if port in ports)
            blocks.append(Steps(name, named))
    recognised = tuple(
        f"{port}: {layout.ports[port]}"
        for port in layout.ports
        if port in {*used, *layout.open, *layout.capped}
    )
    return [*blocks, Steps("How to tell the ports", recognised)]


def verdict_blocks(
    knowledge: Knowledge, verdict: Verdict, spring_known: bool, unseen: tuple[str, ...] = ()
) -> list[Block]:
    """What was found, what it does, and the moves that mend it."""
    blocks: list[Block] = [*_banner(verdict, unseen)]
    if verdict.wrong:
        rows = [(one.port, _on(verdict, one), end_words(one.expected)) for one in verdict.wrong]
        blocks.append(Table("Not as in the table", ("Port", "Found", "Should be"), tuple(rows)))
    if moves := tuple(mending_words(knowledge, verdict)):
        blocks.append(Steps("To make it as in the table" if verdict.ok else "To mend it", moves))
    blocks.append(_sights(verdict, spring_known))
    if expected := _expected(knowledge, verdict):
        blocks.append(Steps("What to expect as it is", expected))
    if not spring_known:
        blocks.append(
            Paragraph("The spring is not known; give it with --spring to see boost in numbers.")
        )
    return blocks


def _on(verdict: Verdict, wrong: Wrong) -> str:
    if frozenset((wrong.port, wrong.found)) in verdict.found.tees:
        return f"a tee to {wrong.found}"
    return end_words(wrong.found)


def _banner(verdict: Verdict, unseen: tuple[str, ...]) -> list[Block]:
    if unseen:
        text = "Not every port was seen. Until it is, do not load the engine."
        missed = f"Not seen: {', '.join(unseen)}. What follows takes them to be right."
        return [Banner("stop", text, (*verdict.because, missed))]
    if verdict.drive == "stop":
        return [Banner("stop", STOP, verdict.because)]
    if verdict.drive == "caution":
        return [Banner("caution", CAREFUL, verdict.because)]
    return [Paragraph(UNUSUAL if verdict.unusual else WORKS, strong=True)]


def _expected(knowledge: Knowledge, verdict: Verdict) -> tuple[str, ...]:
    """Symptoms, each with where in the range it comes unless it comes everywhere."""
    pulsed, by_hand = _adjusted(verdict)
    shares: dict[str, list[str]] = {}
    for share in verdict.behaviour.boost_pa:
        for name in verdict.symptoms.get(share, ()):
            shares.setdefault(name, []).append(share)
    told = []
    for name, found in shares.items():
        if name not in knowledge.symptoms:
            continue
        title = knowledge.symptoms[name].title
        where = f" at {' and '.join(found)} %" if len(found) < len(_SHARES) else ""
        if where and (pulsed or by_hand) and name not in _ANYWHERE:
            what = "duty" if pulsed else "of the way wound in"
            title = f"{title} ({where.strip()} {what})"
        told.append(title)
    return tuple(told)


def _adjusted(verdict: Verdict) -> tuple[bool, bool]:
    """Is there a solenoid, and is there a controller by hand?"""
    parts = verdict.layout.parts
    return not parts.isdisjoint(("three-port", "four-port")), "manual-controller" in parts


def _sights(verdict: Verdict, spring_known: bool) -> Block:
    behaviour = verdict.behaviour
    pulsed, by_hand = _adjusted(verdict)
    head = "Duty" if pulsed else "Wound up by" if by_hand else "At"
    shares = _SHARES if pulsed or by_hand else ("0",)
    rows = []
    for share in shares:
        boost_pa = behaviour.boost_pa[share]
        shown = "nothing limits it" if boost_pa is None else _boost(boost_pa, spring_known, verdict)
        where = f"{share} %" if pulsed or by_hand else "any time"
        rows.append(
            (where, shown_kpa(round(behaviour.sights[share].net_pa / 1000.0, 1) + 0.0), shown)
        )
    source = shown_kpa(behaviour.source_pa / 1000.0)
    return Table(
        f"What works against the gate's spring while boost is {source}, and the boost that follows",
        (head, "Gate sees", "Boost"),
        tuple(rows),
    )


def _boost(boost_pa: float, spring_known: bool, verdict: Verdict) -> str:
    if spring_known:
        return f"about {shown_kpa(boost_pa / 1000.0)}"
    times = boost_pa / verdict.spring_pa
    return "about the spring" if 0.85 < times < 1.15 else f"about {times:.1f} times the spring"


def findings_fact(answers: list[str]) -> Block:
    """How to take the findings along."""
    return Fact("For the diagnosis", " ".join(f"--answer {answer}" for answer in answers))
