"""Filters and orders of the catalog, held against the parts themselves."""

import operator
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bomtui.engine.price import rung_of
from bomtui.model.parameter import Parameter
from bomtui.model.part import Part
from bomtui.services.catalog_query import hot_rds_on_ohm
from bomtui.storage.catalog import Catalog, open_catalog
from bomtui.storage.catalog.filters import (
    COLUMNS,
    HOT_RDS_ON,
    TEXT_COLUMNS,
    Limit,
    Mark,
    Order,
    PriceAt,
    Quantity,
    expression,
)
from bomtui.storage.catalog.tables import FILTERS
from bomtui.storage.shipped import read_shipped_catalog

SHIPPED, _ = read_shipped_catalog()
SIGNS: dict[str, Callable[[Any, Any], bool]] = {
    "<": operator.lt, "<=": operator.le, "=": operator.eq, "!=": operator.ne, ">=": operator.ge, ">": operator.gt,
}  # fmt: skip
MICRO = 1_000_000


@pytest.fixture(scope="module")
def shipped() -> Iterator[Catalog]:
    """A catalog with the shipped parts."""
    with tempfile.TemporaryDirectory() as folder, open_catalog(Path(folder) / "catalog.db") as catalog:
        yield catalog


def value_of(key: str, part: Part, of: Quantity) -> Any:  # noqa: ANN401 - a number, a text or None
    """What a part says of a quantity, read from the part itself."""
    if isinstance(of, PriceAt):
        rung, _ = rung_of(part.breaks, of.quantity)
        return None if rung is None or part.currency != of.currency else int(rung.price * MICRO)
    if of == HOT_RDS_ON:
        return hot_rds_on_ohm(part)
    if of in {"key", "origin"}:
        return key if of == "key" else "shipped"
    field, side = FILTERS.get(of, (of, ""))
    value = getattr(part, field)
    if not isinstance(value, Parameter):
        return value
    # One value that is given serves for both corners; of a limit only its least counts.
    return {"typ": value.middle, "max": value.upper, "min": value.min}[side]


QUANTITIES = st.one_of(
    st.sampled_from((*COLUMNS, HOT_RDS_ON)),
    st.builds(PriceAt, st.sampled_from([1, 60, 100, 5000, 10**6]), st.sampled_from(["EUR", "USD"])),
)


@st.composite
def limits(draw: st.DrawFn) -> Limit:
    """A limit at a value that some part has."""
    of = draw(QUANTITIES)
    known = sorted({value for key, part in SHIPPED.items() if (value := value_of(key, part, of)) is not None})
    value = draw(st.sampled_from(known)) if known else "" if of in TEXT_COLUMNS else 0
    return Limit(of, draw(st.sampled_from(list(SIGNS))), value)


def expected(wanted: list[Limit], order: Order | None) -> list[str]:
    """Keys of the shipped parts that keep the limits, in order."""
    kept = [
        key
        for key, part in SHIPPED.items()
        if all(
            (value := value_of(key, part, own.of)) is not None and SIGNS[own.operator](value, own.value)
            for own in wanted
        )
    ]
    if order is None:
        return kept
    values = {key: value_of(key, SHIPPED[key], order.of) for key in kept}
    known = [key for key in kept if values[key] is not None]
    known.sort(key=lambda key: values[key], reverse=order.descending)
    if order.descending:
        # Equals keep the order in which they came, whichever way the rest goes.
        known = sorted(kept_known(kept, values), key=lambda key: -rank(values, key))
    return [*known, *(key for key in kept if values[key] is None)]


def kept_known(kept: list[str], values: dict[str, Any]) -> list[str]:
    """Keys whose value is known, in the order in which they came."""
    return [key for key in kept if values[key] is not None]


def rank(values: dict[str, Any], key: str) -> int:
    """Place of a value among all that there are."""
    return sorted({value for value in values.values() if value is not None}).index(values[key])


def answer(catalog: Catalog, wanted: list[Limit], order: Order | None, page_rows: int) -> list[str]:
    """Keys of an answer, page by page."""
    keys: list[str] = []
    after: Mark | None = None
    while True:
        page = catalog.find(limit=page_rows, after=after, limits=wanted, order=order)
        keys += [row.key for row in page.rows]
        after = page.after
        if after is None:
            return keys


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    wanted=st.lists(limits(), max_size=3),
    order=st.none() | st.builds(Order, QUANTITIES, st.booleans()),
    page_rows=st.sampled_from([1, 5, 40, 1000]),
)
def test_filters_and_orders_are_those_of_the_parts(
    shipped: Catalog, wanted: list[Limit], order: Order | None, page_rows: int
) -> None:
    """Whatever is asked for, the pages together are the parts that keep it, in that order, the unknown last."""
    assert answer(shipped, wanted, order, page_rows) == expected(wanted, order)


def test_words_and_filters_go_together(shipped: Catalog) -> None:
    """A search text narrows what filters leave, also page by page."""
    order = Order("channels", descending=True)
    first = shipped.find("high side", limit=2, limits=[Limit("channels", ">=", 4)], order=order)
    rest = shipped.find("high side", limit=100, limits=[Limit("channels", ">=", 4)], order=order, after=first.after)
    keys = [row.key for row in (*first.rows, *rest.rows)]
    wanted = [key for key in expected([Limit("channels", ">=", 4)], order) if SHIPPED[key].kind == "high_side"]
    assert keys == wanted
    assert len(wanted) > len(first.rows)


def test_one_value_serves_for_both_corners(tmp_path: Path) -> None:
    """A part that gives one value only keeps a filter on either corner by it; one that gives none keeps none."""
    parts = {
        "typ": Part(kind="fet", rds_on_ohm=Parameter(typ=0.002)),
        "max": Part(kind="fet", rds_on_ohm=Parameter(max=0.002)),
        "both": Part(kind="fet", rds_on_ohm=Parameter(typ=0.002, max=0.004)),
        "none": Part(kind="fet"),
    }
    with Catalog(tmp_path / "catalog.db") as catalog:
        catalog.build(parts, "imported")
        for column, keys in (("rds_on_typ_ohm", ["typ", "max", "both"]), ("rds_on_max_ohm", ["typ", "max"])):
            assert answer(catalog, [Limit(column, "<=", 0.003)], None, 9) == keys


def test_what_is_no_column() -> None:
    """Only the columns that are meant for it can be filtered."""
    with pytest.raises(KeyError):
        expression("params")
