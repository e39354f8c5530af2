"""Parts that are not made as long as the vehicle."""

from collections.abc import Iterator

from bomtui.engine.dates import end_of_production
from bomtui.model.finding import Verdict
from bomtui.model.part import Part
from bomtui.rules.context import Context, Rule, failed, passed, undecided, warned
from bomtui.rules.parts_used import places_of_parts
from bomtui.rules.wording import listed

ACTIVE = "active"
WORDS = {
    "preview": "not released yet",
    "nrnd": "not for new designs",
    "obsolete": "no longer made",
}


def ask(context: Context) -> Iterator[Verdict]:
    """A part will not be made as long as the vehicle.

    What it asks:
        For every part that is used: is it active? An obsolete part is an error. A part of which a last order or a year
        is announced is an error where the programme goes on beyond it, and a warning where it does not. One that is not
        for new designs, or not yet released, is a warning. It cannot tell where the life cycle is not given, nor, of an
        announced end, where the start of production, the years or the end are not.

    Why it matters:
        A part that can no longer be ordered stops a production line, or its stock for years is paid for at once.

    Failing example:
        A panel with last orders in 2027 in a programme of 2028 to 2036.

    Passing example:
        An active part with a commitment to 2040.

    Source:
        Common practice, no source.
    """
    for key, places in places_of_parts(context).items():
        part = context.parts.get(key)
        facts = {"part": key, "where": listed(places)}
        place = f"parts.{key}"
        if part is None or part.life_cycle is None:
            yield undecided(place, None, ACTIVE, **facts)
        elif part.life_cycle == "obsolete":
            yield failed(place, WORDS["obsolete"], ACTIVE, **facts)
        elif part.life_cycle in WORDS:
            yield warned(place, WORDS[part.life_cycle], ACTIVE, **facts)
        else:
            yield _ending(context, place, part, facts)


def _ending(context: Context, place: str, part: Part, facts: dict[str, str]) -> Verdict:
    until = part.last_order
    if part.life_cycle == ACTIVE and until is None and part.available_until is None:
        return passed(place, ACTIVE, ACTIVE)
    end = end_of_production(context.proposal.vehicle)
    if end is None or (until is None and part.available_until is None):
        return undecided(place, "ends some day", ACTIVE, **facts)
    last, is_over = f"made to {part.available_until}", False
    if until is not None:
        last, is_over = f"last ordered {until}", end > until
    elif part.available_until is not None:
        is_over = end.year > part.available_until
    if is_over:
        return failed(place, last, f"production to {end}", **facts)
    if part.life_cycle == ACTIVE:
        return passed(place, last, f"production to {end}")
    return warned(place, last, f"production to {end}", **facts)


RULE = Rule(
    name="life.cycle",
    severity="error",
    failed="{part} at {where} is {measured}, wanted is {limit}",
    undecided="whether {part} at {where} is made as long as the vehicle is unknown: {measured}",
    remedy="Choose an active part, or agree on a last order that covers the programme.",
    ask=ask,
)
