"""Cells of the parts list as CSV: formulas defused, numbers and part numbers left alone."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bomtui.export.csv import Numeral, cell_text, csv_bytes
from bomtui.model.plain_text import DEFUSED, armed, defused


@pytest.mark.parametrize(
    ("cell", "written"),
    [
        ("=HYPERLINK(1)", '"\'=HYPERLINK(1)"'),
        ("+49 30 1234", '"\'+49 30 1234"'),
        ("-40 degC", '"\'-40 degC"'),
        ("@SUM(A1)", '"\'@SUM(A1)"'),
        ("  =1+1", '"\'  =1+1"'),
        ("\t=1", '"\' =1"'),
        ("\r=1", '"\' =1"'),
        ("'=1", "\"''=1\""),
        ("-", '"\'-"'),
        ("a=b", '"a=b"'),
        ("0710037", '"0710037"'),
        ("31E02", '"31E02"'),
        ('say "x", y', '"say ""x"", y"'),
        ("two\nlines", '"two lines"'),
        (-40, "-40"),
        (-0.5, "-0.5"),
        (Numeral("-12.5000"), "-12.5000"),
        (Numeral("0.0000"), "0.0000"),
        (0, "0"),
        (None, ""),
        ("", ""),
    ],
)
def test_cells_are_written_by_their_type(cell: str | float | None, written: str) -> None:
    """Text that a spreadsheet would run is marked, other text stands in quotes, numbers stay as they are."""
    assert cell_text(cell) == written


@given(st.text(st.characters(min_codepoint=0x20, max_codepoint=0x7E), max_size=12))
def test_a_mark_can_be_taken_away_again(text: str) -> None:
    """Reading a defused text back gives the text, and what is written never starts as a formula."""
    written = defused(text)
    assert armed(written) == text
    assert written.lstrip(" ")[:1] not in DEFUSED or not written.strip(" ")


@given(
    st.lists(
        st.lists(st.text(st.characters(min_codepoint=0x20, max_codepoint=0x2FF), max_size=8), min_size=2, max_size=2)
    )
)
def test_rows_are_read_back(rows: list[list[str]]) -> None:
    """A reader of RFC 4180 gets as many rows as were written, each of its cells apart from the others."""
    read = list(csv.reader(io.StringIO(csv_bytes(rows).decode()), strict=True))
    assert len(read) == len(rows)
    assert all(len(cells) == 2 for cells in read)
