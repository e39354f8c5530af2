"""Modules and devices of which nothing says what feeds them."""

from collections.abc import Iterator

from bomtui.engine.feed_current import feed_of_device
from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.model.variant import BATTERY
from bomtui.rules.context import Context, Rule, passed, undecided


def ask(context: Context) -> Iterator[Verdict]:
    """Nothing says which feed supplies a module, or one of its devices.

    What it asks:
        Does every module name a feed of its variant, and, where it has several, every device on the battery the one on
        which it hangs? Devices on rails hang on the feed of what makes the rail.

    Why it matters:
        Fuse, wire, contacts and ground can be held against a current only where it is known what runs through them,
        and what fails together only where it is known what hangs together.

    Failing example:
        None: what is not said is not known to be wrong, so the answer is undecided. A module with two feeds whose
        switches do not say on which of them they hang.

    Passing example:
        A module with one feed.

    Source:
        Definition: a feed is the fuse or electronic switch, wire and ground point that supply a module.
    """
    for module_id in sorted(context.variant.modules, key=natural_key):
        module = context.variant.modules[module_id]
        if not any(feed in context.variant.feeds for feed in module.feeds):
            yield undecided(module_id, why="no feed is named")
            continue
        open_refs = [
            ref
            for ref in sorted(module.devices, key=natural_key)
            if BATTERY in module.devices[ref].supply.values() and not feed_of_device(module, ref)
        ]
        if open_refs:
            yield undecided(module_id, why=f"{', '.join(open_refs)} may hang on any of {', '.join(module.feeds)}")
        else:
            yield passed(module_id)


RULE = Rule(
    name="feed.missing",
    severity="warning",
    failed="{place} has no feed",
    undecided="what feeds {place} is not known: {why}",
    remedy="Name the feeds of {place}, and in its devices on which of them each hangs.",
    ask=ask,
    scope="modules",
)
