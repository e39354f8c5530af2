"""Board area of a module, and what its housings hold."""

from collections.abc import Mapping
from decimal import Decimal

from bomtui.engine.calc import Gate, formula
from bomtui.model.bound import Value
from bomtui.model.part import Part
from bomtui.model.variant import Module

SALE_UNIT_AREAS_M2: Mapping[str, Decimal] = {"dm2": Decimal("0.01")}
"""Area of one sale unit [m2] of a board that is sold by area.

Source: definition, 1 dm = 0.1 m.
"""


@formula("quantity * unit_area_m2", "m2", "definition")
def board_area_m2(quantity: Decimal, unit_area_m2: Decimal) -> Decimal:
    """Area of so many units of board or housing [m2].

    It is exact: a board that just fills its housing fits.

    Args:
        quantity: How many of them.
        unit_area_m2: Area of one, or what one holds [m2].

    Source: definition.
    """
    return quantity * unit_area_m2


def area_needed_m2(calc: Gate, module: Module, parts: Mapping[str, Part]) -> Value:
    """Return the area of the boards of a module [m2]; at least that of those whose area is known."""
    return _sum(calc, module, parts, "board")


def area_held_m2(calc: Gate, module: Module, parts: Mapping[str, Part]) -> Value:
    """Return the board area that the housings of a module hold [m2]; at least that of those that say it."""
    return _sum(calc, module, parts, "housing")


def has_item(module: Module, parts: Mapping[str, Part], kind: str) -> bool:
    """Tell whether a module counts a part of a kind, or one of which nothing is known."""
    return any(
        item.quantity.quantity and (key not in parts or parts[key].kind == kind) for key, item in module.items.items()
    )


def _sum(calc: Gate, module: Module, parts: Mapping[str, Part], kind: str) -> Value:
    keys: list[str] = []
    areas: list[Value] = []
    for key, item in module.items.items():
        part = parts.get(key)
        if part is None or part.kind == kind:
            found = calc.exact(board_area_m2, quantity=item.quantity.quantity, unit_area_m2=_unit_area(part))
            keys.append(key)
            areas.append(None if found is None else float(found))
    return calc.total(keys, areas)


def _unit_area(part: Part | None) -> Decimal | None:
    if part is None:
        return None
    if part.kind == "board":
        return SALE_UNIT_AREAS_M2.get(part.sale_unit)
    return None if part.board_area_max_m2 is None else Decimal(str(part.board_area_max_m2))
