"""Where the tables of a sheet are, and what around them is no row."""

from pathlib import Path

import pytest

from bomtui.storage.tabular.answers import Answers
from bomtui.storage.tabular.delimited import split
from bomtui.storage.tabular.layout import Table, find_tables
from bomtui.storage.tabular.loads import LOAD_HEADERS, read_loads
from bomtui.storage.tabular.record import Sheet
from tests.storage.tabular.small_workbook import number, sheet, text, write_workbook


def tables(lines: str, header_row: int | None = None) -> tuple[Table, ...]:
    """Tables of a text."""
    return find_tables(Sheet("", split(lines)[1]), LOAD_HEADERS.knows, header_row)


def test_the_header_is_the_row_of_known_words() -> None:
    """Titles and facts above it are no header, and rows keep their lines."""
    (found,) = tables("Van load list,,\nRevision,C,\n\nid,subsystem,name\nL1,EXT,lamp\n")
    assert (found.line, found.header) == (4, ("id", "subsystem", "name"))
    assert [record.line for record in found.records] == [5]


def test_headings_sums_and_notes_are_no_rows() -> None:
    """Each is listed with its line, and rows know the heading above them."""
    (found,) = tables(
        "id,name,power [W]\nExterior lighting,,\nL1,lamp,5\nTotal,,5\nCabin,,\nL2,fan,40\n,Summe,45\nNote: a draft,,\n"
    )
    assert [record.cells[0] for record in found.records] == ["L1", "L2"]
    assert found.headings == {3: "Exterior lighting", 6: "Cabin"}
    assert [sentence.partition(":")[0] for sentence in found.left_out] == [
        "line 2", "line 4", "line 5", "line 7", "line 8",
    ]  # fmt: skip


def test_a_repeated_header_is_no_row() -> None:
    """Two exports joined are one table, and a notice names the line of the second header."""
    (found,) = tables("id,name\nL1,a\nid,name\nL2,b\n")
    assert [record.line for record in found.records] == [2, 4]
    assert found.left_out == ("line 3: the header row again",)


def test_tables_with_a_gap_between_them_are_several() -> None:
    """Which one is meant is for a person to say."""
    lines = "id,name\nL1,a\n\nGrouped,\n\nid,name\nL2,b\n"
    assert [table.line for table in tables(lines)] == [1, 6]
    (named,) = tables(lines, header_row=6)
    assert [record.cells[0] for record in named.records] == ["L2"]


def test_two_header_rows_are_joined() -> None:
    """The second row tells apart what the first one names twice."""
    (found,) = tables("id,name,current,current\n,,day,night\nL1,a,1,2\n")
    assert found.header == ("id", "name", "current / day", "current / night")
    assert [record.line for record in found.records] == [3]


def test_a_group_over_several_columns_is_spread() -> None:
    """A merged group saved as text stands over its first column only."""
    (found,) = tables("id,name,Engine,,Cabin,\n,,current [A],power,current [A],power\nL1,a,1,2,3,4\n")
    groups = ["Engine / current [A]", "Engine / power", "Cabin / current [A]", "Cabin / power"]
    assert list(found.header) == ["id", "name", *groups]


@pytest.mark.parametrize("lines", ["id,name\nL1,a\n,b\n", "id,name,note\nL5,,\nL6,x,\n"])
def test_a_row_with_little_in_it_stays_a_row(lines: str) -> None:
    """An id alone, or a name without one, is for the reader of the list to refuse."""
    (found,) = tables(lines)
    assert len(found.records) == 2


def test_several_tables_are_asked(tmp_path: Path) -> None:
    """Nothing is taken until somebody says which, and the question names their lines."""
    path = tmp_path / "list.csv"
    path.write_text("id,subsystem\nL1,E\n\nid,subsystem\nL2,E\n", encoding="utf-8")
    result = read_loads(path)
    (question,) = result.questions
    assert (result.loads, question.about, question.choices) == ({}, "header_row", ("1", "4"))
    assert list(read_loads(path, Answers(header_row=4)).loads) == ["L2"]


def test_several_sheets_are_asked(tmp_path: Path) -> None:
    """So it is with sheets; one without a list is none of them."""
    head = [text("id"), text("subsystem")]
    lists = {name: sheet({1: head, 2: [text(name), text("E")]}) for name in ("A", "B")}
    path = write_workbook(tmp_path / "book.xlsx", {"Cover": sheet({1: [text("Van")]}), **lists})
    (question,) = read_loads(path).questions
    assert (question.about, question.choices) == ("sheet", ("A", "B"))
    assert list(read_loads(path, Answers(sheet="B")).loads) == ["B"]
    assert "expected a sheet named" in str(read_loads(path, Answers(sheet="C")).problems[0])


@pytest.mark.parametrize(("answer", "ids"), [(None, ["L1"]), ("leave", ["L1"]), ("take", ["L1", "L2"])])
def test_hidden_rows_are_asked(tmp_path: Path, answer: str | None, ids: list[str]) -> None:
    """A row that nobody sees is neither taken nor dropped in silence."""
    rows = {1: [text("id"), text("subsystem")], 2: [text("L1"), text("E")], 3: [text("L2"), text("E")]}
    path = write_workbook(tmp_path / "book.xlsx", {"A": sheet(rows, hidden_rows=[3])})
    result = read_loads(path, Answers(hidden=answer))
    assert list(result.loads) == ids
    assert [question.about for question in result.questions] == ([] if answer else ["hidden"])
    assert any("1 hidden rows (3)" in notice for notice in result.notices)


def test_a_number_of_a_workbook_is_no_text(tmp_path: Path) -> None:
    """Its point is a decimal mark, whatever the texts of the sheet have."""
    rows = {
        1: [text("id"), text("subsystem"), text("current [A]")],
        2: [text("L1"), text("E"), number("1.234")],
        3: [text("L2"), text("E"), text("1,5")],
    }
    result = read_loads(write_workbook(tmp_path / "book.xlsx", {"A": sheet(rows)}))
    assert [load.test_current_a for load in result.loads.values()] == [1.234, 1.5]
