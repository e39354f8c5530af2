"""How a new device is wired where only one answer is possible; anything else is left open for a person."""

from collections.abc import Mapping

from bomtui.model.ids import natural_key
from bomtui.model.part import Part
from bomtui.model.variant import BATTERY, Device, Module

_FIRST_REFERENCE = 1
_CONTROLLER = "controller"
_REFERENCE_LETTERS = {"fet": "Q"}
_REFERENCE_LETTER = "U"


def next_reference(module: Module, part: Part) -> str:
    """Return the lowest free reference of a module for a device: Q1 for a FET, U1 for anything else.

    Source: class letters of IEEE 315 (Q transistor, U integrated circuit).
    """
    letter = _REFERENCE_LETTERS.get(part.kind, _REFERENCE_LETTER)
    taken = {ref.casefold() for ref in module.devices}
    number = _FIRST_REFERENCE
    while f"{letter}{number}".casefold() in taken:
        number += 1
    return f"{letter}{number}"


def next_references(module: Module, part: Part, number: int) -> tuple[str, ...]:
    """Return the lowest free references of a module for several devices of a part, as `next_reference` gives them."""
    refs: list[str] = []
    devices = dict(module.devices)
    for _ in range(number):
        ref = next_reference(Module(devices=devices), part)
        devices[ref] = Device(part="")
        refs.append(ref)
    return tuple(refs)


def supply_of(module: Module, part: Part, former: dict[str, str]) -> dict[str, str]:
    """Return the rail, or the battery, of each supply input of a part.

    An input that was wired stays as it was. Of the others, one that takes the battery gets it, and one that needs a
    voltage gets the rail of that voltage where the module has just one. Where nothing changes, it is the former
    wiring itself, so that the document shares it.

    Args:
        module: Where it stands.
        part: The part.
        former: Wiring of the part that it replaces; empty where it replaces none.
    """
    supply: dict[str, str] = {}
    for name in sorted(part.supplies, key=natural_key):
        voltage_v = part.supplies[name].voltage_v
        rails = [rail_id for rail_id, rail in module.rails.items() if rail.voltage_v == voltage_v]
        if name in former:
            supply[name] = former[name]
        elif voltage_v is None:
            supply[name] = BATTERY
        elif len(rails) == 1:
            supply[name] = rails[0]
    return former if supply == former else supply


def commander_of(module: Module, part: Part, parts: Mapping[str, Part]) -> str:
    """Return the controller that commands a part: the only one of the module; empty where none or several could."""
    if not part.pin_needs and not part.control_pins and not part.serial_bus:
        return ""
    controllers = [
        ref for ref, device in module.devices.items() if device.part in parts and parts[device.part].kind == _CONTROLLER
    ]
    return controllers[0] if len(controllers) == 1 else ""
