"""A picture of a log, to post or to send: boost and target over engine speed, duty below.

Drawn by matplotlib, which comes with the `images` extra and is loaded only here.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from expert.errors import MissingError, UsageError
from expert.export.files import write_whole
from expert.export.log_curves import Curve, Mark, curves
from expert.text import clean, shorten
from expert.units import KPA_PER_PSI

if TYPE_CHECKING:
    from expert.evidence.log.record import Features, LogFinding, Recording

PICTURES: Final = (".svg", ".png")
HINT: Final = "Install the images extra (pip install 'gatepost[images]'), or leave --plot out."

# Blue, vermilion and grey are told apart by every kind of colour vision; lines differ besides.
_BOOST, _TARGET, _SPRING, _DUTY, _EVIDENCE = "#0072b2", "#d55e00", "#555555", "#444444", "#f0e442"
_WIDTH_IN: Final = 9.0
_PANEL_IN: Final = 3.4
_LINE_IN: Final = 0.22
_DOTS_PER_IN: Final = 130
_LONGEST: Final = 125
_SHADE: Final = 0.22
_LETTER_POINTS: Final = 11
_MOST_MARKS: Final = 8


def picture_suffix(path: Path) -> str:
    """The format that the name of a picture asks for. Raises UsageError."""
    suffix = path.suffix.lower()
    if suffix not in PICTURES:
        raise UsageError(
            f"--plot {clean(str(path))}: the name must end in {' or '.join(PICTURES)}."
        )
    return suffix


def write_plot(
    path: Path,
    recording: Recording,
    features: Features,
    findings: Sequence[LogFinding],
    spring_kpa: float | None,
) -> None:
    """Draw a log into a file whose name says the format.

    Raises UsageError for another ending, MissingError where matplotlib is missing, the file cannot
    be written, or the log has no boost to draw.
    """
    suffix = picture_suffix(path)
    drawn = curves(recording, features, findings)
    if not drawn:
        raise MissingError(
            f"{clean(recording.file)}: no boost channel, so there is nothing to draw; name it with "
            "--channel boost=NAME:unit."
        )
    write_whole(path, picture(recording.file, drawn, spring_kpa, suffix))


def picture(name: str, drawn: Sequence[Curve], spring_kpa: float | None, suffix: str) -> bytes:
    """The picture of some curves, the same bytes for the same curves. Raises MissingError."""
    try:
        import matplotlib as mpl
        from matplotlib.backends.backend_agg import FigureCanvasAgg
        from matplotlib.figure import Figure
    except ImportError:
        raise MissingError(f"matplotlib is not installed, so there is no picture. {HINT}") from None

    # No text of a log may be taken for a formula, and names in the file are the same every time.
    settings: Any = {"text.parse_math": False, "svg.hashsalt": "gatepost", "font.size": 9.0}
    with mpl.rc_context(settings):
        notes = sum(min(len(curve.marks), _MOST_MARKS) for curve in drawn)
        height_in = 0.8 + _PANEL_IN * len(drawn) + _LINE_IN * notes
        figure = Figure(figsize=(_WIDTH_IN, height_in), layout="constrained")
        FigureCanvasAgg(figure)
        figure.suptitle(clean(Path(name).name, 80), fontsize=11, fontweight="bold")
        parts = figure.subfigures(len(drawn), 1, squeeze=False)[:, 0]
        uppers = [_panel(part, curve, spring_kpa) for part, curve in zip(parts, drawn, strict=True)]
        _to_one_scale(uppers)
        buffer = io.BytesIO()
        metadata: dict[str, Any] = {"Date": None} if suffix == ".svg" else {"Software": None}
        figure.savefig(buffer, format=suffix[1:], dpi=_DOTS_PER_IN, metadata=metadata)
    return buffer.getvalue()


def _to_one_scale(uppers: Sequence[Any]) -> None:
    """Give all panels one range of each axis, so that pulls can be compared by eye."""
    for name in ("xlim", "ylim"):
        ends = [getattr(axes, f"get_{name}")() for axes in uppers]
        low, high = min(low for low, _ in ends), max(high for _, high in ends)
        for axes in uppers:
            getattr(axes, f"set_{name}")(min(low, 0.0) if name == "ylim" else low, high)


def _panel(part: Any, curve: Curve, spring_kpa: float | None) -> Any:
    """Draw one curve and return the axes of its boost."""
    has_duty = curve.duty_pct is not None
    rows = part.subplots(
        2 if has_duty else 1,
        1,
        sharex=True,
        squeeze=False,
        gridspec_kw={"height_ratios": [3, 1]} if has_duty else None,
    )[:, 0]
    upper = rows[0]
    upper.set_title(curve.title, fontsize=9, loc="left")
    if curve.target_kpa is not None:
        upper.plot(curve.x, curve.target_kpa, color=_TARGET, lw=1.4, ls="--", label="target")
    if spring_kpa is not None:
        upper.axhline(spring_kpa, color=_SPRING, lw=1.2, ls=":", label="spring")
    upper.plot(curve.x, curve.boost_kpa, color=_BOOST, lw=2.0, label="boost")
    upper.set_ylabel("kPa above outside air")
    upper.grid(alpha=0.25)
    psi = upper.secondary_yaxis(
        "right", functions=(lambda kpa: kpa / KPA_PER_PSI, lambda one: one * KPA_PER_PSI)
    )
    psi.set_ylabel("psi")
    if has_duty:
        rows[1].plot(curve.x, curve.duty_pct, color=_DUTY, lw=1.4)
        rows[1].set_ylim(-4, 104)
        rows[1].set_ylabel("duty %")
        rows[1].grid(alpha=0.25)
    rows[-1].set_xlabel(curve.x_label)
    _evidence(part, rows, curve.marks)
    upper.legend(loc="lower right", fontsize=8, framealpha=0.9)
    return upper


def _evidence(part: Any, rows: Sequence[Any], marks: Sequence[Mark]) -> None:
    """Shade what the findings rest on, and say in words what each stretch shows."""
    shown = list(marks[:_MOST_MARKS])
    if not shown:
        return
    lettered = list(zip("abcdefgh", shown, strict=False))
    places: dict[tuple[float, float], str] = {}
    for letter, mark in lettered:
        where = (mark.from_x, mark.to_x)
        places[where] = f"{places[where]}, {letter}" if where in places else letter
    for number, ((from_x, to_x), letters) in enumerate(places.items()):
        for axes in rows:
            axes.axvspan(from_x, to_x, color=_EVIDENCE, alpha=_SHADE, lw=0)
        rows[0].annotate(
            letters,
            (0.5 * (from_x + to_x), 0.0),
            xycoords=("data", "axes fraction"),
            xytext=(0, 3 + _LETTER_POINTS * number),
            textcoords="offset points",
            ha="center",
            fontweight="bold",
        )
    lines = [f"{letter}  {shorten(clean(mark.text), _LONGEST)}" for letter, mark in lettered]
    if len(marks) > len(shown):
        lines.append(f"and {len(marks) - len(shown)} more")
    part.supxlabel("\n".join(lines), x=0.02, ha="left", fontsize=8.5)
