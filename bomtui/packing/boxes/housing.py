"""One board and one housing for modules that become one."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from bomtui.edit.edit import Edit
from bomtui.edit.edits.item import AddItem, RemoveItem, SetQuantity
from bomtui.engine.board_area import SALE_UNIT_AREAS_M2
from bomtui.model.ids import natural_key
from bomtui.model.part import Part
from bomtui.model.variant import Amount, Module
from bomtui.packing.boxes.controllers import Ground
from bomtui.packing.boxes.unit_prices import UnitPrices

MOST_SAVED: Final[Decimal] = Decimal("0.25")
"""Share of the area of all their boards together that one board may be smaller than they are: edges, connectors and the
surroundings of what goes are there once. Common practice, no source; where it is used, a plan says so."""

SOLD_BY = "dm2"


@dataclass(frozen=True, slots=True)
class Case:
    """A housing with the board in it.

    Attributes:
        housing: Its catalog key; empty where the module counts none.
        board: Catalog key of the board; empty where it stays as it is.
        area: How much of it.
        condition: What is taken for granted of the board; empty for nothing.
    """

    housing: str
    board: str
    area: Decimal
    condition: str


def cases_of(
    whole: Module, boards: Mapping[str, Decimal], parts: Mapping[str, Part], prices: UnitPrices
) -> tuple[tuple[Case, ...], Ground | None]:
    """Return the housings that hold the boards of modules that become one, the cheapest first; or why none does.

    The board is of the sort with the most layers among theirs, and as large as all of them together, or as the
    housing holds where that is not much less.

    Args:
        whole: The module with all that was counted in each of them.
        boards: Area of the boards of each of them, by module.
        parts: Parts by catalog key.
        prices: Unit prices.
    """
    housings = [key for key in whole.items if key in parts and parts[key].kind == "housing"]
    sorts = [key for key in whole.items if key in parts and parts[key].kind == "board"]
    if not housings:
        return (Case("", "", Decimal(0), ""),), None
    if not sorts or any(parts[key].sale_unit != SOLD_BY for key in sorts):
        return tuple(Case(key, "", Decimal(0), "") for key in prices.cheapest_first(tuple(housings))), None
    board = max(sorts, key=lambda key: (parts[key].layers or 0, natural_key(key)))
    area = sum(boards.values(), Decimal(0))
    least = max(max(boards.values(), default=Decimal(0)), area * (1 - MOST_SAVED))
    offered = tuple(key for key, part in parts.items() if part.kind == "housing")
    held = {key: _held(parts[key]) for key in prices.cheapest_first(offered)}
    cases = [
        Case(key, board, area, "")
        if room >= area
        else Case(
            key, board, room, f"the boards have {area:f} dm2 together; {key} holds {room:f} dm2: a layout decides"
        )
        for key, room in held.items()
        if room is not None and room >= least
    ]
    # Where one holds all of it, nothing has to be taken for granted.
    cases.sort(key=lambda own: bool(own.condition))
    if cases:
        return tuple(cases), None
    most = max((room for room in held.values() if room is not None), default=Decimal(0))
    short = least - most
    words = (
        f"the boards have {area:f} dm2 together, as one board at least {least.normalize():f} dm2;"
        f" the largest housing here holds {most:f} dm2"
    )
    return (), Ground(words, "dm2 of board", float(short), float(short / most) if most else 1.0)


def case_edits(variant: str, module_id: str, whole: Module, case: Case, parts: Mapping[str, Part]) -> Iterator[Edit]:
    """Yield what gives a module one board and one housing in place of all that it counts."""
    for kind, key, quantity in (("housing", case.housing, Decimal(1)), ("board", case.board, case.area)):
        if not key:
            continue
        for other in whole.items:
            if other in parts and parts[other].kind == kind and other != key:
                yield RemoveItem(variant=variant, module_id=module_id, part=other)
        amount = Amount(quantity=quantity, unit=parts[key].sale_unit)
        if key in whole.items:
            yield SetQuantity(variant=variant, module_id=module_id, part=key, quantity=amount)
        else:
            yield AddItem(variant=variant, module_id=module_id, part=key, quantity=amount)


def board_area(module: Module, parts: Mapping[str, Part]) -> Decimal:
    """Return the area of the boards of a module, in the unit in which they are sold."""
    return sum(
        (item.quantity.quantity for key, item in module.items.items() if key in parts and parts[key].kind == "board"),
        Decimal(0),
    )


def _held(part: Part) -> Decimal | None:
    if part.board_area_max_m2 is None:
        return None
    return Decimal(str(part.board_area_max_m2)) / SALE_UNIT_AREAS_M2[SOLD_BY]
