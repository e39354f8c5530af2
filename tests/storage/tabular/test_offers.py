"""Prices of several suppliers in one list: whose stand is asked, and nobody else's come in (invented lists)."""

import datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from bomtui.storage.tabular.answers import Answers
from bomtui.storage.tabular.parts import PartsResult, read_parts

TWO_ROWS = """MPN;Alpha;;;Beta;;
;Price EUR;MOQ;Date;Price USD;MOQ;Date
X1;1,20;10;2026-01-05;1,30;20;2026-02-06
"""
NAME_FIRST = (
    "MPN,Alpha price [EUR],Alpha MOQ,Alpha price date,Beta price [USD],Beta MOQ,Beta date\n"
    "X1,1.20,10,2026-01-05,1.30,20,2026-02-06\n"
)
FORMS = [
    pytest.param(TWO_ROWS, id="above two rows"),
    pytest.param(NAME_FIRST, id="name first"),
    pytest.param(
        "MPN;Preis (Alpha) [EUR];Mindestmenge Alpha;Datum Alpha;Preis (Beta) [USD];Mindestmenge Beta;Datum Beta\n"
        "X1;1,20;10;2026-01-05;1,30;20;2026-02-06\n",
        id="name last",
    ),
    pytest.param(
        "MPN,Supplier 1,Price 1,Currency 1,MOQ 1,Date 1,Supplier 2,Price 2,Currency 2,MOQ 2,Date 2\n"
        "X1,Alpha,1.20,EUR,10,2026-01-05,Beta,1.30,USD,20,2026-02-06\n",
        id="counted",
    ),
    pytest.param(
        "MPN,supplier,price,currency,MOQ,price_date\nX1,Alpha,1.20,EUR,10,2026-01-05\nX1,Beta,1.30,USD,20,2026-02-06\n",
        id="a row each",
    ),
]
OF_ALPHA = (Decimal("1.20"), "EUR", 10, datetime.date(2026, 1, 5))
OF_BETA = (Decimal("1.30"), "USD", 20, datetime.date(2026, 2, 6))


def read(folder: Path, text: str, supplier: str = "", columns: dict[str, str] | None = None) -> PartsResult:
    """What a list says."""
    path = folder / "list.csv"
    path.write_text(text, encoding="utf-8")
    return read_parts(path, Answers(supplier=supplier, columns=columns or {}))


def offers(found: PartsResult) -> list[tuple[Any, ...]]:
    """The first price of each row, its currency, smallest order and day."""
    return [
        (
            own.values["breaks"][0].price if "breaks" in own.values else None,
            own.values.get("currency"),
            own.values.get("moq"),
            own.values.get("price_date"),
        )
        for own in found.rows
    ]


@pytest.mark.parametrize("text", FORMS)
def test_whose_prices_stand_is_asked_in_every_form(text: str, tmp_path: Path) -> None:
    """Nothing is taken before the answer; then one supplier's price, currency, quantity and day, and no other's."""
    found = read(tmp_path, text)
    assert found.rows == ()
    (question,) = found.questions
    assert (question.about, question.needed) == ("supplier", True)
    assert question.choices == ("Alpha", "Beta", "Alpha, Beta", "Beta, Alpha")
    for answer, offer, other in (("Alpha", OF_ALPHA, "Beta"), ("beta", OF_BETA, "Alpha")):
        told = read(tmp_path, text, answer)
        assert offers(told) == [offer], told.problems
        assert (told.problems, told.questions) == ((), ())
        assert any(f"prices of {other} left out" in notice for notice in told.notices)


@pytest.mark.parametrize(
    "text",
    [
        "MPN,Alpha price [EUR],Beta price [USD]\nX1,1.20,1.30\nX2,on request,2.50\n",
        "MPN,supplier,price,currency\nX1,Alpha,1.20,EUR\nX1,Beta,1.30,USD\nX2,Beta,2.50,USD\nX2,Gamma,2.40,USD\n",
    ],
)
def test_an_order_of_suppliers_reaches_the_next_one(text: str, tmp_path: Path) -> None:
    """Who is named first and offers the part; a part that none of them offers has no price, and that is said."""
    both = read(tmp_path, text, "Alpha, Beta")
    assert [own[0] for own in offers(both)] == [Decimal("1.20"), Decimal("2.50")]
    alone = read(tmp_path, text, "Alpha")
    assert offers(alone)[0][0] == Decimal("1.20")
    assert {own[0] for own in offers(alone)[1:]} == {None}
    assert any(doubt.field == "X2" and "offered by: Beta" in doubt.message for doubt in alone.doubts)


