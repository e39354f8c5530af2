"""How long an import takes, as a ratio measured in one run (`pytest tests/benchmarks`).

The other side reads the same file with the csv module and writes the very same rows, prices and search index with
sqlite3 executemany in one transaction: it understands nothing, checks nothing and refuses nothing.
"""

import csv
import sqlite3
from contextlib import closing
from pathlib import Path
from statistics import median
from time import process_time
from typing import Any

import pytest

from bomtui.services.catalog_import import import_parts
from bomtui.services.sheets import Answers
from bomtui.storage.catalog import Catalog, open_catalog
from bomtui.storage.catalog.rows import part_row, price_rows

ROWS = 100_000
ROUNDS = 3
AIM = 3.0


def write_list(path: Path) -> None:
    """Write a price list of parts that nobody makes."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(
            ("MPN", "maker", "kind", "description", "package", "price [EUR]", "1000+", "moq", "theta_ja [K/W]")
        )
        for number in range(ROWS):
            cents = number % 97
            writer.writerow((
                f"ZX-{number:06d}-A", f"Maker {number % 50}", "fet", f"switch {number}", "SO8", f"1.{cents:02d}",
                f"0.{cents:02d}", 10 + number % 5, 40 + number % 30,
            ))  # fmt: skip


def statement(table: str, row: dict[str, Any]) -> str:
    """The insertion of rows like one."""
    return f"INSERT INTO {table} ({', '.join(row)}) VALUES ({', '.join(f':{name}' for name in row)})"  # noqa: S608


def bare(path: Path, place: Path, parts: list[dict[str, Any]], prices: list[dict[str, Any]]) -> float:
    """Read the file and write the rows; return the seconds of a processor."""
    start = process_time()
    with path.open(encoding="utf-8", newline="") as file:
        count = sum(1 for _ in csv.reader(file)) - 1
    with closing(sqlite3.connect(place)) as connection, connection:
        connection.executemany(statement("part", parts[0]), parts)
        connection.executemany(statement("price", prices[0]), prices)
    assert count == len(parts)
    return process_time() - start


def test_an_import_of_many_parts(tmp_path: Path) -> None:
    """It takes at most three times as long as the csv module and executemany of the same rows."""
    path = tmp_path / "list.csv"
    write_list(path)
    ratios = []
    for number in range(ROUNDS):
        place = tmp_path / f"{number}.sqlite"
        open_catalog(place).close()
        start = process_time()
        plan = import_parts(path, Answers(), place=str(place))
        ours = process_time() - start
        assert len(plan.parts) == ROWS
        other = tmp_path / f"bare{number}.sqlite"
        Catalog(other).close()
        keyed = [(key, part, {**part_row(key, part, "imported", "list.csv"), "id": line}) for line, (key, part) in
                 enumerate(plan.parts.items(), start=1)]  # fmt: skip
        prices = [row for key, part, written in keyed for row in price_rows(key, written["id"], part)]
        theirs = bare(path, other, [written for _, _, written in keyed], prices)
        ratios.append(ours / theirs)
        print(f"import of {ROWS} parts: {ours:.1f} s, bare {theirs:.1f} s, ratio {ratios[-1]:.2f}")  # noqa: T201
        with Catalog(place) as ours_there, Catalog(other) as theirs_there:
            assert ours_there.count("fet") >= theirs_there.count("fet") == ROWS
    if median(ratios) > AIM:
        pytest.fail(f"the import takes {median(ratios):.2f} times as long as the bare writing, the aim is {AIM}")
