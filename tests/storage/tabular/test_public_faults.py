"""Faults that people met in public with sheets, each as a tiny list (our own words and data; no single source).

`tests/public_faults/faults.csv` says which test holds which of them; where less is tried than was met, its remark says
so.

What a whole file of tests holds is not repeated here: encodings, separators and line ends in `test_text_forms`, cells
of workbooks in `test_workbook`, tables, headings and sums in `test_layout`, lists of parts in `test_import_cases`.
"""

import unicodedata
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import pytest

from bomtui.storage.tabular.answers import Answers
from bomtui.storage.tabular.loads import LoadsResult, read_loads
from bomtui.storage.tabular.parts import PartsResult, read_parts
from bomtui.storage.tabular.value_text import read_value

EUR = Answers(currency="EUR")


@pytest.fixture
def loads(tmp_path: Path) -> Callable[..., LoadsResult]:
    """Read a load list of one column beside id and subsystem."""

    def read(header: str, *cells: str, answers: Answers | None = None) -> LoadsResult:
        path = tmp_path / "list.tsv"
        rows = "".join(f"L{number}\tE\t{cell}\n" for number, cell in enumerate(cells, start=1))
        path.write_text(f"id\tsubsystem\t{header}\n{rows}", encoding="utf-8")
        return read_loads(path, answers or Answers())

    return read


@pytest.fixture
def prices(tmp_path: Path) -> Callable[..., PartsResult]:
    """Read a price list."""

    def read(*cells: str, answers: Answers = EUR) -> PartsResult:
        path = tmp_path / "list.tsv"
        rows = "".join(f"X{number}\t{cell}\n" for number, cell in enumerate(cells, start=1))
        path.write_text(f"MPN\tprice\n{rows}", encoding="utf-8")
        return read_parts(path, answers)

    return read


def amounts(result: PartsResult) -> list[Decimal | None]:
    """Price of each row that was taken."""
    return [row.values["breaks"][0].price if "breaks" in row.values else None for row in result.rows]


@pytest.mark.parametrize(
    ("header", "cells", "name", "values"),
    [
        ("current", ("12 uA", "12 µA", "12 μA"), "test_current_a", [12e-6, 12e-6, 12e-6]),
        ("resistance", ("5 Ω", "5 Ω", "2k2", "0R"), "resistance_ohm", [5.0, 5.0, 2200.0, 0.0]),
        ("power", ("3 mW", "3 MW"), "rated_power_w", [0.003, 3e6]),
        ("current [mA]", ("450", "1,5 A"), "test_current_a", [0.45, 1.5]),
        ("power [W]", ("12 345,5", "12\u00a0345,5", "12\u202f345,5", "12'345,5"), "rated_power_w", [12345.5] * 4),
    ],
)
def test_signs_that_only_look_different(
    loads: Callable[..., LoadsResult], header: str, cells: tuple[str, ...], name: str, values: list[float]
) -> None:
    """Both micros, both omegas, all spaces that group digits are one; the case of a prefix is not."""
    result = loads(header, *cells)
    assert [getattr(load, name) for load in result.loads.values()] == values


@pytest.mark.parametrize(
    ("header", "cell", "sentence"),
    [
        ("current [A]", "5 mAh", "found a charge"),
        ("power [W]", "250 mW (1/4 W)", "is not one unit"),
        ("current [A]", "-99999", "not negative"),
        ("duty.RUN", "50", "a number without its unit"),
        ("duty.RUN", "3500 %", "a share of 0 % to 100 %"),
        ("resistance", "R", "does not begin with a number"),
        ("current [A]", "1.2.3,4", 'found "1.2.3,4"'),
    ],
)
def test_cells_that_are_refused(loads: Callable[..., LoadsResult], header: str, cell: str, sentence: str) -> None:
    """Each names its line and what stands there, and is never read as half of it."""
    result = loads(header, "", cell)
    assert list(result.loads) == ["L1"]
    assert [problem.line for problem in result.problems] == [3]
    assert sentence in result.problems[0].message


def test_blank_is_unknown_and_zero_is_zero(loads: Callable[..., LoadsResult]) -> None:
    """An empty cell is no 0, and a 0 is no empty cell."""
    result = loads("duty.RUN [%]", "", "0", "35")
    assert [load.time_share_ratio for load in result.loads.values()] == [{}, {"RUN": 0.0}, {"RUN": 0.35}]


@pytest.mark.parametrize("share", ["50 %", "50%", "0.5"])
def test_a_share_in_all_its_spellings(loads: Callable[..., LoadsResult], share: str) -> None:
    """Per cent with its sign, or a fraction under a header that says 1."""
    header = "duty.RUN [1]" if "%" not in share else "duty.RUN"
    assert loads(header, share).loads["L1"].time_share_ratio == {"RUN": 0.5}


def test_one_wrong_cell_blames_its_own_row(loads: Callable[..., LoadsResult]) -> None:
    """With a decimal comma, a later cell with two marks does not make the first one wrong."""
    result = loads("current [A]", "1,20", "22,3", "1.2.3,4")
    assert [load.test_current_a for load in result.loads.values()] == [1.2, 22.3]
    assert [problem.line for problem in result.problems] == [4]


