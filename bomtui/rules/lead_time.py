"""Parts that come too late for the first vehicles."""

from collections.abc import Iterator

from bomtui.engine.dates import lead_time_s, time_between_s
from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, passed, undecided, warned
from bomtui.rules.parts_used import places_of_parts
from bomtui.rules.wording import listed


def ask(context: Context) -> Iterator[Verdict]:
    """A part comes too late for the first vehicles.

    What it asks:
        For every part that is used: is its lead time at most the time from the day of the proposal to the pilot build,
        and at most a setting? It cannot tell where the lead time or one of the two days is not given.

    Why it matters:
        The first vehicles stand without a part that nobody had ordered in time.

    Failing example:
        30 weeks for a panel, and 20 weeks to the pilot build.

    Passing example:
        12 weeks for it.

    Source:
        Common practice, no source: 26 weeks.
    """
    proposal, calc = context.proposal, context.electrics.calc
    left = time_between_s(calc, proposal.proposal.as_of, proposal.vehicle.pilot_build)
    most = context.settings.limits.lead_s
    for key, places in places_of_parts(context).items():
        part, place = context.parts.get(key), f"parts.{key}"
        lead = None if part is None else lead_time_s(calc, part.lead_weeks)
        facts = {"part": key, "where": listed(places)}
        late, long = exceeds(lead, left), exceeds(lead, most)
        if late:
            yield warned(place, lead, left, "s", **facts)
        elif long:
            yield warned(place, lead, most, "s", **facts)
        elif late is None or long is None:
            yield undecided(place, lead, left, "s", **facts)
        else:
            yield passed(place, lead, left, "s")


RULE = Rule(
    name="lead.time",
    severity="warning",
    failed="{part} at {where} takes {measured} from order to delivery, {limit} is the limit",
    undecided="{part} at {where} takes {measured} from order to delivery, {limit} are left: whether it comes in"
    " time is unknown",
    remedy="Order {part} early, or choose a part that comes sooner.",
    ask=ask,
)
