"""Money that is left over in pieces."""

from collections.abc import Iterator
from typing import Final

from bomtui.engine.purchase import largest_left_over, left_over_ratio
from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, not_applicable, passed, undecided, warned
from bomtui.rules.wording import listed

PLACE = "cost.excess"
NAMED: Final = 5
"""How many parts the finding names (common practice, no source)."""


def ask(context: Context) -> Iterator[Verdict]:
    """Much money is left over in pieces that nobody needs.

    What it asks:
        Is the money in pieces that are left after the programme, as minimum orders and packages leave them, at most a
        share, by setting, of the money for parts? Where the stock of a year serves the next, only what is left at the
        end counts. It cannot tell where a price or an order is not known.

    Why it matters:
        Reels are bought whole. What is left of them is paid by the vehicles that were built.

    Failing example:
        8.39 EUR a vehicle left over, of 476.55 EUR for parts, at a limit of 1 %.

    Passing example:
        4 EUR of it at the same limit.

    Source:
        Common practice, no source: 1 %.
    """
    limit, cost = context.settings.limits.excess_ratio, context.rollup.cost
    ratio = left_over_ratio(context.electrics.calc, cost)
    much = exceeds(ratio, limit)
    facts = {"parts": listed([line.part for line in largest_left_over(cost, NAMED)])}
    if not cost.lines:
        yield not_applicable(PLACE)
    elif much is None:
        yield undecided(PLACE, ratio, limit, "1", **facts)
    elif much:
        yield warned(PLACE, ratio, limit, "1", **facts)
    else:
        yield passed(PLACE, ratio, limit, "1")


RULE = Rule(
    name="excess.life",
    severity="warning",
    failed="{measured} of the money for parts is left over in pieces after the programme, {limit} is the limit;"
    " most of it in {parts}",
    undecided="{measured} of the money for parts is left over in pieces after the programme, {limit} is the limit:"
    " whether it is kept is unknown",
    remedy="Share parts between modules, choose smaller packages, or agree on taking back what is left.",
    ask=ask,
)
