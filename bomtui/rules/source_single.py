"""Parts that one maker alone delivers."""

from collections.abc import Iterator

from bomtui.engine.dates import lead_time_s
from bomtui.engine.purchase import is_single, single_source_ratio
from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, not_applicable, passed, undecided, warned
from bomtui.rules.parts_used import places_of_parts

VEHICLE = "cost.parts"
MONEY = "of the money for parts goes to parts without an alternate"
LEAD = "is the lead time of a part without an alternate"


def ask(context: Context) -> Iterator[Verdict]:
    """Much of the money goes to parts without an alternate.

    What it asks:
        Is the share of the money for parts, passives, connectors, boards and housings left out, that goes to parts
        without an alternate at most a setting? And for every such part: is its lead time at most a setting? It cannot
        tell where a price, the part or its lead time is not known.

    Why it matters:
        A part that one maker alone can deliver sets the price, and stops production when a plant burns.

    Failing example:
        77 % of the money for parts without an alternate.

    Passing example:
        30 % of it.

    Source:
        Common practice, no source: 40 % and 20 weeks.
    """
    limits, calc = context.settings.limits, context.electrics.calc
    ratio = single_source_ratio(calc, context.rollup.cost, dict(context.parts))
    much = exceeds(ratio, limits.single_source_ratio)
    if not context.rollup.cost.lines:
        yield not_applicable(VEHICLE)
    elif much is None:
        yield undecided(VEHICLE, ratio, limits.single_source_ratio, "1", what=MONEY)
    elif much:
        yield warned(VEHICLE, ratio, limits.single_source_ratio, "1", what=MONEY)
    else:
        yield passed(VEHICLE, ratio, limits.single_source_ratio, "1")
    for key in places_of_parts(context):
        part, place = context.parts.get(key), f"parts.{key}"
        if is_single(part) is False:
            yield not_applicable(place)
            continue
        lead = None if part is None else lead_time_s(calc, part.lead_weeks)
        long = exceeds(lead, limits.single_source_lead_s)
        if long is None:
            yield undecided(place, lead, limits.single_source_lead_s, "s", what=LEAD)
        elif long:
            yield warned(place, lead, limits.single_source_lead_s, "s", what=LEAD)
        else:
            yield passed(place, lead, limits.single_source_lead_s, "s")


RULE = Rule(
    name="source.single",
    severity="warning",
    failed="{place}: {measured} {what}, {limit} is the limit",
    undecided="{place}: {measured} {what}, {limit} is the limit: whether it is kept is unknown",
    remedy="Name an alternate, or agree on a stock with the maker.",
    ask=ask,
)
