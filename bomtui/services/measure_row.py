"""What a measure of a comparison is made from, before anything is said of which side is better."""

from typing import Literal, NamedTuple

from bomtui.model.bound import Value
from bomtui.model.money import Total

Measured = Value | Total
"""A figure in the unit of its measure, or money."""


class Row(NamedTuple):
    """One measure of both sides.

    Attributes:
        id: Stable name.
        name: What people call it.
        dimension: As of a measure.
        first: Figure of the first side.
        second: Figure of the second.
        wanted: Its better end, if it has one.
        judged: What is held against each other to say which is better, where the figures themselves leave out what is
            not known.
    """

    id: str
    name: str
    dimension: str
    first: Measured
    second: Measured
    wanted: Literal["", "low", "high"] = "low"
    judged: tuple[Value, Value] | None = None
