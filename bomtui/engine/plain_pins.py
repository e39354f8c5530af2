"""The historic plain count of controller pins, kept as a check value beside the matching."""

from collections.abc import Iterable, Mapping
from decimal import ROUND_CEILING, Decimal
from typing import NamedTuple

from bomtui.model.load import Load
from bomtui.model.part import Part
from bomtui.model.settings import Settings
from bomtui.model.variant import Module


class PlainCount(NamedTuple):
    """Historic plain count of a module: pins used, and analog inputs among them."""

    used: int
    analog: int


def plain_count(
    module: Module, parts: Mapping[str, Part], module_loads: Iterable[Load], settings: Settings
) -> PlainCount:
    """Count pins the historic way: control and analog pins of parts, and plain pins of loads by drive code.

    Sensors count by their loads only, and a part without a count of control pins adds none. The count cannot tell what
    a pin is able to do nor whose it is; it is kept as a check value beside the matching.

    Source: common practice; the counts are data of the parts and settings of the proposal (`drives`).
    """
    pieces = [(parts.get(device.part), 1) for device in module.devices.values()]
    pieces += [(parts.get(key), whole_pieces(item.quantity.quantity)) for key, item in module.items.items()]
    used = 0
    analog = 0
    for part, count in pieces:
        if part is None:
            continue
        if part.kind != "sensor" and part.control_pins is not None:
            used += count * part.control_pins
        if part.analog_pins is not None:
            analog += count * part.analog_pins
    loads = tuple(module_loads)
    habits = {code: settings.habit(code) for code in {load.drive for load in loads}}
    for load in loads:
        habit = habits[load.drive]
        if habit.only_from_other_zone and is_in(load, module.zone):
            continue
        count = habit.plain_pins + habit.plain_pins_per_contact * load.contacts
        if habit.function == "adc":
            analog += count
        else:
            used += count
    return PlainCount(used + analog, analog)


def whole_pieces(quantity: Decimal) -> int:
    """Return a quantity of pieces as a count, a started one as a whole one."""
    return int(quantity.to_integral_value(ROUND_CEILING))


def is_in(load: Load, zone: str) -> bool:
    """Tell whether a load is known to be mounted in a zone."""
    return bool(zone) and load.zone == zone
