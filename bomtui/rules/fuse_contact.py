"""Contacts of a module that burn before the fuse of their feed opens."""

from collections.abc import Iterator

from bomtui.engine.feed_contacts import fed_through
from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, failed, passed, undecided


def ask(context: Context) -> Iterator[Verdict]:
    """The fuse of a feed is larger than what the contacts of a module carry.

    What it asks:
        For every module and each of its feeds: is the rated current of the fuse, or the highest current at which the
        channel in its place lets go, at most what the contacts that carry the feed into the module stand together,
        derated where many ways of their connector are in use (settings)? It cannot tell where fuse or contacts are not
        known.

    Why it matters:
        An overload that the fuse lets pass ends in the smallest part of its way, and a burnt header takes the module
        with it. The wire may well be thicker than its contact: it was chosen for its drop.

    Failing example:
        A fuse of 20 A before two contacts of 7 A.

    Passing example:
        A fuse of 10 A before the same two, with few ways in use.

    Source:
        Common practice, no source: 70 % where more than 60 % of the ways are in use; currents are data of the parts.
    """
    protections = {feed_id: own.protection_a for feed_id, own in context.rollup.feeds.items()}
    for own in fed_through(context.electrics, context.results, protections):
        facts = {"feed": own.feed, "part": own.part or "its connector"}
        over = exceeds(own.fuse_a, own.supply_limit_a)
        if over is None:
            yield undecided(own.module, own.fuse_a, own.supply_limit_a, "A", **facts)
        elif over:
            yield failed(own.module, own.fuse_a, own.supply_limit_a, "A", **facts)
        else:
            yield passed(own.module, own.fuse_a, own.supply_limit_a, "A")


RULE = Rule(
    name="fuse.contact",
    severity="error",
    failed="the fuse or channel of {feed} lets {measured} pass, the contacts of {place} ({part}) for it carry {limit}",
    undecided="the fuse or channel of {feed} lets {measured} pass, the contacts of {place} ({part}) for it carry"
    " {limit}: whether they are protected is unknown",
    remedy="Give {feed} more ways or power contacts at {place}, or divide it.",
    ask=ask,
)
