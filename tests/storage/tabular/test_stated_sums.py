"""Sums that a list states: left out of its rows, and held against them (invented lists)."""

from pathlib import Path

import pytest

from bomtui.storage.tabular.answers import EMPTY
from bomtui.storage.tabular.parts import read_parts


def notices(folder: Path, text: str) -> list[str]:
    """What is said of the sums of a parts list."""
    path = folder / "list.csv"
    path.write_text(text, encoding="utf-8")
    return [own for own in read_parts(path, EMPTY).notices if "stated sum" in own]


@pytest.mark.parametrize(
    ("text", "stated"),
    [
        pytest.param("MPN,Qty,Price [EUR]\nQ1,2,1.10\nQ2,3,2.20\nTotal,6,\n", ("Qty", "6", "5"), id="wrong"),
        pytest.param("MPN,Qty\nQ1,2\nQ2,3\nTotal,5\n", None, id="right"),
        pytest.param(
            "MPN;Qty;Summe [EUR]\nQ1;2;1,10\nSumme;;1,10\nQ2;3;2,20\nSumme;;2,20\nTotal;5;3,30\n", None, id="sections"
        ),
        pytest.param(
            "MPN;Qty;Line [EUR]\nQ1;2;1.234,50\nQ2;3;0,50\nTotal;;1.235,10\n", ("Line [EUR]", "1235.1", "1235"),
            id="decimal comma",
        ),
        pytest.param("MPN,Qty\nQ1,2\nQ2,many\nTotal,6\n", None, id="a cell that is no number says nothing"),
    ],
)  # fmt: skip
def test_a_sum_that_is_none_is_said(text: str, stated: tuple[str, str, str] | None, tmp_path: Path) -> None:
    """A sum is that of all rows above it, or of its section; where it is neither, both numbers are told."""
    line = text.count("\n")
    expected = (
        []
        if stated is None
        else [f'line {line}: the stated sum of "{stated[0]}" is {stated[1]}, the rows add up to {stated[2]}']
    )
    assert notices(tmp_path, text) == expected
