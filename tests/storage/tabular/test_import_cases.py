"""The import trials of tests/data/import_cases, each against its expected result (synthetic, made for these readers).

Where a trial accepts a question in place of rows, the question is looked for first and answered then.
"""

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from msgspec import structs

from bomtui.storage.problems import Problem
from bomtui.storage.proposal.read import read_proposal
from bomtui.storage.tabular.answers import IGNORE, Answers
from bomtui.storage.tabular.loads import read_loads
from bomtui.storage.tabular.parts import PartRow, PartsResult, read_parts

CASES = Path(__file__).parents[2] / "data" / "import_cases"
EXPECTED: dict[str, Any] = json.loads((CASES / "expected.json").read_text(encoding="utf-8"))["files"]
LISTS = [name for name, case in EXPECTED.items() if case["kind"] in {"parts_list", "price_list"}]
ASKED = {
    "p04_preamble_and_two_tables.csv": Answers(header_row=20),
    "p05_two_row_header_two_suppliers.csv": Answers(supplier="Beta"),
    "p14_merged_header_hidden_sheet.xlsx": Answers(supplier="Supplier A"),
}
"""Trials that are asked, with an answer: table, supplier Beta, Supplier A."""
SUPPLIERS = {"p05_two_row_header_two_suppliers.csv": "Beta", "p14_merged_header_hidden_sheet.xlsx": "Supplier A"}
DIMENSIONS = {
    "resistance_ohm": "resistance", "capacitance_F": "capacitance", "inductance_H": "inductance",
    "frequency_Hz": "frequency", "current_A": "current", "voltage_V": "voltage", "power_W": "power",
    "tolerance": "ratio",
}  # fmt: skip


def read(name: str, answers: Answers | None = None) -> PartsResult:
    """Read a trial with what the person has said beforehand."""
    currency = EXPECTED[name].get("options", {}).get("default_currency", "")
    asked = answers or ASKED.get(name, Answers())
    return read_parts(CASES / name, structs.replace(asked, currency=currency))


def reported(found: tuple[Problem, ...], line: int) -> str:
    """Everything that is said of a line."""
    return "\n".join(f"{problem.field} {problem.message}" for problem in found if problem.line == line)


def price(row: PartRow) -> Decimal | None:
    """The unit price of one piece; None where it is unknown."""
    breaks = row.values.get("breaks", ())
    return breaks[0].price if breaks else None


def check_row(row: PartRow, wanted: dict[str, Any], said: str) -> None:
    """Hold a row against what is wanted of it."""
    assert row.mpn == wanted.get("part_number", row.mpn)
    assert row.quantity == Decimal(str(wanted.get("quantity", row.quantity)))
    assert list(row.refs) == wanted.get("refs", list(row.refs))
    assert row.is_fitted == wanted.get("populate", row.is_fitted)
    for key, field in (("manufacturer", "maker"), ("description", "description"), ("currency", "currency")):
        if wanted.get(key):
            assert row.values.get(field) == wanted[key]
    if "unit_price" in wanted:
        expected = wanted["unit_price"]
        assert price(row) == (None if expected is None else Decimal(expected))
    if "breaks" in wanted:
        found = [[rung.quantity, rung.price] for rung in row.values.get("breaks", ())]
        assert found == [[least, Decimal(amount)] for least, amount in wanted["breaks"]]
    for key in ("moq", "multiple"):
        assert row.values.get(key) == wanted.get(key, row.values.get(key))
    check_params(row, wanted, said)


def check_params(row: PartRow, wanted: dict[str, Any], said: str) -> None:
    """Hold the numbers of the value cell against what is wanted; where a report will do in their place, either."""
    if wanted.get("never_params"):
        assert row.params == {}
    for name, number in wanted.get("params", {}).items():
        found = row.params.get(DIMENSIONS[name])
        if found is None and "params" in wanted.get("may_flag", ()):
            assert said
        else:
            assert found == pytest.approx(float(number), rel=1e-12)


@pytest.mark.parametrize("name", LISTS)
def test_a_parts_list_gives_its_rows(name: str) -> None:
    """Every expected row is there with its values, and no other row is."""
    case, result = EXPECTED[name], read(name)
    rows = {row.line: row for row in result.rows}
    wanted = {entry["row"]: entry for entry in case["rows"]}
    for line, entry in wanted.items():
        said = reported((*result.problems, *result.doubts), line)
        if line not in rows:
            offers = {offer["supplier"] for offer in entry.get("offers", [])}
            assert said or (offers and SUPPLIERS[name] not in offers)
            assert "row" in entry.get("may_flag", ()) or case["errors"] or offers
            continue
        check_row(rows[line], entry, said)
        for offer in entry.get("offers", []):
            if offer["supplier"] == SUPPLIERS[name]:
                assert (price(rows[line]), rows[line].values.get("moq")) == (Decimal(offer["unit_price"]), offer["moq"])
    assert set(rows) <= set(wanted)


