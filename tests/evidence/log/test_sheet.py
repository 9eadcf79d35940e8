"""Log files opened and read: ``expert/evidence/log/sheet.py``."""

from __future__ import annotations

import csv
import io
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from expert.evidence.log.errors import LogError
from expert.evidence.log.record import Header, Sheet
from expert.evidence.log.sheet import open_bytes, open_log
from tests.evidence.log.tables import NAMES, UNITS, Written, data, tables, ways


def read(text: str | bytes) -> list[list[float]]:
    """All columns of a file, NaN as None."""
    sheet = opened(text)
    return [
        [None if math.isnan(value) else value for value in column]
        for column in sheet.columns(range(len(sheet.headers)))
    ]


def opened(text: str | bytes) -> Sheet:
    return open_bytes("log.csv", text if isinstance(text, bytes) else text.encode())


def refused(data: bytes) -> str:
    with pytest.raises(LogError) as caught:
        opened(data).columns([0])
    assert str(caught.value).startswith("log.csv: ")
    assert "\n" not in str(caught.value)
    return caught.value.reason


@settings(max_examples=400, deadline=None)
@given(tables(), ways)
def test_a_table_written_in_any_way_reads_back_to_the_same_numbers(
    rows: list[list[str]], how: Written
) -> None:
    sheet = opened(data(rows, how))
    width = len(rows[0])
    assert [header.name for header in sheet.headers] == list(NAMES[:width])
    if how.units != "none":
        assert [header.unit for header in sheet.headers] == list(UNITS[:width])
    found = np.array(sheet.columns(range(width))).T
    expected = np.array([[float(cell) for cell in row] for row in rows])
    if not how.ended and math.isnan(found[-1, -1]):
        # A last cell without an end is left out unless it looks like those above it.
        expected[-1, -1] = math.nan
    np.testing.assert_array_equal(found, expected)


# Constructed: what loggers, spreadsheets and mail programs do to such files.
HEADER = "Time (s),RPM,MAP (kPa)\n"
ROWS = "0.00,1000,98.5\n0.05,1100,101.25\n0.10,1200,-3.5\n"
NUMBERS = [[0.0, 0.05, 0.1], [1000.0, 1100.0, 1200.0], [98.5, 101.25, -3.5]]


@pytest.mark.parametrize(
    "text",
    [
        HEADER + ROWS,
        HEADER + "\n" + ROWS + "\n\n",
        HEADER + ROWS.replace("\n", ",\n"),
        HEADER.replace("\n", ",\n") + ROWS.replace("\n", ",\n"),
        HEADER.replace(",", ", ") + ROWS.replace(",", ",   ").replace("\n", "  \n"),
        "# " + HEADER + ROWS,
        (HEADER + ROWS).replace(",", "\t"),
        "Time (s)  RPM  MAP (kPa)\n" + ROWS.replace(",", "   "),
        "   Time (s)     RPM   MAP (kPa)\n  " + ROWS.replace(",", "\t ").replace("\n", "\n   "),
        "Time RPM MAP\n" + ROWS.replace(",", " "),
        (HEADER + ROWS).replace(",", "^"),
        'Time (s),"RPM",MAP (kPa)\n"0.00",1000,"98.5"\n0.05,1100,101.25\n"0.10",1200,-3.5\n',
        HEADER + ROWS + "End of the log\n",
        HEADER + ROWS.replace("1100,", "1100.0,").replace("98.5", "9.85e1"),
        HEADER + ROWS.replace("98.5", "+98.5").replace("-3.5", "\N{MINUS SIGN}3.5"),
        HEADER + ROWS.replace("0.05", ".05").replace("1000", "1000."),
        HEADER + ROWS.replace(".5\n", ".5 kPa\n").replace(".25\n", ".25kPa\n"),
        HEADER + ROWS.replace(".25\n", ".25\0\0\n") + "\0" * 5000,
        "Run 3\nstarted 12:03\n\n" * 3000 + HEADER + ROWS,
        "Car;invented\nrpm limit;6500\n\nTime (s);RPM;MAP (kPa)\n"
        + ROWS.replace(",", ";").replace(".", ","),
        "Time (s);RPM;MAP (kPa)\n0,00;1.000;98,5\n0,05;1.100;101,25\n0,10;1.200;-3,5\n",
        "Time (s)|RPM|MAP (kPa)\n0.00|1,000|98.5\n0.05|1,100|101.25\n0.10|1,200|-3.5\n",
        'Time (s),RPM,MAP (kPa)\n0.00,"1,000",98.5\n0.05,"1,100",101.25\n0.10,"1,200",-3.5\n',
        "Time (s);RPM;MAP (kPa)\n0,00;1 000;98,5\n0,05;1 100;101,25\n0,10;1 200;-3,5\n",
        "Time (s);RPM;MAP (kPa)\n0.00;1'000;98.5\n0.05;1'100;101.25\n0.10;1'200;-3.5\n",
        '"Time (s)";"Engine\nspeed";"MAP; sensor 1 (kPa)"\n' + ROWS.replace(",", ";"),
    ],
)
def test_the_same_numbers_however_they_are_written(text: str) -> None:
    assert read(text) == NUMBERS


