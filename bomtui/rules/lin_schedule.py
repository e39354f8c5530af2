"""LIN frames that their schedule carries too rarely."""

from collections.abc import Iterator

from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided
from bomtui.rules.nets import message_place, networks

UNIT = "s"


def ask(context: Context) -> Iterator[Verdict]:
    """A LIN schedule carries a frame more rarely than it is asked for.

    What it asks:
        For every message of a LIN network: is the time from one of its slots to the next, with every slot at its
        longest, above its period? It cannot tell where a size, a rate or the period is missing. Messages of other
        networks are not asked.

    Why it matters:
        One round of the schedule holds all frames. A frame that is needed every 10 ms needs several slots in a round of
        50 ms.

    Failing example:
        A window lift asked every 10 ms in a round of 21.6 ms.

    Passing example:
        The same in a round with three of its slots.

    Source:
        Slots by LIN 2.x sec. 2.3.2 and ISO 17987-3, seen second-hand; rounds are common practice, no source.
    """
    for place, network, result in networks(context):
        for own in result.messages:
            where, period_s = message_place(place, own.id), network.messages[own.id].period_s
            over = exceeds(own.interval_s, period_s)
            if network.kind != "LIN":
                yield not_applicable(where)
            elif over is None:
                yield undecided(where, own.interval_s, period_s, UNIT)
            else:
                yield (failed if over else passed)(where, own.interval_s, period_s, UNIT)


RULE = Rule(
    name="lin.schedule",
    severity="error",
    failed="{place} is sent every {measured}, it is asked for every {limit}",
    undecided="{place} is sent every {measured}, it is asked for every {limit}",
    remedy="Give {place} more slots of the schedule, move other frames to another network, or raise the rate.",
    ask=ask,
)
