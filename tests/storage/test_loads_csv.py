"""Load lists as sheets: text first, every row taken or reported, nothing guessed in silence."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bomtui.model.fields import field_table
from bomtui.model.ids import is_id
from bomtui.model.lists import load_columns, parts_list_columns
from bomtui.model.load import Load
from bomtui.model.quantity import DIMENSIONS
from bomtui.storage.field_text import FieldError
from bomtui.storage.tabular.loads import LOAD_HEADERS, LoadsResult, read_loads

FIELDS = field_table(Load)


@pytest.fixture
def sheet(tmp_path: Path) -> "Sheet":
    """Read a load list from text or bytes."""
    return Sheet(tmp_path / "list.csv")


class Sheet:
    """Writes a file and reads it as a load list."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def __call__(self, content: str | bytes) -> LoadsResult:
        """Read the content."""
        self.path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return read_loads(self.path)


def sentences(result: LoadsResult) -> list[str]:
    """Problems without the name of the file."""
    return [str(problem).removeprefix(problem.file) for problem in result.problems]


@pytest.mark.parametrize(
    ("text", "key", "unit", "mode"),
    [
        ("test_current [A]", "test_current", "A", ""),
        ("Test current (mA)", "test_current", "mA", ""),
        ("test current, A", "test_current", "A", ""),
        ("test_current_A", "test_current", "A", ""),
        ("test_current_a", "test_current", "A", ""),
        ("peak time in ms", "peak_time", "ms", ""),
        ("PEAK_TIME[ms]", "peak_time", "ms", ""),
        ("rated_power_max", "rated_power_max", None, ""),
        ("needed_in_crank", "needed_in_crank", None, ""),
        ("time_share.PARK [%]", "time_share", "%", "PARK"),
        ("time share WORK_DAY, %", "time_share", "%", "WORK_DAY"),
        ("pwm_duty.RUN", "pwm_duty", None, "RUN"),
        ("on_time_max (s)", "on_time_max", "s", ""),
    ],
)
def test_headers(text: str, key: str, unit: str | None, mode: str) -> None:
    """The key, its words, and the unit in any of its usual places are recognised."""
    header = LOAD_HEADERS.read(text)
    assert header.info is not None
    assert (header.info.key, header.unit, header.entry) == (key, unit, mode)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("test_current [V]", "expected a current (A)"),
        ("test_current [mAh]", "found a charge (mAh)"),
        ("test_curent [A]", "expected a known header, found"),
        ("name [A]", "expected no unit in the header of name"),
        ("time_share [%]", "expected the mode in the header, as time_share.MODE [%]"),
        ("colour", "expected a header such as id, ref, subsystem"),
    ],
)
def test_unknown_headers_and_wrong_units(text: str, sentence: str) -> None:
    """A header that is none, or has a unit of something else, is one sentence."""
    with pytest.raises(FieldError) as caught:
        LOAD_HEADERS.read(text)
    assert sentence in str(caught.value)


def test_the_headers_that_we_write_are_the_headers_that_we_read() -> None:
    """Every column of a load list is recognised with its own unit and mode, and each is there once."""
    columns = load_columns(["PARK", "WORK_DAY"])
    for column in columns[1:]:
        header = LOAD_HEADERS.read(column.header)
        assert header.info == column.info
        assert (header.unit or "", header.entry) == (column.unit, column.entry)
    assert LOAD_HEADERS.read(columns[0].header).info is None
    assert len({column.header for column in columns}) == len(columns)
    assert {column.key for column in columns} == {"id", *(info.key for info in FIELDS)}
    assert "inductance [mH]" in {column.header for column in columns}


def test_numeric_columns_carry_their_unit() -> None:
    """A column of a quantity has a unit of its dimension, an amount of money its currency."""
    for column in load_columns(["RUN"]):
        if column.info is not None and column.info.dimension:
            assert column.unit in {unit for unit, _ in DIMENSIONS[column.info.dimension].units}
    headers = [column.header for column in parts_list_columns("EUR")]
    assert "unit_price [EUR]" in headers
    assert len(set(headers)) == len(headers)


