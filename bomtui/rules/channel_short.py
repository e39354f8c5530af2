"""Loads with fewer channels than their drive code needs."""

from collections.abc import Iterator

from bomtui.engine.fit import Given, compare
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, failed, passed, undecided


def ask(context: Context) -> Iterator[Verdict]:
    """A load has fewer channels than its drive code needs.

    What it asks:
        For every load whose drive code needs driver channels and that a module serves: is it placed on at least as
        many different channels? A device that is named without a channel leaves it undecided. A load that no module
        serves is a matter of `data.missing`.

    Why it matters:
        A full bridge on one half bridge turns one way only, and a two-speed motor on one switch has one speed.

    Failing example:
        A flap motor of drive code FB on ZCEN.U8.1 alone.

    Passing example:
        The same motor on ZCEN.U8.1 and ZCEN.U8.2.

    Source:
        Common practice, no source; the channels per drive code are settings of the proposal.
    """
    for load_id, addresses in context.addresses.items():
        load = context.loads[load_id]
        numbered = sum(address.channel > 0 for address in addresses)
        found = compare("channels", load, Given(None, numbered), context.settings)
        if found is None:
            continue
        facts = {"drive": load.drive, "module": context.serving.module_of[load_id]}
        if found.fits:
            yield passed(load_id, found.measured, found.limit)
        elif any(address.device and not address.channel for address in addresses):
            yield undecided(load_id, None, found.limit, **facts)
        else:
            yield failed(load_id, found.measured, found.limit, **facts)


RULE = Rule(
    name="channel.short",
    severity="error",
    failed="{place} is driven {drive} and needs {limit} channels, and is placed on {measured}",
    undecided="{place} is driven {drive} and needs {limit} channels, and its device is named without a channel",
    remedy="Give {place} free channels of {module} that drive {drive}, or of another module.",
    ask=ask,
    scope="modules",
)
