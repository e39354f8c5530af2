"""Filters and orders as people write them."""

import pytest

from bomtui.services.catalog_query import asked_of, limit_of, names, order_of
from bomtui.services.errors import BomtuiError
from bomtui.storage.catalog.filters import COLUMNS, Limit, Order, PriceAt


@pytest.mark.parametrize(
    ("text", "limit"),
    [
        ("channels >= 8", Limit("channels", ">=", 8)),
        ("rds_on<=10mohm", Limit("rds_on_typ_ohm", "<=", 0.01)),
        ("rds_on.max < 4 mΩ", Limit("rds_on_max_ohm", "<", 0.004)),
        ("price <= 1.20 EUR", Limit(PriceAt(5000, "EUR"), "<=", 1_200_000)),
        (" life_cycle = active ", Limit("life_cycle", "=", "active")),
        ("maker != Somebody & Sons", Limit("maker", "!=", "Somebody & Sons")),
        ("operating_max > 2k2 V", None),
        ("rds_on <= 10 mV", None),
        ("channels >= many", None),
        ("life_cycle = lively", None),
        ("life_cycle > active", None),
        ("price <= 1.20", None),
        ("price < 0.0000015 EUR", None),
        ("rdson <= 1 ohm", None),
        ("channels", None),
        ("", None),
    ],
)
def test_filters(text: str, limit: Limit | None) -> None:
    """A filter is read with its unit, or refused in one sentence that names what was found."""
    if limit is not None:
        assert limit_of(text, 5000) == limit
        return
    with pytest.raises(BomtuiError) as caught:
        limit_of(text, 5000)
    assert "found" in str(caught.value) or "read" in str(caught.value)
    assert "\n" not in str(caught.value)


def test_orders() -> None:
    """A name orders by itself, a minus turns it round, and the price is that of the order."""
    assert order_of("channels", 1, "EUR") == Order("channels")
    assert order_of("-price", 60, "EUR") == Order(PriceAt(60, "EUR"), descending=True)
    with pytest.raises(BomtuiError, match="did you mean 'channels'"):
        order_of("chanels", 1, "EUR")


def test_what_is_shown_beside() -> None:
    """Whatever filters and order name is shown, once, unless a list shows it anyway."""
    assert asked_of(("rds_on <= 1 ohm", "maker = A", "price < 1 EUR"), "-price") == ("rds_on", "price")


def test_every_name_is_a_column() -> None:
    """Names are keys of files, and every column but key and origin has one."""
    known = {named.column for named in names().values()}
    assert set(COLUMNS) - known == {"key", "origin"}
