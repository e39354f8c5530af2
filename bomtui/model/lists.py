"""Columns of the lists that people read and write as sheets: the load list and the costed parts list.

Every header of a numeric column carries its unit, so that a sheet can be read back without a question.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from bomtui.model.fields import FieldInfo, field_table
from bomtui.model.load import Load
from bomtui.model.quantity import dimension_named

ID_KEYS = ("id", "ref")
"""Headers of the column that holds the ids of a list; the first is the one that is written."""

REMARK = "#"
"""What a row of a load list begins with that says something of the list and is no load."""

# Units that suit the usual size of a value better than the unit of the model does.
_LIST_UNITS = {"inductance": "mH", "capacitance": "uF"}
_LIST_UNITS_OF_KEYS = {"peak_time": "ms"}


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a list.

    Attributes:
        key: Key of the field, as in files.
        help: One sentence for people.
        unit: Unit of its numbers; empty for words and plain counts.
        entry: For a field with a value per mode, the id of the mode.
        info: Row of the field table; None where the column is computed.
    """

    key: str
    help: str
    unit: str = ""
    entry: str = ""
    info: FieldInfo | None = None

    @property
    def header(self) -> str:
        """Header text: `rated_power [W]`, `time_share.PARK [%]`, `name`."""
        name = f"{self.key}.{self.entry}" if self.entry else self.key
        return f"{name} [{self.unit}]" if self.unit else name


def load_columns(modes: Iterable[str]) -> tuple[Column, ...]:
    """Return the columns of a load list: id, then the fields of a load in the order of the field table.

    Args:
        modes: Ids of the modes, in the order of their columns.
    """
    modes = tuple(modes)
    columns = [Column(ID_KEYS[0], "id of the load")]
    for info in field_table(Load):
        unit = _LIST_UNITS_OF_KEYS.get(info.key, _list_unit(info))
        if info.shape == "quantities":
            columns.extend(Column(info.key, info.help, unit, mode, info) for mode in modes)
        else:
            columns.append(Column(info.key, info.help, unit, info=info))
    return tuple(columns)


NUMERIC_PARTS_COLUMNS = frozenset(
    ("line", "modules", "quantity", "need", "order_base", "order", "moq", "multiple", "rung", "unit_price",
     "line_price", "excess_per_year", "lead_time")
)  # fmt: skip
"""Keys of the columns of a parts list that hold numbers."""


def parts_list_columns(currency: str) -> tuple[Column, ...]:
    """Return the columns of a costed parts list.

    Args:
        currency: Currency of all its amounts (ISO 4217).
    """
    return (
        Column("line", "number of the line"),
        Column("part", "catalog key"),
        Column("kind", "what it is"),
        Column("maker", "who makes it"),
        Column("mpn", "maker part number, letter by letter"),
        Column("description", "one line for people"),
        Column("modules", "how many modules hold it"),
        Column("quantity", "quantity per vehicle over all modules, in the sale unit"),
        Column("sale_unit", "what the quantity and the unit price are for"),
        Column("need", "quantity needed in a year, without attrition", "1/year"),
        Column("order_base", "need with attrition", "1/year"),
        Column("order", "order quantity after minimum and multiple", "1/year"),
        Column("moq", "smallest order quantity"),
        Column("multiple", "orders come in multiples of this"),
        Column("rung", "order quantity from which the unit price holds"),
        Column("unit_price", "price of the rung that the order quantity reaches", currency),
        Column("price_date", "day of the price"),
        Column("line_price", "price per vehicle", currency),
        Column("excess_per_year", "money in pieces ordered beyond the need with attrition, first order", currency),
        Column("life_cycle", "where the part is in its life"),
        Column("lead_time", "from order to delivery", "weeks"),
        Column("alternates", "parts that can replace it"),
        Column("note", "free text"),
    )


def _list_unit(info: FieldInfo) -> str:
    if not info.dimension:
        return ""
    return _LIST_UNITS.get(info.dimension, dimension_named(info.dimension).home_unit)
