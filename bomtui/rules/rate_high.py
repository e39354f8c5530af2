"""Networks faster than their standard or a transceiver allows."""

from collections.abc import Iterator

from bomtui.engine.networks.ports import needed_rate_bit_per_s, serves
from bomtui.model.bound import exceeds
from bomtui.model.finding import Need, Verdict
from bomtui.rules.context import Context, Rule, failed, helped_by, not_applicable, passed, undecided
from bomtui.rules.nets import networks, node_place, sites

UNIT = "bit/s"
FIXED_KINDS = frozenset(("10BASE-T1S", "100BASE-T1"))
"""Kinds whose name is their rate: a part for them has it."""


def ask(context: Context) -> Iterator[Verdict]:
    """A network is faster than LIN may be, or than a transceiver on it.

    What it asks:
        For every LIN network: is its rate above 20 kbit/s (setting)? For every node at a transceiver of a network that
        does not have its rate by its kind: is the highest rate of the network above that of the part? It cannot tell
        where a rate is not given.

    Why it matters:
        A transceiver that is too slow rounds the edges until bits are read wrongly, in the cold first.

    Failing example:
        Data at 8 Mbit/s on a transceiver for 5 Mbit/s.

    Passing example:
        Data at 2 Mbit/s on the same transceiver.

    Source:
        LIN 2.x and ISO 17987-4, seen second-hand: 20 kbit/s; the others are the makers' own figures (definition).
    """
    limits = context.settings.limits
    for place, network, _ in networks(context):
        needed = needed_rate_bit_per_s(network)
        if network.kind == "LIN":
            yield _verdict(place, needed, limits.lin_rate_bit_per_s, "the standard")
        for site in sites(context, network):
            where = node_place(place, site.id)
            # A part that does not serve the network, or is not known, is a matter of node.misfit.
            # Of a chip with several ports its one rate is that of CAN.
            is_asked = network.kind not in FIXED_KINDS and site.part is not None and serves(site.part, network.kind)
            if not is_asked or site.part is None or (site.part.kind == "sbc" and network.kind == "LIN"):
                yield not_applicable(where)
            else:
                verdict = _verdict(where, needed, site.part.rate_bit_per_s, site.node.at)
                least = {} if needed is None else {"rate_bit_per_s": needed}
                yield helped_by(verdict, Need(kinds=(site.part.kind,), least=least))


def _verdict(place: str, needed: float | None, allowed: float | None, what: str) -> Verdict:
    over = exceeds(needed, allowed)
    if over is None:
        return undecided(place, needed, allowed, UNIT, what=what)
    return failed(place, needed, allowed, UNIT, what=what) if over else passed(place, needed, allowed, UNIT)


RULE = Rule(
    name="rate.high",
    severity="error",
    failed="{place} runs at {measured}, {what} allows {limit}",
    undecided="{place} runs at {measured} and {what} allows {limit}: whether that is enough is unknown",
    remedy="Lower the rate of the network, or choose a faster transceiver.",
    ask=ask,
)