@pytest.mark.parametrize("name", LISTS)
def test_a_parts_list_says_what_is_wrong_with_it(name: str) -> None:
    """Every error is a row that is not taken, every warning is said, each with its line and what it must name."""
    case, result = EXPECTED[name], read(name)
    asked = "\n".join(question.sentence for question in result.questions)
    for error in case["errors"]:
        said = reported(result.problems, error["row"])
        assert said
        assert all(word in said + asked + str(error["row"]) for word in error.get("must_mention", ()))
        assert error["row"] not in {row.line for row in result.rows}
    everything = (*result.doubts, *result.problems)
    for warning in case.get("warnings", ()):
        said = reported(everything, warning["row"])
        assert said or warning.get("optional")
        assert all(word in said for word in warning.get("must_mention", ()) if said)
    problem_lines = {problem.line for problem in result.problems}
    allowed = {error["row"] for error in case["errors"]}
    allowed |= {entry["row"] for entry in case["rows"] if entry.get("may_flag")}
    assert problem_lines <= allowed or result.questions


@pytest.mark.parametrize("name", LISTS)
def test_totals_and_rows_left_out(name: str) -> None:
    """Lines and pieces add to the stated numbers, and every row that is no part is listed as left out."""
    case, result = EXPECTED[name], read(name)
    notices = "\n".join(result.notices)
    blank = {2, 7, 11} if name.startswith("p08") else set()
    for line in case.get("skipped_rows", ()):
        header = int(case["read"]["header_row"])
        assert line in blank or line < header or f"line {line}:" in notices
    totals = case.get("totals", {})
    if not case["errors"] and name not in SUPPLIERS and not result.problems:
        assert len(result.rows) == totals["lines"]
        assert sum(row.quantity for row in result.rows) == Decimal(totals.get("quantity", sum(
            row.quantity for row in result.rows)))  # fmt: skip
        cost = sum((price(row) or 0) * row.quantity for row in result.rows)
        assert cost == Decimal(totals.get("cost", cost))


@pytest.mark.parametrize(
    ("name", "about", "words"),
    [
        ("p04_preamble_and_two_tables.csv", "header_row", "line 8"),
        ("p05_two_row_header_two_suppliers.csv", "supplier", "Alpha, Beta"),
        ("p14_merged_header_hidden_sheet.xlsx", "supplier", "Supplier A, Supplier B"),
        ("p18_same_header_twice.csv", "columns", "column 2 (Qty) and column 6 (Qty)"),
    ],
)
def test_what_a_list_leaves_open_is_asked(name: str, about: str, words: str) -> None:
    """Without an answer nothing is taken, and the question names what was found."""
    result = read(name, Answers())
    assert result.rows == ()
    assert any(question.about == about and words in question.sentence for question in result.questions)


@pytest.mark.parametrize(("ignored", "quantities"), [("#6", [24, 0, 0]), ("#2", [24, 2, 1])])
def test_the_answer_chooses_the_column(ignored: str, quantities: list[int]) -> None:
    """Of two columns of one header the one is taken that is not ignored."""
    result = read("p18_same_header_twice.csv", Answers(columns={ignored: IGNORE, "Datasheet": IGNORE}))
    assert [row.quantity for row in result.rows] == quantities


def test_a_load_list_with_mixed_units() -> None:
    """The unit of each cell decides, power stays power, and a row that contradicts itself waits for a person."""
    name = "p20_load_list_mixed_units.csv"
    open_result = read_loads(CASES / name)
    assert {question.about for question in open_result.questions} == {"columns", "ids", "subsystem"}
    answers = Answers(ids="number", subsystem="CAB", pieces="all", columns={"Duty": "time_share.RUN"})
    result = read_loads(CASES / name, answers)
    for entry in EXPECTED[name]["rows"]:
        load = next(load for load in result.loads.values() if load.name == entry["name"])
        assert load.rated_voltage_v == float(entry["voltage_V"])
        assert load.test_current_a == (None if entry["current_A"] is None else float(entry["current_A"]))
        assert load.rated_power_w == (float(entry["power_W_each"]) if entry["current_A"] is None else None)
        assert load.time_share_ratio == {"RUN": float(entry["duty"])}
    assert len(result.loads) == len(EXPECTED[name]["rows"])
    (problem,) = result.problems
    assert (problem.line, "40 W" in problem.message, "27 W" in problem.message) == (9, True, True)


def test_rows_of_several_pieces_make_as_many_loads() -> None:
    """Where the numbers are those of each piece, each piece is a load; where nobody says, the rows wait."""
    name = "p20_load_list_mixed_units.csv"
    answers = {"ids": "number", "subsystem": "CAB", "columns": {"Duty": "time_share.RUN"}}
    each = read_loads(CASES / name, Answers(**answers, pieces="each"))  # type: ignore[arg-type]
    assert len(each.loads) == sum(entry["quantity"] for entry in EXPECTED[name]["rows"])
    assert {"L1-1", "L1-2", "L4"} <= set(each.loads)
    asked = read_loads(CASES / name, Answers(**answers))  # type: ignore[arg-type]
    assert "pieces" in {question.about for question in asked.questions}
    assert {problem.line for problem in asked.problems} == {2, 3, 4, 8, 9}


def test_a_power_tree_is_no_load_list_until_somebody_says_so() -> None:
    """Its columns of sources and efficiencies are asked, and nothing is taken."""
    result = read_loads(CASES / "p21_power_tree_efficiency.csv")
    assert result.loads == {}
    assert {"Fed from", "Efficiency"} <= {question.subject for question in result.questions}


def test_a_decimal_comma_in_a_project_file_names_its_line() -> None:
    """It is refused as a whole, with the line at which it stands."""
    name = "p22_project_decimal_comma.toml"
    (problem,) = read_proposal(CASES / name).problems
    assert problem.line == EXPECTED[name]["errors"][0]["row"]
