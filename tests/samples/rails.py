"""The supply tree of a demo module: its rails, and what each supply input hangs on.

The demo's habit: a part takes the rail of its voltage; a converter takes the battery, unless the battery line can rise
above what it stands and a rail suits it. A need without a rail stays without one: that is a true fault of these demos.
"""

from collections.abc import Mapping
from string import ascii_uppercase

from bomtui.engine.supply import INPUT
from bomtui.model.part import SUPPLY_KINDS, Part, SupplyNeed
from bomtui.model.variant import BATTERY, Rail
from tests.samples.devices import Contents

BATTERY_MAX_V = {"12 V": 36.0, "24 V": 58.0}
"""What the transient suppressor of a module lets through to its parts."""
BATTERY_PARTS_V = {"12 V": frozenset((12.0, 14.4)), "24 V": frozenset[float]()}
"""Part voltages that a vehicle supply of that class serves itself where a module has no such rail."""

RAIL_NAMES = {5.0: "V5", 3.3: "V33", 12.0: "V12", 65.0: "V65"}
SOURCE_ORDER = ("dcdc", "sbc", "ldo")
"""Where several supplies make one voltage, parts hang on the first of this order."""


def rails_of(contents: Contents, catalog: Mapping[str, Part]) -> dict[str, Rail]:
    """Return one rail per output of every supply; `V5B`, `V5C` follow `V5` where one voltage is made more than once."""
    rails: dict[str, Rail] = {}
    made: dict[float, int] = {}
    for kind in SOURCE_ORDER:
        for ref in contents.refs_of_kind(kind, catalog):
            part = catalog[contents.parts[ref]]
            if part.output_v is None or part.rails is None:
                raise ValueError(f"{contents.parts[ref]} makes no known rail")
            for output in range(1, part.rails + 1):
                before = made.get(part.output_v, 0)
                made[part.output_v] = before + 1
                name = RAIL_NAMES[part.output_v] + (ascii_uppercase[before] if before else "")
                note = f"output {output} of {part.rails}" if part.rails > 1 else ""
                rails[name] = Rail(voltage_v=part.output_v, source=ref, note=note)
    return rails


def supply_of(
    ref: str, contents: Contents, rails: Mapping[str, Rail], domain: int, catalog: Mapping[str, Part], supply_class: str
) -> dict[str, str]:
    """Return what each supply input of a device hangs on; an input without a rail is left out.

    Args:
        ref: Reference of the device.
        contents: Parts of the module.
        rails: Rails of the module.
        domain: Which controller of the module commands the device, 0 for the first.
        catalog: Parts by key.
        supply_class: Nominal voltage class of the vehicle.
    """
    part = catalog[contents.parts[ref]]
    hung = {
        name: _source_input(ref, part, rails, supply_class)
        if part.kind in SUPPLY_KINDS and name == INPUT
        else _rail_for(need, contents, rails, domain, supply_class)
        for name, need in part.supplies.items()
    }
    return {name: rail for name, rail in hung.items() if rail is not None}


def _source_input(ref: str, part: Part, rails: Mapping[str, Rail], supply_class: str) -> str:
    stands_v = part.absolute_max_v if part.absolute_max_v is not None else part.operating_max_v
    if stands_v is None or stands_v >= BATTERY_MAX_V[supply_class]:
        return BATTERY
    suitable = {
        name: rail.voltage_v for name, rail in rails.items() if rail.source != ref and _suits(part, rail.voltage_v)
    }
    # No rail suits: it hangs on a battery line that can destroy it, another true fault of these demos.
    return max(suitable, key=suitable.__getitem__) if suitable else BATTERY


def _suits(part: Part, rail_v: float) -> bool:
    if part.operating_max_v is None or part.operating_min_v is None or part.output_v is None:
        return False
    steps_up = part.output_v > part.operating_max_v
    return part.operating_min_v <= rail_v < part.operating_max_v and (steps_up or rail_v > part.output_v)


def _rail_for(
    need: SupplyNeed, contents: Contents, rails: Mapping[str, Rail], domain: int, supply_class: str
) -> str | None:
    if need.voltage_v is None:
        return BATTERY
    names = [name for name, rail in rails.items() if rail.voltage_v == need.voltage_v]
    if not names:
        return BATTERY if need.voltage_v in BATTERY_PARTS_V[supply_class] else None
    # Two equal converters feed one controller each, with the parts that it commands.
    makers = {rails[name].source: contents.parts[rails[name].source] for name in names}
    equal = len(makers) > 1 and len(set(makers.values())) == 1
    return names[domain] if equal else names[0]