def test_a_quoted_cell_may_hold_delimiters_and_line_breaks() -> None:
    head = "Time,Note,MAP\n"
    text = head + '0.0,"first, cold",98\n0.1,"two\nlines",99\n0.2,"said ""go""",100\n'
    assert read(text) == [[0.0, 0.1, 0.2], [None] * 3, [98.0, 99.0, 100.0]]
    # The same far over the size of a block, so that some block would end within a cell.
    many = "".join(f'{k}.5,"over\ntwo, lines",{k % 200}\n' for k in range(120_000))
    time, _, boost = open_bytes("log.csv", (head + many).encode()).columns([0, 1, 2])
    assert len(time) == len(boost) == 120_000
    assert time[-1] == 119_999.5


def test_cells_without_a_value_are_nan_and_switches_one_and_zero() -> None:
    cells = ["", " ", "N/A", "---", "ERR", "NaN", "nan", "inf", "-Infinity", "1e999", "#N/A"]
    cells += ["12x", "0x1F", "1..2", "1-2", "--5", "5 6", "1,2,3"]
    switches = [("on", 1), ("OFF", 0), ("true", 1), ("False", 0), ("yes", 1), ("No", 0)]
    lines = [f"{k};{cell};7" for k, cell in enumerate(cells)]
    lines += [f"50;{word};7" for word, _ in switches]
    found = read("Time;MAP;RPM\n" + "\n".join(lines) + "\n")[1]
    assert found == [None] * len(cells) + [value for _, value in switches]


def test_headers_and_units_come_in_many_ways() -> None:
    for header in (
        "Time [s],Speed [km/h],MAP [kPa]",
        "Time (s),Speed (km/h),MAP (kPa)",
        "Time_s,Speed_km/h,MAP_kPa",
        '"Time, s","Speed, km/h","MAP, kPa"',
        "Time/s,Speed / km/h,MAP / kPa",
        "Time,Speed,MAP\ns,km/h,kPa",
        "Time,Speed,MAP\n[s],(km/h),[kPa]",
        "Log of a run,,\nTime,Speed,MAP\ns,km/h,kPa\n\n",
        "Time,Speed,MAP\nfloat,float,float\ns,km/h,kPa",
    ):
        sheet = opened(f"{header}\n0.0,90,100\n0.1,91,101\n")
        wanted = [Header("Time", "s"), Header("Speed", "km/h"), Header("MAP", "kPa")]
        assert list(sheet.headers) == wanted, header


def test_names_are_made_distinct() -> None:
    sheet = opened("Time,MAP,,map,MAP,MAP 2\n0.0,1,2,3,4,5\n0.1,1,2,3,4,5\n")
    names = [header.name for header in sheet.headers]
    assert names[:3] == ["Time", "MAP", "column 3"]
    assert len({name.casefold() for name in names}) == 6


def test_numbers_without_a_header_are_read_and_it_is_said() -> None:
    sheet = opened("0.0,1000,98\n0.1,1100,99\n0.2,1200,97\n")
    assert [header.name for header in sheet.headers] == ["column 1", "column 2", "column 3"]
    assert any("no header" in note for note in sheet.notes)
    assert len(sheet.columns([0])[0]) == 3


