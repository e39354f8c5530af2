"""What is left free of pins, channels, ways and memory."""

from collections.abc import Mapping

from bomtui.engine.calc import Gate, formula
from bomtui.model.bound import Value
from bomtui.model.part import Part
from bomtui.model.variant import Module


@formula("(total - used) / total", "", "definition")
def free_ratio(total: float, used: float) -> float:
    """Share of a number of equal things that is free; below 0 where more are used than are there.

    Args:
        total: How many there are, above 0.
        used: How many are used.

    Source: definition.
    """
    return (total - used) / total


@formula("(there_byte - need_byte) / there_byte", "", "definition")
def free_memory_ratio(there_byte: float, need_byte: float) -> float:
    """Share of a memory that is free.

    Args:
        there_byte: Size of the memory [byte], above 0.
        need_byte: What is used of it [byte].

    Source: definition.
    """
    return (there_byte - need_byte) / there_byte


@formula("1 - core_load_ratio", "", "definition")
def free_core_ratio(core_load_ratio: float) -> float:
    """Share of computing time that is free.

    Args:
        core_load_ratio: Share that is used.

    Source: definition.
    """
    return 1 - core_load_ratio


def free(calc: Gate, total: int | None, used: int, what: str) -> Value:
    """Return the share of equal things that is free; None where nobody knows how many there are, or there are none."""
    if not total:
        return None
    return calc(free_ratio, total=calc.given(float(total), what), used=calc.given(float(used), f"{what} in use"))


def ways_there(module: Module, parts: Mapping[str, Part]) -> int | None:
    """Return the ways of all connectors of a module; None where a part, a quantity or its ways are not known."""
    ways = 0
    for key, item in module.items.items():
        part = parts.get(key)
        if part is None:
            return None
        if part.kind != "connector":
            continue
        if part.ways is None or item.quantity.quantity != int(item.quantity.quantity):
            return None
        ways += part.ways * int(item.quantity.quantity)
    return ways
