"""The demo tables as rows of text, and their numbers in SI units."""

import csv
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

DATA = Path(__file__).parents[1] / "data" / "samples"

MILLI = Decimal("1e-3")
PER_CENT = Decimal("1e-2")
SECONDS_PER_HOUR = Decimal(3600)

Row = dict[str, str]


def table(name: str, **where: str) -> list[Row]:
    """Return the rows of a table whose columns have the given values, in the order of the file."""
    with (DATA / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file, strict=True))
    return [row for row in rows if all(row[column] == value for column, value in where.items())]


def number(cell: str, factor: Decimal = Decimal(1)) -> float | None:
    """Return a cell as a number in SI units, computed exactly; an empty cell is unknown."""
    return float(Decimal(cell) * factor) if cell else None


def known(cell: str, factor: Decimal = Decimal(1)) -> float:
    """Return a cell that holds a number.

    Raises:
        ValueError: The cell is empty.
    """
    value = number(cell, factor)
    if value is None:
        raise ValueError("expected a number, found an empty cell")
    return value


def part_counts(cell: str) -> Iterator[tuple[str, Decimal]]:
    """Yield keys and quantities of a list such as `can-1 hs24-2x10*2 board-6*1.6`."""
    for word in cell.split():
        key, _, count = word.partition("*")
        yield key, Decimal(count or 1)