LIST = """\
ref,subsystem,name,kind,zone,drive,rated_power [W],test_current [A],peak_time [ms],inductance [mH],safety,\
time_share.PARK [%],time_share.RUN [%],contacts
E01,ENG,injector,injector,Z1,INJD,,6,,0.18,C,0,12,
L11,EXT,"lamp, left",filament,Z4,hsp,10,450 mA,10,,b,,100,2
"""


def test_levels_are_those_of_their_scheme(sheet: Sheet) -> None:
    """A letter is taken as the scheme of its row writes it; a level that the scheme does not have is refused."""
    head = "id,subsystem,safety_scheme,safety,separate_from\n"
    result = sheet(f"{head}L1,S,,b,L2\nL2,S,PL,B,\nL3,S,SIL,2,L1; L2\nL4,S,PL,QM,\nL5,S,none,,\n")
    assert sentences(result) == []
    found = {key: (load.safety_scheme, load.safety) for key, load in result.loads.items()}
    assert found == {
        "L1": ("ASIL", "B"),
        "L2": ("PL", "b"),
        "L3": ("SIL", "2"),
        "L4": ("PL", "QM"),
        "L5": ("none", "QM"),
    }
    assert result.loads["L3"].separate_from == ("L1", "L2")
    (wrong,) = sentences(sheet(f"{head}L1,S,,e,\n"))
    assert 'expected a level of ASIL (QM, A, B, C, D), found "e"' in wrong


def test_rows_become_loads(sheet: Sheet) -> None:
    """Bare numbers take the column's unit, a cell's own unit wins, zero stays zero, an empty cell is unknown."""
    result = sheet(LIST)
    assert sentences(result) == []
    assert result.loads == {
        "E01": Load(
            subsystem="ENG", name="injector", kind="injector", zone="Z1", drive="INJD", test_current_a=6.0,
            inductance_h=0.00018, safety="C", time_share_ratio={"PARK": 0.0, "RUN": 0.12},
        ),
        "L11": Load(
            subsystem="EXT", name="lamp, left", kind="filament", zone="Z4", drive="HSP", rated_power_w=10.0,
            test_current_a=0.45, peak_time_s=0.01, safety="B", time_share_ratio={"RUN": 1.0}, contacts=2,
        ),
    }  # fmt: skip
    assert (result.zones, result.modes, result.subsystems) == (("Z1", "Z4"), ("PARK", "RUN"), ("ENG", "EXT"))
    assert result.notices == ("cells separated by comma",)


@pytest.mark.parametrize(
    ("content", "notice"),
    [
        (LIST.encode("utf-8-sig"), "comma"),
        (LIST.replace("\n", "\r\n").encode(), "comma"),
        (LIST.replace("\n", "\r").encode(), "comma"),
        (LIST.replace('"lamp, left"', "lamp| left").replace(",", ";").replace("|", ",").encode(), "semicolon"),
        (LIST.replace('"lamp, left"', "lamp| left").replace(",", "\t").replace("|", ",").encode(), "tab"),
        (LIST.encode("utf-16"), "comma"),
    ],
)
def test_encodings_line_ends_and_separators(sheet: Sheet, content: bytes, notice: str) -> None:
    """The same list saved in other ways gives the same loads, and a notice says how it was read."""
    expected = sheet(LIST).loads
    result = sheet(content)
    assert sentences(result) == []
    assert result.loads == expected
    assert result.notices[0] == f"cells separated by {notice}"


def test_a_separator_line_is_followed_and_is_no_row(sheet: Sheet) -> None:
    """A first line `sep=;` decides, and the lines after it keep their numbers."""
    result = sheet("sep=;\nid;subsystem;name\nL1;EXT;a,b\nL2;;x\n")
    assert result.loads == {"L1": Load(subsystem="EXT", name="a,b")}
    assert sentences(result) == [':4: L2: "subsystem": expected a subsystem, found an empty cell']


