"""A rail in the details: who makes it, what hangs on it, what is drawn from it, and what its source can give."""

from collections.abc import Iterable
from decimal import Decimal

from bomtui.model.bound import Value
from bomtui.model.money import Total
from bomtui.services.present import value_text
from bomtui.services.rail_currents import SUPPLY_OUTPUT, Stands, feeding, supply_load
from bomtui.tui.from_services.figure_text import Named
from bomtui.tui.from_services.names import Names
from bomtui.tui.marks import Mark
from bomtui.tui.view import Figure

STATES: dict[Stands, tuple[Mark, str]] = {
    "within": ("ok", "within limit"),
    "little left": ("check", "little left"),
    "above": ("over", "over its limit"),
    "undecided": ("unknown", "not decided"),
}


def rail_details(names: Names, module_id: str, rail_id: str, currents: tuple[Figure, ...]) -> tuple[Figure, ...]:
    """Return what makes a rail, what hangs on it and what devices draw from it.

    Args:
        names: Where everything stands.
        module_id: Its module.
        rail_id: Its id.
        currents: What devices draw from it.
    """
    module = names.variant.modules[module_id]
    rail = module.rails[rail_id]
    device = module.devices.get(rail.source)
    made_of = "" if device is None else f" ({device.part})"
    on_it = feeding(names.variant, module_id, rail_id)
    loads = f"loads {', '.join(on_it.loads)}" if on_it.loads else ""
    return (
        Figure(f"rail {rail_id}", f"{value_text(rail.voltage_v, 'voltage')} from {rail.source}{made_of}"),
        Figure(f"on rail {rail_id}", "; ".join(filter(None, (", ".join(on_it.inputs), loads))) or "nothing"),
        *currents,
    )


def supply_budget(names: Names, module_id: str, ref: str, source: Iterable[Named]) -> Figure:
    """Return what a source gives to all its rails where it is worst, against what it can give.

    Args:
        names: Where everything stands.
        module_id: Its module.
        ref: Its reference.
        source: Its figures.
    """
    outputs = {named.mode: _quantity(named) for named in source if named.key == SUPPLY_OUTPUT}
    load = supply_load(names.snapshot, names.variant.modules[module_id], ref, outputs)
    title = f"{ref} gives, all rails, max"
    if load is None:
        return Figure(title, "unknown: nothing feeds it, or it makes no such rail", "unknown")
    mark, word = STATES[load.stands]
    text = f"{value_text(load.output_a, 'current')} of {value_text(load.limit_a, 'current')} in {load.mode}"
    return Figure(title, text, mark, word, f"{module_id}.{ref}:{SUPPLY_OUTPUT}@{load.mode}/max")


def _quantity(named: Named) -> Value:
    return None if isinstance(named.value, Decimal | Total) else named.value