def test_uneven_lines_are_left_out_and_counted() -> None:
    body = "0.0,1000,98\n0.1,1100\n0.2,1200,97\n0.3,1,2,3,4\n0.4,1400,96,,\n0.5,1500,95\n0.6,160"
    sheet = opened("Time,RPM,MAP\n" + body)
    assert sheet.columns([0])[0].tolist() == [0.0, 0.2, 0.4, 0.5]
    assert sheet.notes == ["3 lines with too few or too many cells left out."]
    sheet.columns([1])
    assert len(sheet.notes) == 1


def test_a_header_that_comes_again_is_no_line_of_numbers() -> None:
    head = "Time,RPM,MAP\ns,rpm,kPa\n"
    sheet = opened(head + "0.0,1000,98\n0.1,1100,99\n" + head + "0.2,1200,97\n")
    assert sheet.columns([0])[0].tolist() == [0.0, 0.1, 0.2]


@settings(deadline=None)
@given(st.integers(1, 60))
def test_a_file_cut_anywhere_has_no_wrong_value(cut: int) -> None:
    rows = [f"{k / 20:.3f},{3000 + 7 * k},{150 + k / 10:.1f}" for k in range(40)]
    whole = "Time,RPM,MAP\n" + "\n".join(rows) + "\n"
    expected = np.array([[float(cell) for cell in row.split(",")] for row in rows])
    sheet = opened(whole[:-cut])
    found = np.array(sheet.columns([0, 1, 2])).T
    there = expected[: len(found)]
    assert len(found) >= 40 - cut / 10 - 1
    same = (found == there) | np.isnan(found)
    assert same.all()
    assert np.isnan(found).sum() <= 1


@pytest.mark.parametrize(
    ("cells", "expected"),
    [
        (["11:59:59.950", "12:00:00.000", "12:00:00.050"], [43199.95, 43200.0, 43200.05]),
        (["23:59:59,9", "00:00:00,1", "00:00:00,3"], [86399.9, 86400.1, 86400.3]),
        (["59:59.5", "00:00.0", "00:00.5"], [3599.5, 3600.0, 3600.5]),
        (["9:59:59", "10:00:00", "10:00:01"], [35999.0, 36000.0, 36001.0]),
        (["11:59:59 AM", "12:00:00 PM", "12:00:01 PM"], [43199.0, 43200.0, 43201.0]),
        (["11:59:59 pm", "12:00:00 am", "12:00:01 am"], [86399.0, 86400.0, 86401.0]),
        (["2026-05-01 23:59:59.5", "2026-05-02 00:00:00.0", "2026-05-02 00:00:00.5"],
         [86399.5, 86400.0, 86400.5]),
        (["2026-05-01T08:00:00Z", "2026-05-01T08:00:01Z", "2026-05-03T08:00:00Z"],
         [28800.0, 28801.0, 201600.0]),
        (["01.05.2026 23:59:59", "02.05.2026 00:00:00", "02.05.2026 00:00:01"],
         [86399.0, 86400.0, 86401.0]),
        (["12:00:00:250", "12:00:00:300", "12:00:00:350"], [43200.25, 43200.3, 43200.35]),
        (["12:00:01.0", "12:00:00.5", "12:00:01.5"], [43201.0, 43200.5, 43201.5]),
        (["12:00:01.0", "", "12:00:01.5"], [43201.0, None, 43201.5]),
    ],
)  # fmt: skip
def test_clock_times_become_seconds(cells: list[str], expected: list[float]) -> None:
    rows = "".join(f"{cell};1000;98\n" for cell in cells)
    assert read("Clock;RPM;MAP\n" + rows)[0] == expected


