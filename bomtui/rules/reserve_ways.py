"""Modules whose connectors have hardly a way to spare."""

from collections.abc import Iterator

from bomtui.engine.quantities import all_ways
from bomtui.engine.reserve import free, ways_there
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, not_applicable
from bomtui.rules.sparing import sparing


def ask(context: Context) -> Iterator[Verdict]:
    """The connectors of a module have hardly a way to spare.

    What it asks:
        For every module: is the share of the ways of its connectors that no wire takes at least a setting? Power
        contacts count with their headers. It cannot tell where wires or the ways of a connector are not known.

    Why it matters:
        A wire more then needs another connector, its housing another opening, and the harness another branch.

    Failing example:
        24 ways for 24 wires.

    Passing example:
        48 ways for 40 wires.

    Source:
        Common practice, no source: 10 %.
    """
    limit = context.settings.limits.spare_ways_ratio
    for module_id, result in context.results.items():
        total = ways_there(context.variant.modules[module_id], context.parts)
        used = all_ways(result.wires, context.settings.counting)
        known = None if result.wires.unknown else total
        share = free(context.electrics.calc, known, used, "ways of the connectors")
        if total == 0:
            yield not_applicable(module_id)
        else:
            yield sparing(module_id, share, limit, used=str(used), total=str(total))


RULE = Rule(
    name="reserve.ways",
    severity="warning",
    failed="{used} of {total} connector ways of {place} are in use: {measured} are free, {limit} is wanted",
    undecided="how many connector ways of {place} are free is unknown, {limit} is wanted",
    remedy="Choose connectors with more ways.",
    ask=ask,
    scope="modules",
)