def test_rungs_of_a_supplier_stay_together(tmp_path: Path) -> None:
    """A ladder of the one supplier holds no rung of the other one."""
    text = "MPN,Alpha price [EUR],Alpha 100+ [EUR],Beta price [EUR],Beta 1000+ [EUR]\nX1,1.20,1.00,1.10,0.70\n"
    rungs = read(tmp_path, text, "Beta").rows[0].values["breaks"]
    assert [(own.quantity, own.price) for own in rungs] == [(1, Decimal("1.10")), (1000, Decimal("0.70"))]


def test_counted_prices_are_never_rungs_of_one_and_two_pieces(tmp_path: Path) -> None:
    """`Price 1` and `Price 2` are asked, with no column of suppliers too; rungs with wider steps stay rungs."""
    (question,) = read(tmp_path, "MPN,Price 1 [EUR],Price 2 [EUR]\nX1,1.20,1.30\n").questions
    assert question.about == "supplier"
    told = read(tmp_path, "MPN,Price 1 [EUR],Price 2 [EUR]\nX1,1.20,1.30\n", "2")
    assert offers(told)[0][0] == Decimal("1.30")
    ladder = read(tmp_path, "MPN,Price 1 [EUR],Price 10 [EUR]\nX1,1.20,1.10\n").rows[0].values["breaks"]
    assert [own.quantity for own in ladder] == [1, 10]


@pytest.mark.parametrize(
    "headers",
    [
        "Price per 100,Price per 1000",
        "10 pcs price,100 pcs price",
        "Price / EUR,Price / USD",
        "Price total,Price sum",
    ],
)
def test_what_is_no_supplier_is_not_offered_as_one(headers: str, tmp_path: Path) -> None:
    """Prices of other quantities, of two currencies and sums are asked column by column, as anywhere."""
    found = read(tmp_path, f"MPN,Qty,{headers}\nX1,1,1.20,1.30\n")
    assert found.questions
    assert {question.about for question in found.questions} <= {"columns", "currency"}


def test_a_list_of_one_supplier_for_each_part_asks_nothing(tmp_path: Path) -> None:
    """Suppliers of different parts, and the same number of two makers, need no choice."""
    text = "MPN,maker,supplier,price [EUR]\nX1,Mk,Alpha,1.20\nX2,Mk,Beta,1.30\nX2,Other,Alpha,1.40\n"
    found = read(tmp_path, text)
    assert (found.questions, found.problems) == ((), ())
    assert [own[0] for own in offers(found)] == [Decimal("1.20"), Decimal("1.30"), Decimal("1.40")]


def test_a_supplier_that_the_list_does_not_have_is_refused(tmp_path: Path) -> None:
    """The sentence names those that it has; names that hold a comma are found all the same."""
    found = read(tmp_path, NAME_FIRST, "Gamma")
    assert found.rows == ()
    assert found.problems[0].message == 'expected whose prices stand (Alpha, Beta), found "Gamma"'
    text = 'MPN,supplier,price [EUR]\nX1,"Alpha, Inc.",1.20\nX1,Beta,1.30\n'
    assert offers(read(tmp_path, text, "Alpha, Inc., Beta"))[0][0] == Decimal("1.20")


def test_a_person_can_say_whose_a_column_is(tmp_path: Path) -> None:
    """A header that names no field is told as the field of a supplier, and then belongs to the others of that one."""
    text = "MPN,alpha,beta,min A\nX1,1.20,1.30,10\n"
    columns = {"alpha": "unit_price [EUR] of Alpha", "beta": "unit_price [USD] of Beta", "min A": "moq of alpha"}
    assert {question.about for question in read(tmp_path, text).questions} == {"columns"}
    told = read(tmp_path, text, "Alpha", columns)
    assert offers(told) == [(Decimal("1.20"), "EUR", 10, None)]
    assert offers(read(tmp_path, text, "Beta", columns)) == [(Decimal("1.30"), "USD", None, None)]


def test_two_prices_of_one_supplier_are_refused(tmp_path: Path) -> None:
    """Neither of them is taken; a price beside which no supplier is named is nobody's."""
    head = "MPN,Supplier 1,Price 1 [EUR],Supplier 2,Price 2 [EUR]\n"
    found = read(tmp_path, head + "X1,Alpha,1.20,Alpha,1.30\nX2,Alpha,2.20,Beta,2.30\nX3,,3.20,Beta,\n", "Alpha")
    assert [own.mpn for own in found.rows] == ["X2", "X3"]
    assert [own[0] for own in offers(found)] == [Decimal("2.20"), None]
    assert [(problem.line, "one price from 1 pieces" in problem.message) for problem in found.problems] == [(2, True)]
    assert any("no supplier by name" in doubt.message for doubt in found.doubts)
