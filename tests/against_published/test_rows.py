"""The table of what is held against the outside world: which source, how it was seen, and in which test."""

import ast
import csv
from collections.abc import Iterator
from pathlib import Path

import pytest

HERE = Path(__file__).parent
SEEN = ("first-hand", "second-hand", "memory", "derived")
"""How a value was seen: in the source named, quoted by somebody else, in nobody's text but from memory, or derived."""


def rows() -> list[dict[str, str]]:
    """Rows of the table."""
    with (HERE / "rows.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def functions_of(name: str) -> Iterator[str]:
    """Names of the tests of a file."""
    for node in ast.parse((HERE / name).read_text(encoding="utf-8")).body:
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
            yield node.name


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["quantity"])
def test_a_row_names_its_test_and_how_its_value_was_seen(row: dict[str, str]) -> None:
    """Each value stands in a test that exists, with its source, and says how that source was seen."""
    file, _, name = row["test"].partition("::")
    assert name in set(functions_of(file))
    assert row["seen"] in SEEN
    assert row["source"]


def test_more_than_forty_values_come_from_somebody_else() -> None:
    """At least forty values were read in a text, whoever quotes it, and are no derivation or memory of ours."""
    assert sum(row["seen"] in {"first-hand", "second-hand"} for row in rows()) >= 40
