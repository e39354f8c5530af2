"""Lists of parts and prices into the catalog: a dry run first, then one transaction, or nothing."""

import json
import shutil
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import msgspec
import pytest

from bomtui.engine.price import line_price, order_quantity, rung_of
from bomtui.model.part import PART_KINDS, Part, PriceBreak
from bomtui.services.artefact import as_json
from bomtui.services.catalog import show
from bomtui.services.catalog_import import PartsImport, import_parts
from bomtui.services.open import open_proposal
from bomtui.services.parts_list import parts_list_bytes
from bomtui.services.review import review
from bomtui.services.rollup import compute
from bomtui.services.sheets import Answers
from bomtui.storage.catalog import Catalog, open_catalog
from bomtui.storage.tabular.part_doubts import part_doubts
from bomtui.storage.tabular.parts import read_parts
from tests.architecture.scan import REPO

CASES = REPO / "tests" / "data" / "import_cases"
Import = Callable[..., PartsImport]


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A catalog of one part of these tests' own, beside the shipped ones."""
    path = tmp_path_factory.mktemp("filled") / "catalog.sqlite"
    with open_catalog(path) as catalog:
        catalog.build({"BW-1": BW1}, "imported")
    return path


@pytest.fixture
def place(tmp_path: Path, filled: Path) -> str:
    """A copy of it for one test."""
    return str(shutil.copy(filled, tmp_path / "catalog.sqlite"))


BW1 = Part(
    kind="high_side", maker="Brindlow", mpn="BW/1", package="SO8", currency="EUR",
    breaks=(PriceBreak(quantity=1, price=Decimal("1.20")),),
)  # fmt: skip


@pytest.fixture
def run(tmp_path: Path, place: str) -> Import:
    """Import a list from text."""

    def imported(text: str, *, dry_run: bool = False, without_refused: bool = False, **answers: Any) -> PartsImport:  # noqa: ANN401
        path = tmp_path / "list.csv"
        path.write_text(text, encoding="utf-8")
        return import_parts(
            path, Answers(**answers), place=place, dry_run=dry_run, without_refused=without_refused
        )  # fmt: skip

    return imported


def states(plan: PartsImport) -> dict[str, str]:
    """What becomes of each row."""
    return {row.name: row.state for row in plan.sheet.rows}


def test_a_price_list_changes_prices_only(run: Import, place: str) -> None:
    """A part is found by its maker part number, and keeps what the list does not give."""
    plan = run("MPN,1+,100+\nBW/1,1.10,0.90\n", currency="EUR", existing="replace")
    part = show("BW-1", place).part
    assert states(plan) == {"BW-1": "changed"}
    assert [(rung.quantity, str(rung.price)) for rung in part.breaks] == [(1, "1.10"), (100, "0.90")]
    assert (part.package, part.maker, show("BW-1", place).origin) == ("SO8", "Brindlow", "imported")


def test_alternates_are_added(run: Import, place: str) -> None:
    """A list of part numbers and alternates is one, too; what is no key is refused."""
    run("MPN,alternates\nBW/1,hs24-1x4 hs24-2x10\n", existing="replace")
    assert show("BW-1", place).part.alternates == ("hs24-1x4", "hs24-2x10")
    refused = run("MPN,alternates\nBW/1,a/b\n", existing="replace")
    assert "expected catalog keys as alternates" in refused.sheet.problems[0].message


@pytest.mark.parametrize(
    ("text", "answers", "about"),
    [
        ("MPN,price\nN1,1.20\n", {"kind": "passive"}, "currency"),
        ("MPN,price [EUR]\nN1,1.20\n", {}, "kind"),
        ("MPN,price [EUR]\nBW/1,1.10\n", {}, "existing"),
        ("MPN,price [EUR]\nN1,1.20\nN1,1.30\n", {"kind": "passive"}, "duplicates"),
        ("MPN,MinQty.,price [EUR]\nN1,50,1.20\n", {"kind": "passive"}, "columns"),
        ("MPN,Ab Menge,price [EUR]\nN1,50,1.20\n", {"kind": "passive"}, "columns"),
        ("MPN,price [EUR],rds_on\nN1,1.20,5\n", {"kind": "fet"}, "columns"),
    ],
)
def test_what_is_open_is_asked_and_nothing_is_written(
    run: Import, place: str, text: str, answers: dict[str, str], about: str
) -> None:
    """Currency, kind, what is there already, rows that differ, unknown columns and units: none is guessed."""
    plan = run(text, **answers)
    assert about in {question.about for question in plan.sheet.questions}
    assert plan.sheet.obstacle(without_refused=False)
    with Catalog(place) as catalog:
        assert (catalog.get("N1"), catalog.get("BW-1")) == (None, BW1)


