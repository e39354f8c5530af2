"""How long pages of a catalog of a million parts take, as ratios measured in one run (`pytest tests/benchmarks`).

The other side runs the very same statements with the same values through sqlite3 and fetches the rows. All pages of a
test together are held against the aim; a single one may be beyond it by a millisecond, which is what asking costs
whatever is asked.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import Any

import pytest
from sqlalchemy import Connection, Engine, event

from bomtui.services.catalog_query import limit_of, order_of
from bomtui.storage.catalog import Catalog
from tests.benchmarks.million_parts import make

ROUNDS = 21
AIM = 1.5
FIXED_S = 1e-3
PIECES = 5000

FRAGMENTS = ["x0123", "zx98765", "haddeskar 0123", "relay", "fet", "qqqqq"]
FILTERS = [
    ("fet", ("rds_on <= 5 mohm",)),
    ("fet", ("rds_on <= 0.51 mohm",)),
    ("high_side", ("channels >= 4", "rds_on.max <= 20 mohm")),
    ("controller", ("gpio_pins >= 80",)),
    ("fet", ("price <= 0.30 EUR",)),
]
ORDERS = [("fet", "rds_on"), ("fet", "-rds_on"), ("high_side", "price")]


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A catalog of a million parts."""
    place = tmp_path_factory.mktemp("catalog") / "million.sqlite"
    make(place)
    return place


@pytest.fixture(scope="module")
def catalog(place: Path) -> Iterator[Catalog]:
    """It, open."""
    with Catalog(place) as catalog:
        yield catalog


@pytest.fixture(scope="module")
def bare(place: Path) -> Iterator[sqlite3.Connection]:
    """The same file through sqlite3."""
    with closing(sqlite3.connect(place)) as connection:
        yield connection


def compared(catalog: Catalog, bare: sqlite3.Connection, name: str, wish: dict[str, Any]) -> tuple[float, float]:
    """Return how many seconds a page takes through the catalog, and how many bare."""
    asked: list[tuple[str, Any]] = []

    def heed(_: Connection, __: object, statement: str, values: object, *___: object) -> None:
        if statement.lstrip().upper().startswith("SELECT"):
            asked.append((statement, values))

    event.listen(Engine, "before_cursor_execute", heed)
    page = catalog.find(**wish)
    event.remove(Engine, "before_cursor_execute", heed)
    ((statement, values),) = asked
    ours, theirs = [], []
    for _ in range(ROUNDS):
        start = perf_counter()
        catalog.find(**wish)
        middle = perf_counter()
        rows = bare.execute(statement, values).fetchall()
        theirs.append(perf_counter() - middle)
        ours.append(middle - start)
    assert len(page.rows) == min(len(rows), 100)
    our_s, bare_s = median(ours), median(theirs)
    print(f"{name}: {len(page.rows)} rows, {1e3 * our_s:.2f} ms, bare {1e3 * bare_s:.2f} ms, {our_s / bare_s:.2f}")  # noqa: T201
    return our_s, bare_s


def beyond(times: dict[str, tuple[float, float]]) -> list[str]:
    """Return what takes longer than the aim: the pages together, or one by more than asking costs."""
    ratio = sum(ours for ours, _ in times.values()) / sum(bare for _, bare in times.values())
    print(f"all {len(times)} pages: {ratio:.2f}")  # noqa: T201
    over = [name for name, (ours, bare) in times.items() if ours > AIM * bare + FIXED_S]
    return [*over, f"together {ratio:.2f}"] if ratio > AIM else over


def test_fragments(catalog: Catalog, bare: sqlite3.Connection) -> None:
    """A search by fragments takes at most one and a half times as long as its statement."""
    assert beyond({text: compared(catalog, bare, text, {"text": text}) for text in FRAGMENTS}) == []


def test_filters(catalog: Catalog, bare: sqlite3.Connection) -> None:
    """So does a page of typed filters."""
    pages = {
        f"{kind} {' '.join(where)}": {"kind": kind, "limits": [limit_of(text, PIECES) for text in where]}
        for kind, where in FILTERS
    }
    assert beyond({name: compared(catalog, bare, name, wish) for name, wish in pages.items()}) == []


def test_orders(catalog: Catalog, bare: sqlite3.Connection) -> None:
    """So does a page in the order of a parameter or price."""
    pages = {f"{kind} by {sort}": {"kind": kind, "order": order_of(sort, PIECES, "EUR")} for kind, sort in ORDERS}
    assert beyond({name: compared(catalog, bare, name, wish) for name, wish in pages.items()}) == []
