"""Point-to-point lines with too many connectors in their way."""

from collections.abc import Iterator

from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided
from bomtui.rules.nets import networks


def ask(context: Context) -> Iterator[Verdict]:
    """A 100BASE-T1 line has more connectors in its way than it allows.

    What it asks:
        For every 100BASE-T1 network: are there more than 4 connectors between its two ends (setting)? It cannot tell
        where their number is not given. Other networks are not asked.

    Why it matters:
        Every connector reflects a part of the signal; the receiver can cancel a few echoes only.

    Failing example:
        A camera link through five bulkheads.

    Passing example:
        The same link through two.

    Source:
        IEEE 802.3bw, value from memory: four connectors within the cable.
    """
    limit = context.settings.limits.single_pair_connectors
    for place, network, _ in networks(context):
        if network.kind != "100BASE-T1":
            yield not_applicable(place)
            continue
        over = exceeds(network.inline_connectors, limit)
        if over is None:
            yield undecided(place, None, limit)
        else:
            yield (failed if over else passed)(place, network.inline_connectors, limit)


RULE = Rule(
    name="line.connectors",
    severity="error",
    failed="the line of {place} has {measured} connectors in its way, {limit} are allowed",
    undecided="how many connectors the line of {place} has in its way is unknown, {limit} are allowed",
    remedy="Lead the line of {place} through fewer connectors.",
    ask=ask,
)