@pytest.mark.parametrize(("duplicates", "price"), [("keep", "1.20"), ("replace", "1.30")])
def test_rows_that_differ_are_chosen(run: Import, place: str, duplicates: str, price: str) -> None:
    """The first or the last, as somebody says."""
    run("MPN,price [EUR]\nN1,1.20\nN1,1.30\n", kind="passive", duplicates=duplicates)
    assert str(show("N1", place).part.breaks[0].price) == price


def test_one_supplier_of_several_comes_in(run: Import, place: str) -> None:
    """Open until it is said whose prices stand; then the offer of that one, in its currency, is the part's."""
    text = "MPN;Alpha price [EUR];Alpha 100+ [EUR];Alpha MOQ;Beta price [USD];Beta MOQ\nBW/1;1,10;0,90;100;1,05;10\n"
    open_plan = run(text, existing="replace")
    assert open_plan.sheet.obstacle(without_refused=True) == "1 question is open"
    assert show("BW-1", place).part == BW1
    plan = run(text, existing="replace", supplier="Beta, Alpha")
    part = show("BW-1", place).part
    assert states(plan) == {"BW-1": "changed"}
    assert part == msgspec.structs.replace(
        BW1, currency="USD", moq=10, breaks=(PriceBreak(quantity=1, price=Decimal("1.05")),)
    )


def test_terms_of_a_former_price_are_said_where_they_stay(run: Import) -> None:
    """A list of prices alone may leave another supplier's day and smallest order beside them."""
    run("MPN,price [EUR],moq,price_date\nBW/1,1.10,50,2026-01-05\n", existing="replace")
    notices = run("MPN,price [EUR],moq\nBW/1,1.15,20\n", existing="replace").sheet.notices
    assert "1 new price keeps the former price_date, which the list does not give" in notices
    assert not any("former moq" in notice for notice in notices)


def test_every_kind_of_part_comes_from_its_table(run: Import, place: str) -> None:
    """The shipped tables, imported as a list, are as they are; a changed cell changes its part."""
    for kind in PART_KINDS:
        table = REPO / "catalog" / f"{kind}.csv"
        plan = import_parts(table, Answers(), place=place)
        assert plan.sheet.problems == ()
        assert {row.state for row in plan.sheet.rows} == {"as it is"}
    text = (REPO / "catalog" / "fet.csv").read_text(encoding="utf-8").replace(",active,", ",nrnd,")
    assert "changed" in states(run(text, existing="replace")).values()


def test_one_number_of_two_makers_is_two_parts(run: Import, place: str) -> None:
    """A row that names another maker is another part; its key must differ, too."""
    plan = run("part,MPN,maker,kind\nother-1,BW/1,Varnholt,fet\n")
    assert states(plan) == {"other-1": "new"}
    assert states(run("MPN,maker,kind\nBW/1,Brindlow,high_side\n")) == {"BW-1": "as it is"}
    assert show("other-1", place).part.maker == "Varnholt"


def test_parameters_with_their_sides(run: Import, place: str) -> None:
    """Typical and largest values in columns of their own become one parameter; their order is held."""
    text = "MPN,kind,Rds on typ (mΩ),rds_on max [mohm]\nN1,fet,4,6.5\n"
    run(text)
    part = show("N1", place).part
    assert (part.rds_on_ohm.typ, part.rds_on_ohm.max) == (0.004, 0.0065)
    assert "min <= typ <= max" in run(text.replace("6.5", "3.5").replace("N1", "N2")).sheet.problems[0].message


@pytest.mark.parametrize(
    ("number", "hint"),
    [("4400120093300010", "did you mean 4400120093300017?"), ("4400120093300015", ""), ("4400129999900010", "")],
)
def test_a_number_cut_by_a_spreadsheet_is_noticed(run: Import, number: str, hint: str) -> None:
    """One that ends in 0 where a shipped part has its first 15 digits gets a hint; it is taken letter by letter."""
    plan = run(f"MPN,kind\n{number},passive\n")
    assert any("did you mean" in doubt.message and hint in doubt.message for doubt in plan.sheet.doubts) is bool(hint)
    assert number in states(plan)


