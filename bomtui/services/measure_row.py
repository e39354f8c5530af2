"""What a measure of a comparison is made from, before anything is said of which side is better."""

from typing import Literal, NamedTuple

from bomtui.model.bound import Value
from bomtui.model.money import Total

Measured = Value | Total
"""A figure in the unit of its measure, or money."""


class Row(NamedTuple):
    """One measure of both sides; `wanted` is its better end, if it has one."""

    id: str
    name: str
    dimension: str
    first: Measured
    second: Measured
    wanted: Literal["", "low", "high"] = "low"