@pytest.mark.parametrize(
    ("data", "word"),
    [
        (b"", "empty"),
        (b"\n\n  \n", "blanks"),
        (b",,,\n,,,\n", "blanks"),
        (b"\0" * 4000, "binary"),
        (bytes(range(256)) * 40, "binary"),
        (b"PK\x03\x04" + b"\0" * 400, "zip"),
        (b"\x1f\x8b\x08\0" + b"\0" * 400, "gzip"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR" + b"\0" * 500, "binary"),
        (b"it does not build boost\nwhat now?\n", "no table"),
        (b"Time,RPM\n,\n,\n", "no table"),
        (b"MAP\n" + b"98\n99\n" * 50, "one column"),
        (b"98.5\n" * 50, "one column"),
        (b"1" * 3_000_000, "line"),
        (b"1," * 1_500_000, "line"),
        (b"Time,RPM\n0,05,1000,5\n0,10,1100,5\n0,15,1200,5\n", "commas"),
    ],
)
def test_what_is_no_log_is_refused_with_the_reason(data: bytes, word: str) -> None:
    assert word in refused(data)


def test_a_file_too_large_is_refused_from_its_size_alone(tmp_path: Path) -> None:
    path = tmp_path / "large.csv"
    with path.open("wb") as stream:
        stream.truncate(10_000_000_000)
    with pytest.raises(LogError, match=r"is 10\.0 GB; expected at most"):
        open_log(path)


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(LogError, match="no such file"):
        open_log(tmp_path / "none.csv")
    with pytest.raises(LogError, match="not a file"):
        open_log(tmp_path)
    with pytest.raises(LogError, match="cannot be read"):
        open_log(Path("a\0b"))


def test_a_name_with_an_escape_sequence_is_shown_without_it() -> None:
    sheet = open_bytes("a\x1b[31m.csv", (HEADER + ROWS).encode())
    assert sheet.file == "a.csv"


def test_five_thousand_columns() -> None:
    names = ",".join(f"channel number {k} [kPa]" for k in range(5000))
    row = ",".join(f"{k}.25" for k in range(5000))
    sheet = opened(names + "\n" + (row + "\n") * 20)
    assert len(sheet.headers) == 5000
    assert sheet.columns([4999, 0])[0].tolist() == [4999.25] * 20
    assert sheet.sample(17).tolist() == [17.25] * 20


def test_a_sample_comes_from_the_whole_file_and_is_bounded() -> None:
    rows = "".join(f"{k},{k % 7000},98.5\n" for k in range(300_000))
    sheet = opened("Time,RPM,MAP\n" + rows)
    found = sheet.sample(0)
    assert found[0] == 0.0
    assert found[-1] == 299_999.0
    assert 1000 < len(found) < 100_000
    assert (np.diff(found) > 0).all()


@settings(max_examples=300, deadline=None)
@given(
    st.one_of(
        st.binary(max_size=400),
        st.text("0123456789.,;:\t\"' \n\r-+eE/ABkPa()[]#%\u00a0µ\0", max_size=300).map(
            lambda text: text.encode("utf-8")
        ),
        st.binary(max_size=60).map(lambda extra: b"Time,RPM\n0.0,1000\n" + extra + b"\n0.1,1100\n"),
    )
)
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    try:
        sheet = opened(data)
        columns = sheet.columns(range(len(sheet.headers)))
        samples = [sheet.sample(column) for column in range(len(sheet.headers))]
    except LogError:
        return
    assert len({len(column) for column in columns}) == 1
    assert not any(np.isinf(column).any() for column in [*columns, *samples])
    names = [header.name.casefold() for header in sheet.headers]
    assert len(set(names)) == len(names) >= 2


@settings(deadline=None)
@given(tables())
def test_the_csv_module_reads_the_same(rows: list[list[str]]) -> None:
    text = data(rows, Written()).decode()
    theirs = [[float(cell) for cell in row] for row in list(csv.reader(io.StringIO(text)))[1:]]
    assert read(text) == [list(column) for column in zip(*theirs, strict=True)]


def test_a_text_before_the_table_may_be_longer_than_it() -> None:
    rows = "".join(f"{k / 20:.2f},1000,98.5\n" for k in range(2000))
    sheet = opened("x = 5, y = 7\n" * 120_000 + "Time,RPM,MAP\n" + rows)
    assert [header.name for header in sheet.headers] == ["Time", "RPM", "MAP"]
    assert len(sheet.columns([0])[0]) == 2000


def test_a_line_of_nothing_but_delimiters_takes_no_time() -> None:
    sheet = opened("," * 900_000 + "\n" + "0.1,1000,98\n" * 10)
    assert len(sheet.columns([0])[0]) == 10
