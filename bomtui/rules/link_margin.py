"""Optical and radio links with too little reserve."""

from collections.abc import Iterator

from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided, warned
from bomtui.rules.nets import networks, node_place

UNIT = "dB"
NEEDED_DB: float = 0.0
"""Below its sensitivity a receiver hears nothing (definition)."""


def ask(context: Context) -> Iterator[Verdict]:
    """A receiver gets too little light or radio power beyond its need.

    What it asks:
        For every way from a node of an optical ring to the next one: does 3 dB beyond the need of the receiver arrive?
        For every way of a radio link: do 10 dB beyond it arrive, fading and metal taken off (settings)? Less is a
        warning, less than the need an error. It cannot tell where powers, gains, lengths or losses are not given.

    Why it matters:
        Fibres yellow, connectors get dirty, somebody stands before the antenna. A link without reserve works on the
        first day.

    Failing example:
        -8 dBm through 10 m of fibre, two bends and four connectors: -21 dBm at a receiver that needs -23 dBm.

    Passing example:
        The same fibre with two connectors less.

    Source:
        Common practice, no source; free space by Friis 1946.
    """
    limits = context.settings.limits
    wanted = {"optical ring": limits.optical_margin_db, "radio": limits.radio_margin_db}
    for place, network, result in networks(context):
        if network.kind not in wanted:
            yield not_applicable(place)
            continue
        for link in result.links:
            where, limit = node_place(place, link.receiver), wanted[network.kind]
            short = exceeds(limit, link.margin_db)
            if exceeds(NEEDED_DB, link.margin_db):
                yield failed(where, link.margin_db, limit, UNIT, sender=link.sender)
            elif short:
                yield warned(where, link.margin_db, limit, UNIT, sender=link.sender)
            elif short is None:
                yield undecided(where, link.margin_db, limit, UNIT, sender=link.sender)
            else:
                yield passed(where, link.margin_db, limit, UNIT)


RULE = Rule(
    name="link.margin",
    severity="error",
    failed="{place} gets {measured} beyond its need from {sender}, {limit} is wanted",
    undecided="{place} gets {measured} beyond its need from {sender}, {limit} is wanted",
    remedy="Choose a stronger sender or a better receiver, or take losses out of the way to {place}.",
    ask=ask,
)
