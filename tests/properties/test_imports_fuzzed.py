"""Any file as load list or parts list: never an exception, and no row that is neither taken, refused nor listed."""

import random
import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from bomtui.model.ids import is_id
from bomtui.model.money import is_currency
from bomtui.storage.tabular.answers import Answers
from bomtui.storage.tabular.delimited import split
from bomtui.storage.tabular.loads import LoadsResult, read_loads
from bomtui.storage.tabular.parts import PartsResult, read_parts
from tests.architecture.scan import REPO
from tests.storage.tabular.small_workbook import fault, formula, number, sheet, text, write_workbook

CASES = REPO / "tests" / "data" / "import_cases"
LOAD_HEADS = [
    "id",
    "Load",
    "subsystem",
    "Gruppe",
    "Strom (mA)",
    "current",
    "power [W]",
    "Qty",
    "Duty RUN %",
    "zone",
    "?",
]
PART_HEADS = [
    "MPN", "Part", "Ref", "Qty", "Price", "Preis €", "1+", "100+", "Value", "DNP", "Maker", "Currency", "Typ",
    "Supplier", "Alpha price", "Beta Preis [EUR]", "Alpha MOQ", "Supplier 1", "Supplier 2", "Price 1", "Price 2",
]  # fmt: skip
CELLS = [
    "", " ", "L1", "L2", "R1-R4", "4k7", "1,5", "1.5", "1,234", "450 mA", "6 V", "x", "DNP", "€ 1,20", "0182", "-1",
    "Total", "Summe", "Lighting", "EXT", "10+ = 0,5; 1 = 2", "=1+1", '"', 'a "b', "a\nb", "1e400", "∞", "\u202e", "%",
    "2031-03-10", "1E10", "07", "12 345,1", "yes", "on request", "C1C2", "%s%s", "nan", "{}", "\ud7ff", "٣",
]  # fmt: skip
ROWS = st.lists(st.lists(st.sampled_from(CELLS), max_size=9), max_size=12)
ANSWERS = st.sampled_from(
    [
        Answers(),
        Answers(ids="number", subsystem="EXT", pieces="each", currency="EUR", others="ignore"),
        Answers(headings="subsystem", duplicates="replace", fill_down=("subsystem",), decimal_mark="comma"),
        Answers(decimal_mark="point", pieces="all", duplicates="keep", header_row=1),
        Answers(supplier="Alpha", others="ignore", currency="USD"),
        Answers(supplier="L1, x", others="ignore"),
    ]
)
MANY = settings(max_examples=400, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


def table(head: list[str], rows: list[list[str]], separator: str) -> str:
    """A text with separated cells, quoted where a cell needs it."""

    def cell(value: str) -> str:
        needs = any(sign in value for sign in (separator, '"', "\n"))
        return '"' + value.replace('"', '""') + '"' if needs else value

    return "".join(separator.join(map(cell, row)) + "\n" for row in [head, *rows])


def said(result: LoadsResult | PartsResult) -> set[int]:
    """Lines that are taken, refused or listed as left out."""
    taken = set(result.lines.values()) if isinstance(result, LoadsResult) else {row.line for row in result.rows}
    numbers = {int(found) for notice in result.notices for found in re.findall(r"(?:line|lines|rows) (\d+)", notice)}
    above = [int(found) for notice in result.notices for found in re.findall(r"headers taken from line (\d+)", notice)]
    return taken | numbers | {problem.line or 0 for problem in result.problems} | set(range(max(above, default=0)))


def lost(result: LoadsResult | PartsResult, content: str) -> set[int]:
    """Lines of a list that could be read at all which nothing accounts for; every value is lawful."""
    if isinstance(result, LoadsResult):
        assert all(map(is_id, result.loads))
        assert set(result.lines) == set(result.loads) == set(result.given)
    else:
        for row in result.rows:
            assert row.quantity >= 0
            assert all(rung.price >= 0 for rung in row.values.get("breaks", ()))
            assert is_currency(row.values.get("currency") or "EUR")
    if any(question.needed and question.about in {"header_row", "sheet", "supplier"} for question in result.questions):
        return set()
    if any("expected a column" in problem.message or "expected one column" in problem.message for problem in
           result.problems):  # fmt: skip
        return set()
    _, records = split(content.replace("\r", "\n"))
    lines = {record.line for record in records[1:]}
    if isinstance(result, LoadsResult) and any("stands also in line" in notice for notice in result.notices):
        return set()
    return lines - said(result)


@pytest.mark.slow
@given(st.lists(st.sampled_from(LOAD_HEADS), min_size=2, max_size=7), ROWS, st.sampled_from(",;\t"), ANSWERS)
@example(["id", "subsystem", "zone"], [["Lighting"], ["L1", "E", ""]], ";", Answers())
@MANY
def test_any_load_list(
    tmp_path: Path, head: list[str], rows: list[list[str]], separator: str, answers: Answers
) -> None:
    """No list raises, and none loses a row in silence."""
    path = tmp_path / "list.csv"
    content = table(head, rows, separator)
    path.write_text(content, encoding="utf-8", newline="")
    assert lost(read_loads(path, answers), content) == set()


@pytest.mark.slow
@given(st.lists(st.sampled_from(PART_HEADS), min_size=2, max_size=8), ROWS, st.sampled_from(",;\t"), ANSWERS)
@MANY
def test_any_parts_list(
    tmp_path: Path, head: list[str], rows: list[list[str]], separator: str, answers: Answers
) -> None:
    """So it is with parts and prices."""
    path = tmp_path / "list.csv"
    content = table(head, rows, separator)
    path.write_text(content, encoding="utf-8", newline="")
    assert lost(read_parts(path, answers), content) == set()


@pytest.mark.slow
@given(st.lists(st.lists(st.sampled_from(["", text("L1"), text("x"), number("1.5"), number("7", 1), number("47917", 2),
       formula("1+1"), formula("1+1", "2"), fault("#N/A")]), max_size=5), max_size=8))  # fmt: skip
@MANY
def test_any_workbook(tmp_path: Path, rows: list[list[str]]) -> None:
    """Cells of every kind under a header give loads, parts or sentences."""
    head = [text(name) for name in ("id", "subsystem", "current [A]", "Qty", "note")]
    content = sheet({1: head, **dict(enumerate(rows, start=2))})
    path = write_workbook(tmp_path / "book.xlsx", {"List": content})
    loads, parts = read_loads(path), read_parts(path)
    assert all(map(is_id, loads.loads))
    assert loads.loads or loads.problems
    assert parts.rows or parts.problems or parts.notices


@pytest.mark.slow
@pytest.mark.parametrize("name", sorted(path.name for path in CASES.glob("p*") if path.suffix != ".toml"))
def test_damaged_trials(tmp_path: Path, name: str) -> None:
    """Bytes changed, cut out, doubled or cut off never raise (300 damages of each trial, by a seed)."""
    data = (CASES / name).read_bytes()
    rng = random.Random(name)
    path = tmp_path / name
    results = 0
    for _ in range(300):
        damaged = bytearray(data)
        for _ in range(rng.randint(1, 6)):
            place = rng.randrange(len(damaged) or 1)
            change = rng.choice(("flip", "cut", "double", "end"))
            if change == "flip" and damaged:
                damaged[place] = rng.randrange(256)
            elif change == "cut":
                del damaged[place : place + rng.randint(1, 9)]
            elif change == "double":
                damaged[place:place] = damaged[place : place + rng.randint(1, 40)]
            else:
                del damaged[place:]
        path.write_bytes(bytes(damaged))
        for result in (read_loads(path), read_parts(path)):
            results += bool(result.problems or result.notices)
    assert results == 600
