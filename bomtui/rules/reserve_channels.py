"""Modules with hardly a driver channel to spare."""

from collections.abc import Iterator

from bomtui.engine.reserve import free
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, not_applicable
from bomtui.rules.sparing import sparing


def ask(context: Context) -> Iterator[Verdict]:
    """A module has hardly a driver channel to spare.

    What it asks:
        For every module with drivers: is the share of their channels that carry no load at least a setting? It cannot
        tell where a part does not say how many channels it has.

    Why it matters:
        A lamp more in the next model year then takes a chip more, with its pins and its place on the board.

    Failing example:
        15 of 16 channels in use.

    Passing example:
        14 of 16 channels in use.

    Source:
        Common practice, no source: 10 %.
    """
    limit = context.settings.limits.spare_channels_ratio
    for module_id, result in context.results.items():
        own = result.channels
        share = None if own.unknown else free(context.electrics.calc, own.total, own.used, "channels of the drivers")
        if own.total or own.unknown:
            yield sparing(module_id, share, limit, used=str(own.used), total=str(own.total))
        else:
            yield not_applicable(module_id)


RULE = Rule(
    name="reserve.channels",
    severity="warning",
    failed="{used} of {total} driver channels of {place} are in use: {measured} are free, {limit} is wanted",
    undecided="how many driver channels of {place} are free is unknown, {limit} is wanted",
    remedy="Add a driver, or choose one with more channels.",
    ask=ask,
    scope="modules",
)
