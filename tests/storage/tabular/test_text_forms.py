"""Texts with separated cells: encodings and separators as files have them."""

from pathlib import Path

import pytest

from bomtui.storage.proposal.toml_file import UnreadableError
from bomtui.storage.tabular.delimited import split
from bomtui.storage.tabular.opening import open_sheets

LINES = "id;subsystem;note\nL1;EXT;85 °C\n"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_one_text_in_all_its_encodings(tmp_path: Path, encoding: str) -> None:
    """The bytes decide: a mark, lawful UTF-8, NULs on one side of every pair, and Windows-1252 for the rest."""
    path = tmp_path / "list.csv"
    path.write_bytes(LINES.encode(encoding))
    records = open_sheets(path).sheets[0].records
    assert [record.cells for record in records] == [("id", "subsystem", "note"), ("L1", "EXT", "85 °C")]


def test_windows_1252_keeps_what_latin_1_loses(tmp_path: Path) -> None:
    """The euro sign, dashes and curly quotes of that code page come out right."""
    path = tmp_path / "list.csv"
    path.write_bytes(b"a;b\n1,20 \x80;\x96 \x93x\x94\n")
    assert open_sheets(path).sheets[0].records[1].cells == ("1,20 €", "\N{EN DASH} “x”")


def test_a_named_encoding_is_used_or_refused(tmp_path: Path) -> None:
    """What a person names goes before what the bytes look like."""
    path = tmp_path / "list.csv"
    path.write_bytes("a;b\n1;Ω µ\n".encode("cp437", "replace"))
    assert open_sheets(path, "cp437").sheets[0].records[1].cells == ("1", "Ω µ")
    path.write_bytes(b"a;b\n\xff\n")
    with pytest.raises(UnreadableError, match="expected text in utf-8"):
        open_sheets(path, "utf-8")


@pytest.mark.parametrize(
    ("text", "separator", "width"),
    [
        ("id;refs;price\n1;['R1', 'R2'];0,41\n2;['C1'];0,02\n3;['D1', 'D2'];1,10\n", ";", 3),
        ("MPN;Preise\nA;1: 1,42 | 10: 1,18\nB;12,40\n", ";", 2),
        ("Load list, rev C\n\nid;name;current\nL1;lamp;1,5\nL2;fan;2,5\n", ";", 3),
        ("a|b\n1|2\n", "|", 2),
        ("id\tname, long\n1\ta, b\n2\tc, d\n3\te\n", "\t", 2),
    ],
)
def test_the_separator_is_the_one_that_makes_a_table(text: str, separator: str, width: int) -> None:
    """Commas in lists, decimals and titles do not make one."""
    found, records = split(text)
    assert found == separator
    assert len(records[-1].cells) in {width, width - 1}


def test_a_quote_that_is_never_closed_costs_its_row_only() -> None:
    """The rows after it are there, each with its line."""
    _, records = split('a,b\n1,"x\n2,y\n3,z\n')
    assert [(record.line, record.cells, bool(record.fault)) for record in records] == [
        (1, ("a", "b"), False), (2, (), True), (3, ("2", "y"), False), (4, ("3", "z"), False),
    ]  # fmt: skip


@pytest.mark.parametrize("tail", ["", '9,"x'])
def test_lines_are_counted_over_cells_with_line_ends(tail: str) -> None:
    """Lawful text and text with a fault in it are read alike."""
    _, records = split(f'a,b\n1,"two\nlines"\n\n2,y\n{tail}')
    assert [(record.line, record.cells) for record in records if not record.fault] == [
        (1, ("a", "b")), (2, ("1", "two\nlines")), (5, ("2", "y")),
    ]  # fmt: skip
