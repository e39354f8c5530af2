"""Supplies that are said to make more rails than they have."""

from collections import Counter
from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.model.ids import Address, natural_key
from bomtui.model.part import SUPPLY_KINDS
from bomtui.rules.context import Context, Rule, failed, passed, undecided


def ask(context: Context) -> Iterator[Verdict]:
    """A supply is the source of more rails than it makes.

    What it asks:
        For every supply that is the source of a rail: are the rails of its module that name it at most those that it
        makes? It cannot tell where the part does not say how many that is.

    Why it matters:
        A rail that no pin makes needs another chip, and its cost, heat and standby are missing from every sum.

    Failing example:
        Three rails of a supply with two outputs.

    Passing example:
        Two rails of it.

    Source:
        Definition; the number of rails is data of the part.
    """
    for module_id in sorted(context.variant.modules, key=natural_key):
        module = context.variant.modules[module_id]
        named = Counter(rail.source for rail in module.rails.values())
        for ref in sorted(named.keys() & module.devices.keys(), key=natural_key):
            key = module.devices[ref].part
            part = context.parts.get(key)
            if part is None or part.kind not in SUPPLY_KINDS:
                continue
            place, rails = str(Address(module_id, ref)), named[ref]
            if part.rails is None:
                yield undecided(place, str(rails), None, part=key)
            elif rails > part.rails:
                yield failed(place, str(rails), str(part.rails), part=key)
            else:
                yield passed(place, str(rails), str(part.rails))


RULE = Rule(
    name="rail.many",
    severity="error",
    failed="rails that name {place} ({part}) as their source: {measured}; it makes {limit}",
    undecided="rails that name {place} ({part}) as their source: {measured}; how many it makes is unknown",
    remedy="Let another supply make a rail of {place}, or choose one with more outputs.",
    ask=ask,
    scope="modules",
)
