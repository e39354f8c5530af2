"""The static table: complete for what the program writes, and enough to open a proposal without the unit library."""

import subprocess
import sys

import pytest

from bomtui.model.quantity import DIMENSIONS
from bomtui.units.grammar import ascii_unit, is_unit_text
from bomtui.units.table import SAME_QUANTITY, UNITS

READ_EVERYTHING_WRITTEN = """
import sys
from bomtui.model.quantity import DIMENSIONS, text
from bomtui.units import QuantityError, check_unit, parse
for name, dimension in DIMENSIONS.items():
    for unit, factor in dimension.units:
        check_unit(unit, name)
        value = float(2 * factor)
        assert parse(text(value, name), name) == value
        assert parse("2 " + unit, name) == value
for written in ("4 m\u03a9", "12 \u00b5A", "85 \u00b0C", "30 K/W", "35 %"):
    try:
        parse(written, "current")
    except QuantityError:
        pass
print(sorted({"pint", "numpy"} & set(sys.modules)))
"""


def test_opening_needs_no_unit_library() -> None:
    """Every unit that the program writes is read in a fresh interpreter without loading pint."""
    run = subprocess.run(
        [sys.executable, "-c", READ_EVERYTHING_WRITTEN], capture_output=True, text=True, check=False, encoding="utf-8"
    )
    assert (run.stdout.strip(), run.stderr) == ("[]", "")


@pytest.mark.parametrize("name", DIMENSIONS)
def test_the_table_agrees_with_the_writer(name: str) -> None:
    """Each unit of the writer has the same factor and dimension in the table."""
    for unit, factor in DIMENSIONS[name].units:
        assert UNITS[unit].factor == factor
        assert UNITS[unit].shift == 0
        assert UNITS[unit].dimension == SAME_QUANTITY.get(name, name)


def test_every_token_has_the_form_of_a_unit() -> None:
    """The table holds no token that the grammar would refuse or spell otherwise, and no unknown dimension."""
    assert [token for token in UNITS if not is_unit_text(token) or ascii_unit(token) != token] == []
    assert {unit.dimension for unit in UNITS.values()} <= set(DIMENSIONS)