def test_numbers_that_only_look_alike_stay_apart(run: Import, place: str) -> None:
    """Leading zeros and letters in the middle are kept, and 04 is not 4."""
    run("MPN,kind\n0810370001,passive\n810370001,passive\n41E02,passive\n04,passive\n4,passive\n")
    with Catalog(place) as catalog:
        assert [catalog.get(key) is not None for key in ("0810370001", "810370001", "41E02", "04", "4")] == [True] * 5


@pytest.mark.parametrize(
    "vehicle",
    ["parcel_van", *(pytest.param(name, marks=pytest.mark.slow) for name in ("street_sweeper", "subject_bench"))],
)
def test_a_parts_list_that_we_wrote_is_read_without_a_question(tmp_path: Path, place: str, vehicle: str) -> None:
    """Every line comes back with its part, quantity and unit price, and sums and facts below are no lines."""
    reviewed = review(compute(open_proposal(REPO / "sample_projects" / vehicle)))
    path = tmp_path / "list.csv"
    path.write_bytes(parts_list_bytes(reviewed, "csv"))
    wanted = json.loads(parts_list_bytes(reviewed, "json"))["lines"]
    result = read_parts(path)
    assert (result.questions, result.problems) == ((), ())
    found = [
        (row.key, row.mpn, str(row.quantity), [str(rung.price) for rung in row.values.get("breaks", ())])
        for row in result.rows
    ]
    assert found == [
        (line["part"], line["mpn"], str(line["quantity"]), [line["unit_price"]] if line["unit_price"] else [])
        for line in wanted
    ]
    plan = import_parts(path, Answers(existing="keep"), place=place, dry_run=True)
    assert plan.sheet.obstacle(without_refused=False) == ""


PRICES = json.loads((CASES / "expected.json").read_text(encoding="utf-8"))["files"]["p10_price_break_columns.csv"]


def test_imported_rungs_give_the_expected_orders() -> None:
    """Order quantity, rung and cost of the price list trial, need by need (worked out with the trial)."""
    rows = {row.mpn: row for row in read_parts(CASES / "p10_price_break_columns.csv").rows}
    for entry in PRICES["rows"]:
        values = rows[entry["part_number"]].values
        for query in entry["queries"]:
            order = order_quantity(Decimal(query["need"]), values["moq"], values["multiple"])
            rung, _ = rung_of(values["breaks"], int(order))
            assert rung is not None
            assert (order, rung.price) == (query["order"], Decimal(query["unit_price"]))
            assert line_price(rung.price, order) == Decimal(query["cost"])


@pytest.mark.parametrize(
    ("kind", "column", "cell", "cause"),
    [
        ("high_side", "rds_on [ohm]", "0", "a blank cell written as 0"),
        ("high_side", "rds_on [ohm]", "180", "mohm read as ohm"),
        ("low_side", "standby current [A]", "12", "milliamperes or microamperes read as amperes"),
        ("ldo", "junction_max [degC]", "423", "kelvin or degrees Fahrenheit"),
        ("fet", "theta_ja [K/W]", "0", "a blank cell written as 0"),
        ("passive", "price [EUR]", "0182", "its decimal mark was lost"),
        ("passive", "price [EUR]", "0.00", "a blank cell written as 0"),
    ],
)
def test_values_that_can_hardly_be_meant_are_named(run: Import, kind: str, column: str, cell: str, cause: str) -> None:
    """They come in, as nobody forbids them, and each is said with its likely cause."""
    column = column.replace("rds_on", "rds_on typ").replace("standby current", "standby_current typ")
    plan = run(f"MPN,kind,{column}\nN1,{kind},{cell}\n")
    assert any(cause in doubt.message for doubt in plan.sheet.doubts), plan.sheet
    assert states(plan) == {"N1": "new"}


def test_no_shipped_part_is_doubted() -> None:
    """The bounds find slips, not parts."""
    parts = open_proposal(REPO / "sample_projects" / "parcel_van").snapshot.parts
    given = {key: msgspec.structs.asdict(part) for key, part in parts.items()}
    assert {key: found for key, part in parts.items() if (found := part_doubts(part.kind, given[key]))} == {}
    assert as_json({"parts": len(given)})
