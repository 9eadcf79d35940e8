"""What a user says about columns: ``expert/evidence/log/overrides.py``."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.log.overrides import Override, OverrideError, chosen, overrides
from expert.evidence.log.record import Header

HEADERS = [
    Header("Time", "s"),
    Header("Manifold pressure", "kPa"),
    Header("ECU:MAP", ""),
    Header("Engine_Speed", ""),
    Header("Lambda 1", ""),
    Header("Lambda 2", ""),
]
KNOWN = ["time", "rpm", "boost", "target", "mixture"]


def test_the_form() -> None:
    found = overrides(["boost=MAP:kPa", " RPM = n_engine ", "target=a=b"])
    assert found == {
        "boost": Override("boost", "MAP:kPa"),
        "rpm": Override("rpm", "n_engine"),
        "target": Override("target", "a=b"),
    }


@pytest.mark.parametrize("text", ["", "boost", "boost=", "=MAP", "boost=:", "boost= : "])
def test_what_has_not_the_form(text: str) -> None:
    with pytest.raises(OverrideError, match=r"write it as CHANNEL=COLUMN or CHANNEL=COLUMN:UNIT"):
        overrides([text])


def test_one_channel_twice() -> None:
    with pytest.raises(OverrideError, match="'boost' is there twice"):
        overrides(["boost=a", "BOOST=b"])


@pytest.mark.parametrize(
    ("text", "column", "unit"),
    [
        ("boost=Manifold pressure", 1, None),
        ("boost=manifold_pressure:psi", 1, "psi"),
        ("boost=ManifoldPressure:bar gauge", 1, "bar gauge"),
        ("boost=ECU:MAP", 2, None),
        ("boost=ECU:MAP:kPa abs", 2, "kPa absolute"),
        ("boost=ECU:MAP:", 2, None),
        ("rpm=engine speed", 3, None),
        ("mixture=Lambda 2", 5, None),
    ],
)
def test_columns_and_units(text: str, column: int, unit: str | None) -> None:
    (one,) = chosen(overrides([text]), HEADERS, KNOWN).values()
    assert one.column == column
    assert (one.unit and one.unit.name) == unit


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("bost=MAP", "no such channel; did you mean 'boost'?"),
        ("oil=MAP", "no such channel: time, rpm, boost"),
        ("boost=Manifold presure", "no column 'Manifold presure'; the nearest are 'Manifold press"),
        ("boost=xyzzy", "no column 'xyzzy'; its columns begin with 'Time', 'Manifold pressure'"),
        ("boost=Manifold pressure:stone", "the unit 'stone' is not known"),
        ("boost=xyzzy:kPa", "no column 'xyzzy'"),
    ],
)
def test_what_cannot_be_followed(text: str, says: str) -> None:
    with pytest.raises(OverrideError) as problem:
        chosen(overrides([text]), HEADERS, KNOWN)
    assert says in str(problem.value)
    assert "\n" not in str(problem.value)


def test_one_column_for_two_channels() -> None:
    asked = overrides(["boost=ECU:MAP", "target=ecu map"])
    with pytest.raises(OverrideError, match="cannot be both boost and target"):
        chosen(asked, HEADERS, KNOWN)


@given(st.lists(st.text(max_size=40), max_size=4))
def test_any_text_is_followed_or_refused_in_one_line(texts: list[str]) -> None:
    try:
        found = chosen(overrides(texts), HEADERS, KNOWN)
    except OverrideError as problem:
        assert str(problem).isprintable()
        return
    assert set(found) <= set(KNOWN)
    assert len({one.column for one in found.values()}) == len(found)


_NAME = st.text("abcXYZ 0123_.:=/", min_size=1, max_size=20).filter(lambda name: name.strip(": ="))


@given(_NAME, st.sampled_from(["", ":kPa", ":psi gauge", ":mbar abs"]))
def test_a_name_as_it_stands_is_found(name: str, unit: str) -> None:
    headers = [Header("Time", "s"), Header(name.strip(), "")]
    try:
        (one,) = chosen(overrides([f"boost={name.strip()}{unit}"]), headers, KNOWN).values()
    except OverrideError as problem:
        # Nothing but colons and blanks may be left of a name.
        pytest.fail(str(problem))
    assert one.column == 1
    assert (one.unit is not None) == bool(unit)
