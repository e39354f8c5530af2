"""Channels that serve two loads, or a load and a feed."""

from collections.abc import Iterator

from bomtui.engine.feeds import switch_address
from bomtui.model.finding import Verdict
from bomtui.model.ids import Address, natural_key, parse_address
from bomtui.rules.context import Context, Rule, failed, passed, undecided
from bomtui.rules.wording import listed

SHARED = "shared"
FEED = "feed "
"""What stands before the id of a feed among what takes a channel; no id of a load holds a space."""


def ask(context: Context) -> Iterator[Verdict]:
    """One channel is taken by two loads.

    What it asks:
        For every channel that placements name: is it named once, or do all its loads say that they share it (joined =
        "shared")? A channel that switches a feed in place of a fuse is taken by that feed. Where loads that need
        channels name only the device, it cannot tell whether they take the same one.

    Why it matters:
        Two loads on one channel go on and off together, and their currents add up in a channel that was chosen for
        one.

    Failing example:
        Horn and siren both on ZCEN.U3.4.

    Passing example:
        Two number plate lamps on ZREA.U6.2, both with joined = "shared".

    Source:
        Common practice, no source.
    """
    takers: dict[Address, list[str]] = {}
    for load_id in context.addresses:
        for text in context.variant.placements[load_id].on:
            address = parse_address(text)
            if address.device and (address.channel or context.settings.habit(context.loads[load_id].drive).channels):
                takers.setdefault(address, []).append(load_id)
    for feed_id, feed in context.variant.feeds.items():
        switch = switch_address(feed)
        if switch is not None and switch.module in context.variant.modules:
            takers.setdefault(switch, []).append(f"{FEED}{feed_id}")
    for address in sorted(takers, key=lambda address: natural_key(str(address))):
        loads = takers[address]
        place, names, limit = str(address), list(dict.fromkeys(loads)), 1
        if not address.channel:
            others = any(other[:2] == address[:2] and other != address for other in takers)
            if others or len(names) > 1:
                yield undecided(place, None, limit, loads=listed(names))
            else:
                yield passed(place, len(loads), limit)
        elif len(loads) == 1 or (len(names) == len(loads) and _all_shared(context, names)):
            yield passed(place, len(loads), limit if len(loads) == 1 else SHARED)
        else:
            yield failed(place, len(loads), limit, loads=listed(names))


def _all_shared(context: Context, loads: list[str]) -> bool:
    placements = context.variant.placements
    return all(load_id in placements and placements[load_id].joined == SHARED for load_id in loads)


RULE = Rule(
    name="channel.twice",
    severity="error",
    failed="channel {place} is taken {measured} times, by {loads}; a channel serves {limit} load unless all share it",
    undecided="{place} is named without a channel for {loads}; whether that channel is taken already is unknown",
    remedy='Place each load on a channel of its own, or mark every load of the channel joined = "shared".',
    ask=ask,
    scope="modules",
)
