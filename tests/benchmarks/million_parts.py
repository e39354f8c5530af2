"""A catalog of a million parts that nobody makes: the shipped ones again and again, with other numbers and prices."""

import random
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

from bomtui.storage.catalog import open_catalog
from bomtui.storage.catalog.rows import part_row, price_rows
from bomtui.storage.shipped import read_shipped_catalog

Row = dict[str, Any]
Models = list[tuple[Row, list[Row]]]
"""Rows of parts, each with those of its prices."""

PARTS = 1_000_000
_FIRST_ID = 1_000


def make(place: Path, count: int = PARTS, seed: int = 7) -> None:
    """Write the catalog into a new file; equal seeds make equal ones."""
    open_catalog(place).close()
    shipped, problems = read_shipped_catalog()
    assert not problems
    models = [(part_row(key, part, "imported", "seed"), price_rows(key, 1, part)) for key, part in shipped.items()]
    with closing(sqlite3.connect(place)) as connection, connection:
        connection.executemany(_insertion("part", {**models[0][0], "id": 0}), _parts(models, count, seed))
        connection.executemany(_insertion("price", next(iter(_prices(models, 1, seed)))), _prices(models, count, seed))


def _insertion(table: str, row: Row) -> str:
    return f"INSERT INTO {table} ({', '.join(row)}) VALUES ({', '.join(f':{name}' for name in row)})"  # noqa: S608


def _parts(models: Models, count: int, seed: int) -> Iterator[Row]:
    chance = random.Random(seed)
    for number in range(count):
        row = dict(models[number % len(models)][0])
        mpn = f"ZX{chance.randrange(10**9):09d}-{number % 26}"
        row |= {
            "id": _FIRST_ID + number,
            "key": f"g{number}",
            "mpn": mpn,
            "mpn_normal": mpn.replace("-", ""),
            "search_text": f"g{number}\n{mpn.lower()}\n{row['search_text']}",
        }
        if row["rds_on_typ_ohm"]:
            row["rds_on_typ_ohm"] *= chance.uniform(0.5, 20)
            row["rds_on_max_ohm"] = 2 * row["rds_on_typ_ohm"]
        yield row


def _prices(models: Models, count: int, seed: int) -> Iterator[Row]:
    chance = random.Random(seed + 1)
    for number in range(count):
        factor = chance.uniform(0.5, 2)
        for rung in models[number % len(models)][1]:
            yield {**rung, "part_id": _FIRST_ID + number, "micro": int(rung["micro"] * factor) + 1}
