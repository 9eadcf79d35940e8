"""The tree as text."""

from __future__ import annotations

from collections.abc import Sequence

from hypothesis import given, settings
from hypothesis import strategies as st

from expert.case.consult import Consultant
from expert.case.state import State
from expert.export.cars import cars_for
from expert.export.sketch import sketch
from expert.export.texttree import WIDTH, text_tree
from expert.model import Knowledge
from tests.export.pictures import found, spoiled
from tests.small import knowledge


def drawn(
    book: Knowledge | None = None,
    cars: Sequence[State] | None = None,
    case: State | None = None,
    width: int = WIDTH,
) -> str:
    book = book or knowledge()
    outline = sketch(Consultant(book), "lazy", cars or cars_for(book), case)
    return text_tree(book, outline, "a car", width)


WHOLE = """\
Won't build boost
a car
Percentages: how likely a cause is after the answers on the likeliest way to
it.
Where a line stands for several answers, the likeliest of them counts.

[1] start
  What have you noticed? (5 min)
    - Nothing
      What changed? (5 min)
        - Nothing / Something, long ago / Just fitted
          Does every hose match? (5 min)
          WARNING: hot
            - All match
              What does the car have?
                - outer gate
                  What light passes? (5 min)
                  first: Take the gate off (45 min)
                  WARNING: hot
                  CAUTION: heavy
                    - No light / not known
                      go on at [2] air
"""


def test_it_reads_like_a_list() -> None:
    assert drawn().startswith(WHOLE)
    assert "\n[2] air\n  Where does smoke come out? (30 min)\n" in drawn()
    assert "    - STOP: A knock / A noise of metal\n      STOP: DO NOT DRIVE\n      = " in drawn()
    assert "      LOADS THE ENGINE\n      DANGER: road\n" in drawn()
    assert "The tree ends here: the check worth most is next." in drawn()


def test_the_way_of_a_case_is_marked_with_signs() -> None:
    case = found(("red-flags", "none"), ("what-changed", "nothing"), ("hose-trace", "matches"))
    lines = drawn(cars=[case], case=case).splitlines()
    walked = [line.strip() for line in lines if line.strip().startswith(">> ")]
    assert walked == [
        ">> marks the way of this case.",
        ">> Nothing",
        ">> Nothing / Something, long ago / Just fitted",
        ">> All match",
    ]
    here = next(k for k, line in enumerate(lines) if "THE CASE STANDS HERE" in line)
    assert lines[here + 1].strip().startswith("What light passes?")


def test_it_keeps_to_its_width_where_it_can() -> None:
    assert max(map(len, drawn().splitlines())) <= WIDTH
    narrow = drawn(width=40).splitlines()
    assert all(len(line) <= max(40, len(line) - len(line.lstrip()) + 27) for line in narrow)


def test_it_ends_with_a_line_break_and_has_no_trailing_space() -> None:
    assert drawn().endswith("\n")
    assert not any(line != line.rstrip() for line in drawn().splitlines())


@settings(max_examples=30, deadline=None)
@given(st.text(max_size=60))
def test_no_text_reaches_the_terminal_as_more_than_text(hostile: str) -> None:
    text = drawn(spoiled(f"x{hostile}"))
    assert all(line.isprintable() for line in text.split("\n"))
    assert len(text.split("\n")) >= len(drawn().split("\n")) // 2
