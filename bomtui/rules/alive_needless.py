"""Modules that stay awake while nothing in them is needed."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.rules.context import Context, Rule, not_applicable, passed, undecided, warned

RADIO = "transceiver_rf"


def ask(context: Context) -> Iterator[Verdict]:
    """A module is kept alive while the vehicle is parked, and nothing in it is in use then.

    What it asks:
        For every module that is kept alive: does it serve a load that is in use while the vehicle is parked, or hold a
        radio that may have to wake it? It cannot tell where nothing says whether a load is in use then, or the vehicle
        names no parked mode. Modules that are not kept alive are not asked.

    Why it matters:
        A module that stays awake for nothing is the first that a battery can do without.

    Failing example:
        A lamp module that is kept alive and serves lamps alone.

    Passing example:
        A door module that is kept alive and reads the handles.

    Source:
        Common practice, no source.
    """
    parked = context.proposal.vehicle.parked_mode
    for module_id in sorted(context.variant.modules, key=natural_key):
        module = context.variant.modules[module_id]
        if not module.keep_alive:
            yield not_applicable(module_id)
            continue
        shares = {
            own.load_id: context.loads[own.load_id].time_share_ratio.get(parked)
            for own in context.serving.per_module[module_id]
        }
        keys = [device.part for device in module.devices.values()]
        has_radio = any(key in context.parts and context.parts[key].kind == RADIO for key in keys)
        used = [load_id for load_id, share in shares.items() if share]
        if used or has_radio:
            yield passed(module_id, used[0] if used else "a radio", "something in use")
        elif None in shares.values():
            yield undecided(module_id, None, "something in use")
        else:
            yield warned(module_id, "nothing in use", "something in use")


RULE = Rule(
    name="alive.needless",
    severity="warning",
    failed="{place} is kept alive while the vehicle is parked, with {measured} in it",
    undecided="{place} is kept alive while the vehicle is parked: whether anything in it is in use then is unknown",
    remedy="Let {place} sleep: take away its `keep_alive`, or feed it from terminal 15.",
    ask=ask,
    scope="modules",
)
