"""Prices and exchange rates that are too old."""

from collections.abc import Iterator

from bomtui.engine.dates import time_between_s
from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, not_applicable, passed, undecided, warned
from bomtui.rules.parts_used import places_of_parts


def ask(context: Context) -> Iterator[Verdict]:
    """A price is too old, or has run out.

    What it asks:
        For every part with a price: was it given at most a setting before the day of the proposal, and does it hold on
        that day? It cannot tell where the day of the proposal or of the price is not given. Parts without a price are a
        matter of another rule. Exchange rates are asked likewise, with a setting of their own.

    Why it matters:
        A proposal with last year's prices is a promise that nobody at home will keep.

    Failing example:
        A price of January in a proposal of June.

    Passing example:
        A price of May in it.

    Source:
        Common practice, no source: 90 days for a price, 30 for a rate.
    """
    as_of, limit = context.proposal.proposal.as_of, context.settings.limits.price_age_s
    for key in places_of_parts(context):
        part, place = context.parts.get(key), f"parts.{key}"
        if part is None or not part.breaks:
            yield not_applicable(place)
            continue
        age = time_between_s(context.electrics.calc, part.price_date, as_of)
        old = exceeds(age, limit)
        facts = {"part": key, "how": f" old on {as_of or 'an unknown day'}"}
        if as_of is not None and part.price_valid_to is not None and part.price_valid_to < as_of:
            wanted = f"a day not before {as_of}"
            yield warned(place, f"valid to {part.price_valid_to}", wanted, part=key, how="")
        elif old is None:
            yield undecided(place, age, limit, "s", **facts)
        elif old:
            yield warned(place, age, limit, "s", **facts)
        else:
            yield passed(place, age, limit, "s")

    yield from _rates(context)


def _rates(context: Context) -> Iterator[Verdict]:
    as_of, limit = context.proposal.proposal.as_of, context.settings.limits.rate_age_s
    for code, exchange in sorted(context.proposal.programme.exchange.items()):
        place = f"programme.exchange.{code}"
        age = time_between_s(context.electrics.calc, exchange.date, as_of)
        old = exceeds(age, limit)
        facts = {"part": f"1 {code}", "how": f" old on {as_of or 'an unknown day'}"}
        if old is None:
            yield undecided(place, age, limit, "s", **facts)
        elif old:
            yield warned(place, age, limit, "s", **facts)
        else:
            yield passed(place, age, limit, "s")


RULE = Rule(
    name="price.old",
    severity="warning",
    failed="the price of {part} is {measured}{how}, {limit} is the limit",
    undecided="the age of the price of {part} is unknown, {limit} is the limit",
    remedy="Ask for the price anew.",
    ask=ask,
)
