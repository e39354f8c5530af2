"""What must be fed while the ignition is off, behind a terminal that is switched off with it."""

from collections.abc import Iterator

from bomtui.engine.feed_current import feed_of_device
from bomtui.engine.standby import SWITCHED_TERMINAL
from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.model.variant import BATTERY
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided
from bomtui.rules.wording import listed

ASLEEP = "asleep"


def ask(context: Context) -> Iterator[Verdict]:
    """Something that needs current while the vehicle is parked hangs on a feed that is switched off with the ignition.

    What it asks:
        For every feed from terminal 15: does no device hang on it that is said to be fed from terminal 30, so that it
        counts in the standby current, no module that is kept alive, and no load that is in use while the electronics
        sleep? It cannot tell where nothing says whether such a load is in use then. Feeds from terminal 30 are not
        asked.

    Why it matters:
        Hazard lamps and door handles die with the ignition, or a standby current is in the budget that nothing draws.

    Failing example:
        A door module that is kept alive, on terminal 15.

    Passing example:
        A seat heater on terminal 15.

    Source:
        DIN 72552: terminal 30 is the battery, terminal 15 the battery behind the ignition switch (value from memory).
    """
    feeds = context.variant.feeds
    for feed_id in sorted(feeds, key=natural_key):
        place = f"feeds.{feed_id}"
        if feeds[feed_id].terminal != SWITCHED_TERMINAL:
            yield not_applicable(place)
            continue
        certain, possible = _needed(context, feed_id)
        if certain:
            yield failed(place, f"terminal {SWITCHED_TERMINAL}", "terminal 30", what=listed(certain))
        elif possible:
            yield undecided(place, f"terminal {SWITCHED_TERMINAL}", "terminal 30", what=listed(possible))
        else:
            yield passed(place, f"terminal {SWITCHED_TERMINAL}", f"terminal {SWITCHED_TERMINAL}")


def _needed(context: Context, feed_id: str) -> tuple[list[str], list[str]]:
    """Return what on a feed is needed while the ignition is off: for certain, and perhaps."""
    certain: list[str] = []
    possible: list[str] = []
    asleep = [key for key, mode in context.proposal.modes.items() if mode.electronics == ASLEEP]
    for module_id in sorted(context.variant.modules, key=natural_key):
        module = context.variant.modules[module_id]
        if feed_id not in module.feeds:
            continue
        hanging = {ref for ref in module.devices if feed_of_device(module, ref) == feed_id}
        if module.keep_alive and module.feeds == (feed_id,):
            certain.append(module_id)
        certain += [
            f"{module_id}.{ref}"
            for ref in sorted(hanging, key=natural_key)
            if BATTERY in module.devices[ref].supply.values() and module.devices[ref].terminal != SWITCHED_TERMINAL
        ]
        for load_id, addresses in context.addresses.items():
            if any(own.module == module_id and own.device in hanging for own in addresses):
                shares = [context.loads[load_id].time_share_ratio.get(mode) for mode in asleep]
                if any(shares):
                    certain.append(load_id)
                elif None in shares:
                    possible.append(load_id)
    return certain, possible


RULE = Rule(
    name="feed.terminal",
    severity="error",
    failed="{place} is taken from {measured}, and current is needed while the ignition is off by {what}",
    undecided="{place} is taken from {measured}: whether current is needed while the ignition is off by {what} is"
    " unknown",
    remedy="Take {place} from terminal 30, or say that what hangs on it is fed from terminal 15 only.",
    ask=ask,
)
