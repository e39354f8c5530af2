"""Orders that are just below a lower price."""

from collections.abc import Iterator

from bomtui.engine.purchase import next_rung
from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, failed, passed, undecided
from bomtui.rules.wording import printed


def ask(context: Context) -> Iterator[Verdict]:
    """A slightly larger order would have a lower unit price.

    What it asks:
        For every part with a price: is the yearly order further below the next lower price than a setting? The price
        that is paid is that of the rung of the whole order, never of one module alone. It cannot tell where order or
        price is not known.

    Why it matters:
        A few pieces more may cost less than the pieces ordered, and a family used twice reaches the next price by
        itself.

    Failing example:
        An order of 2 400 pieces, and a lower price from 2 500.

    Passing example:
        An order of 1 500 pieces.

    Source:
        Common practice, no source: 10 %.
    """
    limit = context.settings.limits.near_rung_ratio
    for line in context.rollup.cost.lines:
        part, place = context.parts.get(line.part), f"parts.{line.part}"
        if part is None or line.order is None or line.unit_price is None:
            yield undecided(place, None, limit, "1", part=line.part)
            continue
        rung = next_rung(context.electrics.calc, line, part)
        if rung is None or exceeds(rung.missing, limit):
            yield passed(place, None if rung is None else rung.missing, limit, "1")
        else:
            saving = printed(rung.saving, "1")
            facts = {"part": line.part, "order": str(line.order), "rung": str(rung.rung.quantity), "saving": saving}
            yield failed(place, rung.missing, limit, "1", **facts)


RULE = Rule(
    name="rung.near",
    severity="hint",
    failed="{order} pieces of {part} a year: {measured} more, from {rung} pieces, make each {saving} cheaper",
    undecided="whether a larger order of {part} would be cheaper is unknown",
    remedy="Ask for the price of the larger order, or use {part} where a similar one is used.",
    ask=ask,
)
