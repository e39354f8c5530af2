"""A rail in the details: who makes it, what hangs on it, what devices draw from it, and what its source can give."""

from collections.abc import Iterable
from decimal import Decimal

from bomtui.model.bound import Value
from bomtui.model.money import Total
from bomtui.services.present import value_text
from bomtui.services.rail_currents import feeding, is_beyond, source_limit_a
from bomtui.tui.from_services.figure_text import Named
from bomtui.tui.from_services.names import Names
from bomtui.tui.view import Figure

THROUGH_RAILS = (
    "What devices draw from a rail is held against what its source can give; the currents of loads that come through "
    "it are not in it, so that within is no verdict."
)
LARGEST = "max"
BEYOND = "more than it can give"


def rail_details(
    names: Names, module_id: str, rail_id: str, currents: tuple[Figure, ...], source: Iterable[Named]
) -> tuple[Figure, ...]:
    """Return what is known of a rail.

    Args:
        names: Where everything stands.
        module_id: Its module.
        rail_id: Its id.
        currents: What devices draw from it.
        source: What devices draw from all rails of its source, by corner.
    """
    module = names.variant.modules[module_id]
    rail = module.rails[rail_id]
    on_it = feeding(names.variant, module_id, rail_id)
    device = module.devices.get(rail.source)
    made_of = "" if device is None else f" ({device.part})"
    hanging = "; ".join(
        filter(None, (", ".join(on_it.inputs), f"loads {', '.join(on_it.loads)}" if on_it.loads else ""))
    )
    limit_a = source_limit_a(names.snapshot, module, rail_id)
    drawn = next((own.value for own in source if own.corner == LARGEST), None)
    largest: Value = None if isinstance(drawn, Decimal | Total) else drawn
    is_over = is_beyond(largest, limit_a)
    return (
        Figure(f"rail {rail_id}", f"{value_text(rail.voltage_v, 'voltage')} from {rail.source}{made_of}"),
        Figure(f"on rail {rail_id}", hanging or "nothing"),
        *currents,
        Figure(
            f"{rail.source} can give",
            f"{value_text(limit_a, 'current')}, all its rails together",
            "over" if is_over else "unknown" if limit_a is None else "",
            f"{value_text(largest, 'current')} drawn, {BEYOND}" if is_over else "",
        ),
    )
