"""Messages that can arrive after their deadline."""

from collections.abc import Iterator

from bomtui.model.bound import Value, exceeds
from bomtui.model.finding import Verdict
from bomtui.model.network import CAN_KINDS, Message
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided
from bomtui.rules.nets import message_place, networks

UNIT = "s"


def ask(context: Context) -> Iterator[Verdict]:
    """A message can arrive after its deadline.

    What it asks:
        For every message of a CAN network: is its longest response time above its deadline, or above its period where
        it has none? For every message of a LIN network with a deadline: is the time from one slot to the next, with the
        slot itself, above it? It cannot tell where identifiers, periods, sizes or jitters are missing that matter for
        it. Messages of other networks, and of LIN without a deadline, are not asked.

    Why it matters:
        A bus that is lightly loaded on average can still hold up its least important message for longer than the one
        that waits for it may wait.

    Failing example:
        Three frames of 1 ms with periods of 2.5, 3.5 and 3.5 ms: the third arrives after 3.5 ms, 3.25 ms were asked.

    Passing example:
        The same frames with a deadline of 3.5 ms.

    Source:
        Davis, Burns, Bril, Lukkien 2007, Real-Time Systems 35:239-272.
    """
    for place, network, result in networks(context):
        for own in result.messages:
            where, message = message_place(place, own.id), network.messages[own.id]
            allowed = _allowed_s(network.kind, message)
            over = exceeds(own.response_s, allowed)
            if network.kind not in {"LIN", *CAN_KINDS} or (network.kind == "LIN" and allowed is None):
                yield not_applicable(where)
            elif over is None:
                yield undecided(where, own.response_s, allowed, UNIT)
            else:
                yield (failed if over else passed)(where, own.response_s, allowed, UNIT)


def _allowed_s(kind: str, message: Message) -> Value:
    if message.deadline_s is not None or kind == "LIN":
        return message.deadline_s
    return message.period_s


RULE = Rule(
    name="message.late",
    severity="error",
    failed="{place} can take {measured}, {limit} is allowed",
    undecided="{place} can take {measured}, {limit} is allowed: whether it is always in time is unknown",
    remedy="Give {place} a lower identifier or more slots, send others less often, or raise the rate.",
    ask=ask,
)
