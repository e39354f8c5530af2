"""Switch contacts that are not kept clean, or not let sleep."""

from collections.abc import Iterator

from bomtui.engine.wetting import contact_a
from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.model.load import Load
from bomtui.model.quantity import text
from bomtui.rules.context import Context, Rule, not_applicable, passed, undecided, warned


def ask(context: Context) -> Iterator[Verdict]:
    """A switch contact has too little wetting current, or keeps it while the electronics sleep.

    What it asks:
        For every switch input: is the current of each contact at least a setting, and, where the switch is in use while
        the vehicle is parked, is at most a share of it, by setting, left while the electronics sleep? It cannot tell
        where a current or the share is not given.

    Why it matters:
        A silver contact that never breaks its oxide reads open after a year of rain; one that draws its current all
        night empties the battery.

    Failing example:
        12 contacts on a row of 50 mA: 4.2 mA each.

    Passing example:
        12 contacts on a row of 60 mA, pulsed to 1 % while the electronics sleep.

    Source:
        Common practice, no source: 5 mA for silver contacts, 5 % of it asleep.
    """
    limits, parked = context.settings.limits, context.proposal.vehicle.parked_mode
    for load_id in sorted(context.loads, key=natural_key):
        load = context.loads[load_id]
        if load.kind != "switch":
            yield not_applicable(load_id)
            continue
        current = context.electrics.calc(contact_a, test_current_a=load.test_current_a, contacts=load.contacts)
        low = exceeds(limits.wetting_a, current)
        if low is None:
            yield undecided(load_id, current, limits.wetting_a, "A", what="whether its contacts stay clean")
        elif low:
            yield warned(load_id, current, limits.wetting_a, "A", what="a contact", wanted="at least")
        else:
            yield passed(load_id, current, limits.wetting_a, "A")
        if load.time_share_ratio.get(parked) != 0:
            yield _asleep(load_id, load, limits.wetting_sleep_ratio)


def _asleep(load_id: str, load: Load, limit: float) -> Verdict:
    place, share = f"{load_id}.sleep_share", load.sleep_share_ratio
    awake = exceeds(share, limit)
    measured, wanted = None if share is None else text(share, "ratio"), text(limit, "ratio")
    if awake is None:
        return undecided(place, measured, wanted, what="whether they are pulsed while the electronics sleep")
    if awake:
        return warned(place, measured, wanted, what="of it while the electronics sleep", wanted="at most")
    return passed(place, measured, wanted)


RULE = Rule(
    name="wetting.low",
    severity="warning",
    failed="the wetting current of {place} is {measured} {what}, and {wanted} {limit} is wanted",
    undecided="the wetting current of {place} is {measured}, {limit} is wanted: {what} is unknown",
    remedy="Give the contacts of {place} a pulsed wetting source of at least the current that keeps them clean.",
    ask=ask,
    scope="modules",
)
