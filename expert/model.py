"""The knowledge as plain frozen data.

What a tuner writes in the files under ``knowledge/`` is decoded into these classes by
``expert.loading``, which reads the field types and the descriptions below; the JSON Schema for
editors is generated from the same fields. Positions in files live beside the model, not in it.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from typing import Annotated, Any, Final, Literal

# Words for probabilities. Sources: S. Kent, "Words of Estimative Probability" (1964) for
# almost-certain .93, probable .75, fifty-fifty .50, probably-not .30 and almost-certainly-not
# .07; S. Renooij and C. Witteman, "Talking probabilities" (1999) for improbable .15. The two ends
# stand a hundredth away from 1 and 0, since no answer in a garage is beyond doubt.
PROBABILITY_WORDS: Final[Mapping[str, float]] = {
    "certain": 0.99,
    "almost-certain": 0.93,
    "probable": 0.75,
    "fifty-fifty": 0.50,
    "probably-not": 0.30,
    "improbable": 0.15,
    "almost-certainly-not": 0.07,
    "impossible": 0.01,
}


@dataclass(frozen=True, slots=True)
class Ref:
    """Marks a text field that must be an id of the named kind."""

    kind: str


@dataclass(frozen=True, slots=True)
class Form:
    """Marks a text or number field that has a form of its own."""

    name: str


Prose = Annotated[str, Form("prose")]
Phrase = Annotated[str, Form("phrase")]
Name = Annotated[str, Form("name")]
Count = Annotated[int, Form("count")]
Probability = Annotated[float, Form("probability")]
Positive = Annotated[float, Form("positive")]
Signed = Annotated[float, Form("signed")]
Id = Annotated[str, Form("id")]
Answers = Annotated[tuple[str, ...], Form("answers")]
Port = Annotated[str, Form("port")]
Feature = Annotated[str, Form("feature")]
Threshold = Annotated[Literal["overboost-margin"] | float, Form("threshold")]
PartRef = Annotated[str, Ref("part")]
CauseRef = Annotated[str, Ref("cause")]
CheckRef = Annotated[str, Ref("check")]
CautionRef = Annotated[str, Ref("caution")]
PreparationRef = Annotated[str, Ref("preparation")]
ToolRef = Annotated[str, Ref("tool")]
SetupRef = Annotated[str, Ref("setup")]
BypassRef = Annotated[str, Ref("bypass")]
SymptomRef = Annotated[str, Ref("symptom")]
CaseRef = Annotated[str, Ref("case")]

Signal = Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]
Danger = Literal["none", "caution", "stop"]
Harm = Literal["overpressure", "mechanical"]
Frequency = Literal["common", "occasional", "rare"]
Weight = Annotated[Frequency | float, Form("weight")]
PartsCost = Literal["none", "low", "medium", "high", "very-high"]
Kind = Literal["graded", "two-sided", "nominal", "history"]
Gate = Literal["internal", "external"]
Drive = Literal["ok", "caution", "stop"]
Rest = Literal["unknown", "sound"]
# fmt: off
Quantity = Literal[
    "time", "rotation", "pressure", "share", "speed", "temperature", "mixture", "number", "any"
]
LogUnit = Literal[
    "s", "ms", "rpm", "kPa", "mbar", "bar", "psi", "%", "0-1", "deg", "km/h", "mph", "m/s",
    "C", "F", "K", "lambda", "AFR",
]
# fmt: on

# What `expert.evidence.log.features` measures in a log, by the names that readings use, and in
# words. Pressures are kPa above outside air; of a question 1 means yes and 0 no.
FEATURES: Final[Mapping[str, str]] = {
    "peak-boost-kpa": "the highest boost",
    "boost-at-zero-duty-kpa": "boost at the lowest setting",
    "boost-over-spring-kpa": "boost at the lowest setting, above the spring",
    "steady-boost-kpa": "steady boost with the most duty",
    "steady-over-spring-kpa": "steady boost with the most duty, above the spring",
    "boost-end-over-spring-kpa": (
        "boost at the end of a pull at the lowest setting, above the spring"
    ),
    "boost-end-at-zero-duty-kpa": "boost at the end of a pull at the lowest setting",
    "boost-of-spring-pct": "boost at the lowest setting, in percent of the spring",
    "rises-at-end-pct": "the rate of boost at that end, in percent of its fastest rise",
    "slows-to-pct": "the slowest rise of boost from near the spring on, in percent of its fastest",
    "steady-duty-pct": "the duty at that boost",
    "onset-rpm": "the rpm at which 80 % of steady boost is there",
    "near-spring-rpm": "the rpm at which boost is near the spring, at the lowest setting",
    "onset-at-zero-duty-rpm": "the rpm at which boost comes, at the lowest setting",
    "overshoot-pct": "the peak above steady boost, in percent of it",
    "overshoot-kpa": "the peak above steady boost",
    "settling-s": "the time until boost settles",
    "hunting-period-s": "the time from swing to swing",
    "hunting-kpa": "the size of the swings, from top to bottom",
    "hunting-at-one-duty-kpa": "the size of the swings while duty stands still",
    "duty-leads-s": "the time by which duty moves before boost",
    "creep-kpa-per-1000rpm": "the rise of boost with rpm, at one duty",
    "creep-kpa": "the rise of boost at one duty, from where it settled to the end",
    "falls-kpa": "the fall of boost towards high rpm",
    "falls-pct": "the fall of boost towards high rpm, in percent of steady boost",
    "duty-response-kpa-per-10pct": "what boost gains for 10 % of duty",
    "target-kpa": "the boost target",
    "steady-under-told-kpa": "steady boost with the most duty, below the target that was told",
    "target-below-told-kpa": "the target of the log, below the one that was told",
    "boost-under-target-kpa": "boost below its target",
    "boost-over-target-kpa": "boost above its target",
    "swings-over-target-kpa": "how far swings of boost get past the target",
    "cut-over-target-kpa": "boost above its target when the throttle closed",
    "throttle-closed": "throttle closed with the pedal flat",
    "throttle-least-pct": "the least throttle with the pedal flat",
    "throttle-most-pct": "the most throttle with the pedal flat",
    "throttle-closed-at-kpa": "boost when the throttle closed",
    "duty-max-pct": "the highest duty",
    "duty-at-stop": "duty at its stop while boost is under its target",
    "key-on-off-kpa": "what the boost sensor is off by, engine off",
    "idle-vacuum-kpa": "vacuum at idle",
    "cut-flat-s": "the time for which the top of boost stands at one number",
    "slip-pct": "the rise of rpm over road speed",
    "gears-spread-kpa": "boost in the highest gear above that in the lowest",
    "surge-kpa": "quick ripples of boost at full throttle",
    "flutter-kpa": "quick ripples of boost after a lift",
    "intake-coldest-c": "the coldest intake air of the log",
    "mixture-lambda": "the usual lambda at full throttle",
    "mixture-leanest-lambda": "the leanest lambda at full throttle",
    "knock-most": "the most knock at full throttle, as the log counts it",
}

# The gates that a setup may leave open, by the word for each, and the part that each is.
GATES: Final = {"internal": "internal-gate", "external": "external-gate"}
DANGERS: Final[tuple[Danger, ...]] = ("none", "caution", "stop")


def explained(description: str, **extra: Any) -> Any:
    """A dataclass field with the description that editors show for it."""
    return field(metadata={"description": description}, **extra)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """A tool that a check may take."""

    title: Prose = explained("The tool as one would ask for it across the garage.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A caution with its signal word."""

    signal: Signal = explained("Signal word of ANSI Z535: DANGER, WARNING, CAUTION or NOTICE.")
    text: Prose = explained("What can happen and how to avoid it, in one or two sentences.")
    basis: Prose = explained("Where this comes from: a citation, or 'common practice'.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Preparation:
    """Work that several checks share and that a case pays once."""

    title: Prose = explained("Work that several checks share, as an instruction.")
    minutes: Positive = explained("Minutes it takes, paid once in a case.")
    cautions: tuple[CautionRef, ...] = explained("Cautions to show before the work.", default=())
    basis: Prose = explained("Where this comes from.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part of the car, with the ports that hoses go on."""

    title: Prose = explained("The part in plain words, with a small letter.")
    what: Prose = explained("What it does, in a sentence or two.")
    ports: Mapping[Id, Prose] = explained("Port id -> how to recognise it.", default_factory=dict)
    says: tuple[Phrase, ...] = explained("What customers call it in a message.", default=())
    basis: Prose = explained("Where this comes from.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Hose:
    """One hose of a layout, between two ports."""

    # `from` is a Python keyword, so the file key carries no underscore and the field does.
    from_: Port = explained("part.port at one end.")
    to: Port = explained("part.port at the other end.")
    why: Prose = explained("Why this hose is there, for the person who fits it.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Plumbing:
    """A setup, or a bypass layout: parts, the hoses between their ports, open and capped ports."""

    title: Prose = explained("The layout in plain words.")
    what: Prose = explained("How it works, at rest and driven.")
    parts: tuple[PartRef, ...] = explained("Parts that a car plumbed like this has.")
    gates: tuple[PartRef, ...] = explained(
        "Gates to choose from with --gate, when the setup does not fix one.", default=()
    )
    hoses: Mapping[Id, Hose] = explained("Hose id -> its two ends.", default_factory=dict)
    open: tuple[Port, ...] = explained("Ports that must stay open to the air.", default=())
    capped: tuple[Port, ...] = explained("Ports that must be capped.", default=())
    basis: Prose = explained("Where this comes from.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """How often a cause is met, by the history of the car."""

    just_fitted: Weight = explained("How often on a car whose parts were just fitted.")
    settled: Weight = explained("How often on a car that ran well before.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """One thing that is wrong, with one mechanism."""

    title: Prose = explained("The fault in a few words, as one would say it at the bench.")
    what: Prose = explained("What is wrong and what it does to boost, in one to three sentences.")
    needs: tuple[PartRef, ...] = explained("Parts the car must have.", default=())
    work: tuple[Id, ...] = explained(
        "Areas of work that can bring it in: answers of the check worked-on.", default=()
    )
    seen: Seen = explained("How often it is met: common, occasional, rare, or a weight.")
    danger: Danger = explained("none, caution, or stop: may the car be driven with it?")
    harm: Harm | None = explained(
        "For a stop cause: overpressure (boost without a limit) or mechanical.", default=None
    )
    shown_by: Mapping[CheckRef, tuple[Id, ...]] = explained(
        "For as-designed causes only: check -> answers, one of which must have been seen.",
        default_factory=dict,
    )
    confirm: Prose = explained("How to be sure, before buying or changing anything.")
    fix: Prose = explained("What to do about it.")
    cautions: tuple[CautionRef, ...] = explained("Cautions for confirming and fixing.", default=())
    minutes: Positive = explained("Minutes that the repair takes.")
    parts: PartsCost = explained("What the parts cost: none, low, medium, high or very-high.")
    says: tuple[Phrase, ...] = explained("How customers name it in a message.", default=())
    excused: Mapping[Id, Prose] = explained(
        "Rule of `knowledge check` or `knowledge gaps` -> why this entry need not keep it.",
        default_factory=dict,
    )
    basis: Prose = explained("Where this comes from: a citation, or 'common practice'.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """Turns a number with a unit into an answer: bins of the number or of its distance."""

    unit: Literal["kPa", "percent"] = explained("Unit of the edges: kPa, or percent of `against`.")
    against: Literal["spring", "nothing"] = explained("What is subtracted before binning.")
    up_to: Mapping[Id, Signed] = explained("Answer -> upper edge of its bin, rising.")
    above: Id = explained("The answer for every larger number.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """Something to look at, feel, measure or log, with a fixed list of answers."""

    ask: Prose = explained("The question, so that the answers fit it.")
    how: tuple[Prose, ...] = explained("How to do it, one step a line.", default=())
    kind: Kind = explained(
        "graded (worst fault wins), two-sided, nominal (several flags) or history.",
        default="graded",
    )
    several: bool = explained(
        "History: may several answers be given? (A nominal check always may.)", default=False
    )
    low: tuple[Id, ...] = explained("Two-sided: low answers, mildest first.", default=())
    high: tuple[Id, ...] = explained("Two-sided: high answers, mildest first.", default=())
    both: Mapping[Id, Probability] = explained(
        "Two-sided: what is read when a low and a high fault are both there; sums to 1.",
        default_factory=dict,
    )
    needs: tuple[PartRef, ...] = explained("Parts the car must have.", default=())
    prepare: tuple[PreparationRef, ...] = explained("Work to do first.", default=())
    tools: tuple[ToolRef, ...] = explained("Tools it takes.", default=())
    minutes: Positive = explained("Minutes for the check itself.")
    cautions: tuple[CautionRef, ...] = explained("Cautions to show first.", default=())
    loads_engine: bool = explained("Does it need the engine under load?", default=False)
    records_boost: bool = explained("Is its answer a reading of boost?", default=False)
    answers: Mapping[Id, Prose] = explained(
        "Answer id -> what it looks like; healthy first, worst last (two-sided: low to high)."
    )
    danger: Mapping[Id, Danger] = explained(
        "Answers that are dangerous by themselves.", default_factory=dict
    )
    hands_off: tuple[Id, ...] = explained(
        "Answers after which nobody but a workshop may work on the car.", default=()
    )
    healthy: Mapping[Id, Probability] = explained(
        "How often a sound car gives this answer all the same.", default_factory=dict
    )
    given: Mapping[CauseRef, Mapping[Id, Probability]] = explained(
        "Cause -> answer -> share of the cars with it that answer so; the rest is healthy.",
        default_factory=dict,
    )
    measure: Measure | None = explained("How a number becomes an answer.", default=None)
    says: Mapping[Id, tuple[Phrase, ...]] = explained(
        "Answer -> how customers give it in a message.", default_factory=dict
    )
    send: tuple[Prose, ...] = explained(
        "What a customer is asked to send for it: log channels, photos, a reading with its unit.",
        default=(),
    )
    excused: Mapping[Id, Prose] = explained(
        "Rule of `knowledge check` or `knowledge gaps` -> why this entry need not keep it.",
        default_factory=dict,
    )
    basis: Prose = explained("Where this comes from: a citation, or 'common practice'.")

    def fits(self, parts: Collection[str]) -> bool:
        """Can it be done on a car with these parts?"""
        return all(part in parts for part in self.needs)

    def answers_for(self, causes: Collection[str]) -> dict[str, str]:
        """The answers to offer for a car that can have these causes.

        A flag of a nominal check is left out where only causes of other cars show it; a flag that
        no cause shows stays.
        """
        if self.kind != "nominal":
            return dict(self.answers)
        elsewhere = {
            answer for cause, row in self.given.items() if cause not in causes for answer in row
        }
        here = {answer for cause in causes for answer in self.given.get(cause, {})}
        hidden = elsewhere - here
        return {answer: text for answer, text in self.answers.items() if answer not in hidden}

    def takes_several(self) -> bool:
        """May more than one answer be given at once?"""
        return self.several or self.kind == "nominal"

    def sound_answer(self) -> str:
        """The answer of a healthy car: the first, or the middle of a two-sided check."""
        unsound = {*self.low, *self.high}
        return next(answer for answer in self.answers if answer not in unsound)


@dataclass(frozen=True, slots=True)
class Ask:
    """A tree node that asks a check and branches on its answer."""

    check: CheckRef
    then: Mapping[str, Tree]


@dataclass(frozen=True, slots=True)
class Fork:
    """A tree node that branches on a part the car has, without asking."""

    has: Mapping[str, Tree]


@dataclass(frozen=True, slots=True)
class Suspect:
    """A leaf: the causes that a technician would now confirm, likeliest first."""

    suspect: tuple[CauseRef, ...]


@dataclass(frozen=True, slots=True)
class Go:
    """A reference to a subtree of the same symptom."""

    subtree: str


Tree = Ask | Fork | Suspect | Go

OTHERWISE: Final = "otherwise"
UNKNOWN: Final = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Symptom:
    """A complaint, the causes that show it, and the order in which to check."""

    title: Prose = explained("The complaint as a customer would put it.")
    what: Prose = explained("How to recognise it, and what it is not.")
    danger: Danger = explained("none, caution or stop, for the complaint by itself.")
    causes: Mapping[CauseRef, Probability] = explained(
        "Cause -> how often a car with it shows this symptom."
    )
    tree: Tree = explained("The order in which a technician would check.")
    subtrees: Mapping[Id, Tree] = explained("Named parts of the tree.", default_factory=dict)
    says: tuple[Phrase, ...] = explained("How customers complain of it in a message.", default=())
    excused: Mapping[Id, Prose] = explained(
        "Rule of `knowledge check` or `knowledge gaps` -> why this entry need not keep it.",
        default_factory=dict,
    )
    basis: Prose = explained("Where this comes from.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One number for each of two histories of a car."""

    just_fitted: Probability = explained("When parts have just been fitted.")
    settled: Probability = explained("When the car ran well before.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """How often an answer is simply wrong, by where it came from."""

    asked: Probability = explained("Answered at the car.")
    log: Probability = explained("Measured from a log.")
    mail: Probability = explained("Claimed in a message.")
    hookup: Probability = explained("Derived from a plumbing check.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Policy:
    """Every number that steers the reasoning and belongs to no single entry."""

    frequency: Mapping[Frequency, Positive] = explained("Relative weight of each word in `seen`.")
    second_fault: Column = explained("Prior probability that a listed second fault is there too.")
    unlisted: Probability = explained("Prior of a cause that the knowledge does not hold.")
    unlisted_shows: Probability = explained("How often such a cause shows the complaint.")
    slip: Slip = explained("How often an answer is simply wrong.")
    symptom_leak: Probability = explained("How often a symptom appears without a listed cause.")
    conclude: Probability = explained("A cause this likely is named as the likely cause.")
    stop: Probability = explained("P(any stop cause) from which the car must not be driven.")
    gate: Probability = explained("P(unlimited boost) below which a loaded run may be offered.")
    doubtful: Probability = explained("A finding less likely than this under the best story.")
    notable: Probability = explained("P(cause) from which its caution reaches the verdict.")
    overboost_margin_kpa: Positive = explained("Boost above the spring that means stop, kPa.")
    parts_minutes: Mapping[PartsCost, Annotated[float, Form("nonnegative")]] = explained(
        "What parts of each price class weigh, in minutes of work."
    )
    shake: Positive = explained(
        "Spread of the noise, in log-odds, by which every probability is shaken to see how firm "
        "a ranking is."
    )
    workshop_minutes: Positive = explained("What a workshop visit weighs, in minutes.")
    basis: Prose = explained("Where these numbers come from.")

    def weight(self, seen: Frequency | float) -> float:
        """The relative weight of a word in `seen`, or the weight that stands there itself."""
        return self.frequency[seen] if isinstance(seen, str) else seen


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """Between which numbers a measured value lies."""

    above: Threshold | None = explained(
        "It is above this number, or above `overboost-margin` of the policy.", default=None
    )
    up_to: Threshold | None = explained(
        "It is at most this number, or at most `overboost-margin` of the policy.", default=None
    )

    def edges(self, margin_kpa: float) -> tuple[float | None, float | None]:
        """Both bounds as numbers, given the margin of the policy; None where there is none."""

        def number(bound: Threshold | None) -> float | None:
            return margin_kpa if isinstance(bound, str) else bound

        return number(self.above), number(self.up_to)


@dataclass(frozen=True, slots=True, kw_only=True)
class LogReading:
    """What a log shows when the values measured in it lie within bounds."""

    check: CheckRef | None = explained("The check that it answers.", default=None)
    answer: Id | None = explained("The answer to that check.", default=None)
    symptom: SymptomRef | None = explained("Or the symptom that it shows.", default=None)
    needs: tuple[PartRef, ...] = explained("Parts the car must have.", default=())
    when: Mapping[Feature, Bounds] = explained(
        "Measured value -> its bounds; all must hold, and all must have been measured."
    )
    if_measured: Mapping[Feature, Bounds] = explained(
        "The same for values that may be missing; where they were measured, they must hold.",
        default_factory=dict,
    )
    basis: Prose = explained("Where this comes from: a citation, or 'common practice'.")


@dataclass(frozen=True, slots=True, kw_only=True)
class LogChannel:
    """Something that a logger writes a column of, and how to know that column."""

    title: Prose = explained("What the column holds, with a small letter.")
    quantity: Quantity = explained(
        "What it measures, which its unit must fit; any where units do not matter."
    )
    names: tuple[Name, ...] = explained(
        "What loggers call it, likeliest first; capitals, signs between words and their order "
        "do not matter."
    )
    beside: tuple[Name, ...] = explained(
        "Words that may stand beside a name of it and change nothing.", default=()
    )
    units: tuple[LogUnit, ...] = explained(
        "Units it may be in where the file names none, likeliest first.", default=()
    )
    least: Signed | None = explained("No sound reading is below this.", default=None)
    most: Signed | None = explained("No sound reading is above this.", default=None)
    aside: bool = explained("Is it known only so that it is not taken for another?", default=False)
    basis: Prose = explained("Where this comes from.")


@dataclass(frozen=True, slots=True, kw_only=True)
class MoreNames:
    """Names of a log channel that a folder adds to those of the folders before it."""

    also: tuple[Name, ...] = explained("What your logger calls it; these names come first.")
    basis: Prose | None = explained("Where this comes from.", default=None)

    def added_to(self, channel: LogChannel) -> LogChannel:
        """The channel with these names besides its own."""
        others = [name for name in channel.names if name not in self.also]
        return replace(channel, names=(*self.also, *others))


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What a known case must come to."""

    cause: CauseRef = explained("The cause that must be named.")
    within: Count | None = explained("At most so many checks are asked before.", default=None)
    drive: Drive | None = explained("The drive verdict at the end.", default=None)
    doubtful: tuple[CheckRef, ...] = explained(
        "Checks whose answers must be called doubtful at the end; no others may be.", default=()
    )
    never: tuple[CauseRef, ...] = explained(
        "Causes that must not be named on the way, nor be among the first three at the end.",
        default=(),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownCase:
    """The story of a car whose cause is known, to prove the knowledge by."""

    title: Prose = explained("The story in a line, as one would tell it.")
    setup: SetupRef = explained("How boost control is plumbed.")
    gate: Gate | None = explained("The gate, where the setup leaves it open.", default=None)
    bypass: BypassRef | None = explained("The bypass layout, if the car has one.", default=None)
    symptoms: tuple[SymptomRef, ...] = explained("The complaint first, then what else is seen.")
    spring_kpa: Positive | None = explained("Pressure of the gate's spring, gauge.", default=None)
    target_kpa: Positive | None = explained("Boost that is asked for, gauge.", default=None)
    answers: Mapping[CheckRef, Answers] = explained(
        "Check -> what the car answers when it is asked: an answer, a list of them, or unknown."
    )
    rest: Rest = explained(
        "What all other checks answer: unknown, or as on a sound car.", default="unknown"
    )
    expect: Expected = explained("What the case must come to.")
    unlike: CaseRef | None = explained(
        "A case that looks like this one and ends at another cause.", default=None
    )
    basis: Prose = explained("Where this comes from: invented, or whose car it was in a word.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Knowledge:
    """All of it; mappings are by id, in the order of the files."""

    policy: Policy
    tools: Mapping[str, Tool]
    cautions: Mapping[str, Caution]
    preparations: Mapping[str, Preparation]
    parts: Mapping[str, Part]
    setups: Mapping[str, Plumbing]
    bypasses: Mapping[str, Plumbing]
    causes: Mapping[str, Cause]
    checks: Mapping[str, Check]
    symptoms: Mapping[str, Symptom]
    digest: str
    channels: Mapping[str, LogChannel] = field(default_factory=dict)
    readings: Mapping[str, LogReading] = field(default_factory=dict)