def test_a_list_in_windows_1252_is_read_with_a_notice(sheet: Sheet) -> None:
    """Bytes that are no UTF-8 are Windows-1252, and a notice says where that was seen."""
    result = sheet("id,subsystem,name\nL1,EXT,Lüfter 5 µs €\n".encode("cp1252"))
    assert result.loads["L1"].name == "Lüfter 5 µs €"
    assert "read as Windows-1252, because byte 0xfc in line 2 is not UTF-8" in result.notices


def test_a_decimal_comma_is_found_and_said(sheet: Sheet) -> None:
    """Where commas can only be decimal marks they are, `1,234` included; a stray point is refused, not dropped."""
    result = sheet("id;subsystem;test_current [A]\nL1;E;1,5\nL2;E;1,234\nL3;E;1.234,50\nL4;E;25.00\nL5;E;0,85\n")
    currents = {name: load.test_current_a for name, load in result.loads.items()}
    assert currents == {"L1": 1.5, "L2": 1.234, "L3": 1234.5, "L5": 0.85}
    assert any("decimal comma taken" in notice for notice in result.notices)
    assert [problem.line for problem in result.problems] == [5]
    assert 'found "25.00"' in result.problems[0].message


def test_a_comma_with_two_readings_is_asked(sheet: Sheet) -> None:
    """`1,234` alone is neither 1.234 nor 1234: the row is reported."""
    result = sheet('id,subsystem,test_current [A]\nL1,E,"1,234"\nL2,E,0.5\n')
    assert set(result.loads) == {"L2"}
    assert "can mean 1.234 or 1234" in sentences(result)[0]


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        ("L1,EXT,6 V,,", 'L1: "test_current [A]": expected a current (A), found a voltage (V) in "6 V"'),
        ("L1,EXT,-99999,,", "expected a current (A), not negative"),
        ("L1,EXT,,120,", "expected a share of 0 % to 100 %"),
        ("L1,EXT,nan,,", "which does not begin with a number"),
        ("L1,EXT,,,HX", "expected one of HS, HSP"),
        ("K15/3,EXT,,,", "the customer's own reference can stand in the column customer_ref"),
        (",EXT,,,", "expected the id of a load, found an empty cell"),
        ("L1,,1,,", "expected a subsystem, found an empty cell"),
        ("L1,%%,1,,", "expected the id of a subsystem"),
        ("L1,EXT,1,,HS,stray", 'expected no cell without a header, found "stray" in column 6'),
        ('L1,"EXT"x,1,,', "found text after the closing quote of a cell; the row is not taken"),
        ('L1,"EXT,1,,', "found a quote that is opened and never closed; the row is not taken"),
        ("l9,EXT,,,", 'expected each id once, found "l9" also in line 2'),
        ("L1,ENG,,,\nL2,eng,,,", 'expected one spelling of the subsystem ENG, found "eng"'),
    ],
)
def test_rows_that_cannot_be_taken(sheet: Sheet, row: str, sentence: str) -> None:
    """Each is reported with its line, is not taken, and takes no other row with it."""
    result = sheet(f"id,subsystem,test_current [A],time_share.RUN [%],drive\nL9,EXT,1,10,HS\n{row}\nL99,EXT,2,20,HS\n")
    line = 4 if "eng" in row else 3
    assert any(text.startswith(f":{line}: ") and sentence in text for text in sentences(result)), sentences(result)
    assert {"L9", "L99"} <= set(result.loads)
    assert len(result.loads) == (3 if "eng" in row else 2)


def test_all_faults_of_a_row_are_reported(sheet: Sheet) -> None:
    """Two faulty cells of one row are two problems."""
    result = sheet("id,subsystem,test_current [A],drive\nL1,EXT,x,y\n")
    assert [problem.column for problem in result.problems] == ['"test_current [A]"', '"drive"']


def test_short_rows_and_blank_rows(sheet: Sheet) -> None:
    """Cells that are missing at the end are empty, trailing empty cells are none, blank rows are no loads."""
    result = sheet("id,subsystem,name,zone\n\nL1,EXT\n,,,\nL2,EXT,x,Z1,,,\n   \n")
    assert sentences(result) == []
    assert result.loads == {"L1": Load(subsystem="EXT"), "L2": Load(subsystem="EXT", name="x", zone="Z1")}


