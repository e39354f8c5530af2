"""What rules about constraints ask of every part that a variant uses."""

from collections.abc import Iterator

from bomtui.engine.constraints import Check, breaches
from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.rules.context import Context, failed, passed, undecided
from bomtui.rules.wording import listed


def places_of_parts(context: Context) -> dict[str, list[str]]:
    """Return where each part of a variant is used, by catalog key in natural order: devices, and modules of items.

    An item of which a module counts none is not used.
    """
    places: dict[str, list[str]] = {}
    for module_id in sorted(context.variant.modules, key=natural_key):
        module = context.variant.modules[module_id]
        for ref in sorted(module.devices, key=natural_key):
            places.setdefault(module.devices[ref].part, []).append(f"{module_id}.{ref}")
        for key, item in module.items.items():
            if item.quantity.quantity:
                places.setdefault(key, []).append(module_id)
    return {key: places[key] for key in sorted(places, key=natural_key)}


def asked_of_parts(context: Context, check: Check) -> Iterator[Verdict]:
    """Ask one thing of every part that a variant uses; each part is asked once, wherever it is used."""
    constraints = context.proposal.constraints
    for key, places in places_of_parts(context).items():
        found = breaches(key, context.parts.get(key), constraints, context.parts)
        breach = next((breach for breach in found if breach.check == check), None)
        place = f"parts.{key}"
        if breach is None:
            yield passed(place)
            continue
        say = failed if breach.certain else undecided
        yield say(place, breach.measured, breach.limit, part=key, where=listed(places))
