"""Sensors whose wires can bring the battery onto a rail."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.model.variant import BATTERY
from bomtui.rules.context import Context, Rule, not_applicable, passed, undecided, warned

LIMIT = "stands a short to the battery"
WEAK = "does not stand it"
SENSORS = frozenset(("AI", "FI", "SENT"))
"""Drive codes of sensors that are fed with a voltage of their own."""


def ask(context: Context) -> Iterator[Verdict]:
    """A sensor outside its module is fed from a rail that does not stand a short to the battery.

    What it asks:
        For every sensor on a rail of a module in another zone: is the source of the rail declared to stand its output
        shorted to the battery? It cannot tell where the source or what it stands is not known.

    Why it matters:
        Its wires leave the box. Where they chafe through, the battery feeds the 5 V rail, and with it the controller.

    Failing example:
        A pedal on the 5 V of the controller.

    Passing example:
        The same pedal on a tracker that stands it.

    Source:
        Common practice, no source.
    """
    for load_id in sorted(context.addresses, key=natural_key):
        load, rail_id = context.loads[load_id], context.variant.placements[load_id].rail
        module = context.variant.modules.get(context.serving.module_of[load_id])
        if load.drive not in SENSORS or module is None or rail_id in {"", BATTERY} or load.zone == module.zone:
            yield not_applicable(load_id)
            continue
        rail = module.rails.get(rail_id)
        source = None if rail is None else module.devices.get(rail.source)
        part = None if source is None else context.parts.get(source.part)
        facts = {"rail": rail_id, "source": "nothing" if rail is None else rail.source}
        if part is None or part.short_to_battery_ok is None:
            yield undecided(load_id, None, LIMIT, **facts)
        elif part.short_to_battery_ok:
            yield passed(load_id, LIMIT, LIMIT)
        else:
            yield warned(load_id, WEAK, LIMIT, **facts)


RULE = Rule(
    name="sensor.supply",
    severity="warning",
    failed="{place} is fed from rail {rail}, whose source {source} {measured}",
    undecided="{place} is fed from rail {rail}; whether its source {source} stands a short to the battery is unknown",
    remedy="Feed {place} from a tracker that stands a short to the battery.",
    ask=ask,
    scope="modules",
)
