"""Wires of feeds that take too much of the supply."""

from collections.abc import Iterator

from bomtui.engine.feeds import nominal_v
from bomtui.engine.wire import allowed_drop_v
from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided


def ask(context: Context) -> Iterator[Verdict]:
    """The wire of a feed takes more of the supply than it may.

    What it asks:
        For every feed: is the drop of its largest current, there and back, with the wires as hot as their insulation
        stands, at most a share of the nominal voltage (settings)? The wires of its loads come on top and are held by
        themselves. It cannot tell where current, area or length is not known. A feed of no module is not asked.

    Why it matters:
        What the wire to a module takes is missing at all of its loads at once: dim lamps, slow motors, a controller
        that resets in the cold.

    Failing example:
        20 A through 10 m of 4 mm2 in a 12 V net: 1.3 V with the wire at 100 degC.

    Passing example:
        The same through 16 mm2, 0.32 V.

    Source:
        5 %: common practice, no source. Resistance by IEC 60228 or ASTM B258.
    """
    calc = context.electrics.calc
    allowed = calc(
        allowed_drop_v,
        nominal_v=nominal_v(calc, context.proposal),
        limit_ratio=context.settings.limits.drop_ratio,
    )
    for own in context.rollup.feeds.values():
        place, drop = f"feeds.{own.id}", own.drop_v.max
        over = exceeds(drop, allowed)
        if not own.modules:
            yield not_applicable(place)
        elif over is None:
            yield undecided(place, drop, allowed, "V")
        elif over:
            yield failed(place, drop, allowed, "V")
        else:
            yield passed(place, drop, allowed, "V")


RULE = Rule(
    name="feed.drop",
    severity="warning",
    failed="the wire of {place} takes {measured}, {limit} is allowed",
    undecided="the wire of {place} takes {measured}, {limit} is allowed: whether it takes too much is unknown",
    remedy="Give {place} a thicker or shorter wire.",
    ask=ask,
)