@pytest.mark.parametrize(
    ("cells", "found"),
    [
        (("0,85", "25.00", "1.234", "1.234,50"), ["0.85", "25.00", "1234", "1234.50"]),
        (("1.355,90", "9,99"), ["1355.90", "9.99"]),
        (("1,355.90", "9.99"), ["1355.90", "9.99"]),
        (("1 355,90", "1'355.90", "1355,9"), ["1355.90", "1355.90", "1355.9"]),
        (("1.234.123 €", "1,5"), ["1234123", "1.5"]),
        (("3.0335e-06",), ["0.0000030335"]),
        (("54.234246451",), ["54.234246451"]),
    ],
)
def test_prices_in_all_their_spellings(
    prices: Callable[..., PartsResult], cells: tuple[str, ...], found: list[str]
) -> None:
    """The whole column says what its marks are; every digit is kept."""
    assert amounts(prices(*cells)) == list(map(Decimal, found))


def test_a_price_with_the_other_mark_is_named(prices: Callable[..., PartsResult]) -> None:
    """It can be read in one way only and is taken so, and a look at it is asked for."""
    result = prices("0,85", "0,90", "25.00")
    assert [doubt.line for doubt in result.doubts] == [4]
    assert "another decimal mark" in result.doubts[0].message


@pytest.mark.parametrize("cell", ["1,234", "€ 55.555", "1.234"])
def test_a_price_with_two_readings_is_refused(prices: Callable[..., PartsResult], cell: str) -> None:
    """Three digits behind one mark are neither thousands nor decimals until somebody says so."""
    result = prices(cell)
    assert (result.rows, "can mean" in result.problems[0].message) == ((), True)
    told = prices(cell, answers=Answers(currency="EUR", decimal_mark="comma"))
    assert amounts(told) in ([Decimal("1.234")], [Decimal(55555)], [Decimal(1234)])


@pytest.mark.parametrize("cell", ["-1.20", "(1.20)", "free", "1.20 each", "12 €/100"])
def test_what_is_no_price_is_refused(prices: Callable[..., PartsResult], cell: str) -> None:
    """Credits, words and prices of other quantities."""
    result = prices("1.50", cell)
    assert (amounts(result), [problem.line for problem in result.problems]) == ([Decimal("1.50")], [3])


def test_prices_of_two_currencies_are_never_one(tmp_path: Path) -> None:
    """A row whose prices disagree about their currency is refused."""
    path = tmp_path / "list.csv"
    path.write_text("MPN,1+,100+\nX1,$1.20,€1.00\n", encoding="utf-8")
    result = read_parts(path)
    assert "prices of one currency" in result.problems[0].message


def test_composed_and_decomposed_letters_are_one_part(tmp_path: Path) -> None:
    """So are numbers that differ in blanks and hyphens; letters with other marks are not."""
    path = tmp_path / "list.csv"
    names = ["SÜD-1", unicodedata.normalize("NFD", "SÜD-1"), "süd\u20111 ", "ŻUBR", "ZUBR"]
    path.write_text("MPN,qty\n" + "".join(f"{name},1\n" for name in names), encoding="utf-8")
    assert [row.mpn for row in read_parts(path).rows] == ["SÜD-1", "SÜD-1", "SÜD-1", "ŻUBR", "ZUBR"]


@pytest.mark.parametrize("first", ["", "\ufeff", "sep=;\n", '"sep=;"\n'])
def test_helper_lines_and_marks_are_no_part_of_a_header(tmp_path: Path, first: str) -> None:
    """The first column keeps its name."""
    path = tmp_path / "list.csv"
    path.write_text(f"{first}id;subsystem\nL1;E\n", encoding="utf-8")
    assert list(read_loads(path).loads) == ["L1"]


def test_everything_in_one_column_is_no_success(tmp_path: Path) -> None:
    """A list whose separator nobody knows, or was told wrongly, gives no load and says what is missing."""
    path = tmp_path / "list.csv"
    path.write_text("id;subsystem\nL1;E\n", encoding="utf-8")
    result = read_loads(path, Answers(separator="comma"))
    assert (result.loads, "expected a column with the header id" in str(result.problems)) == ({}, True)


@pytest.mark.parametrize(
    ("text", "letters", "params"),
    [
        ("5p4", "C", {"capacitance": 5.4e-12}),
        ("4p7F", "C", {"capacitance": 4.7e-12}),
        ("0.1uF / 100nF", "C", {"capacitance": 1e-7}),
        ("0.1uF / 220nF", "C", {"capacitance": 1e-7}),
        ("1m5", "R", {"resistance": 0.0015}),
        ("250 mW (1/4 W)", "", {"power": 0.25}),
        ("M", "R", {}),
        ("100R 5% 10%", "R", {"resistance": 100.0, "ratio": 0.05}),
    ],
)
def test_value_cells(text: str, letters: str, params: dict[str, float]) -> None:
    """Letters as decimal marks, second spellings, brackets: what is not plain is remarked, never multiplied."""
    found = read_value(text, letters)
    assert found.params == pytest.approx(params)
    is_plain = text in {"5p4", "4p7F", "1m5", "0.1uF / 100nF"}
    assert bool(found.remark) is not is_plain


@pytest.mark.parametrize("header", ["MinQty.", "Ab Menge", "Minimun Qty"])
def test_a_quantity_header_is_taken_or_asked(tmp_path: Path, header: str) -> None:
    """A header of smallest quantities that is not understood is a question that names it, never a quantity of 0."""
    path = tmp_path / "list.csv"
    path.write_text(f"MPN,price,{header}\nX1,0.80,50\n", encoding="utf-8")
    result = read_parts(path, EUR)
    taken = [row.values.get("moq") for row in result.rows]
    asked = [question.subject for question in result.questions if question.needed]
    assert taken == [50] or asked == [header]