def test_a_line_end_inside_a_cell_makes_no_row(sheet: Sheet) -> None:
    """A quoted cell keeps its line end, quote and separator, and the lines after it keep their numbers."""
    result = sheet('id,subsystem,note\nL1,EXT,"two\nlines, ""quoted"""\nL2,,x\n')
    assert result.loads["L1"].note == 'two\nlines, "quoted"'
    assert sentences(result) == [':4: L2: "subsystem": expected a subsystem, found an empty cell']


def test_ids_are_kept_letter_by_letter(sheet: Sheet) -> None:
    """Leading zeros stay, `04` and `4` are two loads, and an id that a spreadsheet may have rewritten is named."""
    result = sheet("id,subsystem,customer_ref\n04,E,0710370001\n4,E,1-01-14\n31E02,E,\n6E+12,E,\n")
    assert set(result.loads) == {"04", "4", "31E02"}
    assert result.loads["04"].customer_ref == "0710370001"
    assert sheet("id,subsystem\n6E12,E\n").notices[-1].startswith("line 2: the id 6E12 looks like a number")


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", ": expected a list with a header row, found an empty file"),
        (b"\n\n ,\n", ":1: expected a list with a header row, found only empty cells"),
        (b"id,sub\0system\n", ":1: expected text, found a NUL character"),
        (b"id,subsystem\nL1,\x81\n", ":2: expected text in UTF-8 or Windows-1252, found the byte 0x81"),
        (b"name,zone\nx,Z1\n", ':1: expected a column with the header id, found "name", "zone"'),
        (b"id,name\nL1,x\n", ":1: expected a column with the header subsystem"),
        (b"id,subsystem,zone,Zone\nL1,E,Z1,Z2\n", ':1: expected one column for zone, found "zone" and "Zone"'),
        (b"id,subsystem,time_share.A [%],time_share A (%)\nL1,E,1,2\n", ":1: expected one column for time_share.A"),
        (b'id,"subsystem\nL1,E\n', ":1: expected a header row, found a quote that is opened and never closed"),
    ],
)
def test_lists_of_which_nothing_can_be_taken(sheet: Sheet, content: bytes, sentence: str) -> None:
    """Each gives its sentence and no load."""
    result = sheet(content)
    assert result.loads == {}
    assert any(text.startswith(sentence) for text in sentences(result)), sentences(result)


def test_an_unknown_column_is_reported_and_the_others_are_taken(sheet: Sheet) -> None:
    """What stands below a header that is not recognised is not taken, and that is said once."""
    result = sheet("id,subsystem,colour\nL1,E,red\nL2,E,blue\n")
    assert set(result.loads) == {"L1", "L2"}
    assert len(result.problems) == 1
    assert "the column is not taken" in result.problems[0].message


def test_a_missing_list_is_one_sentence(tmp_path: Path) -> None:
    """A path that leads nowhere is a problem and no exception."""
    assert sentences(read_loads(tmp_path / "none.csv")) == [": there is no such file or folder"]


def test_text_that_acts_on_a_terminal_is_not_taken_in(sheet: Sheet) -> None:
    """Control and bidirectional characters of a foreign sheet become harmless on the way in."""
    result = sheet("id,subsystem,name\nL1,E,\x1b]0;x\u202ey\n")
    assert result.loads["L1"].name.isprintable()


@given(st.text(alphabet=',;\t"\n\r ZLid012.%é', max_size=80) | st.binary(max_size=60))
@settings(max_examples=200)
def test_any_content_gives_loads_or_problems(tmp_path_factory: pytest.TempPathFactory, content: str | bytes) -> None:
    """No content raises, every load has a lawful id, and a list without loads says why."""
    path = tmp_path_factory.getbasetemp() / "random.csv"
    head = b"id;subsystem;name\n"
    path.write_bytes(content if isinstance(content, bytes) else head + content.encode())
    result = read_loads(path)
    assert all(map(is_id, result.loads))
    assert result.loads or result.problems or not path.read_bytes().removeprefix(head).strip(b' ;\t\r\n,"')
