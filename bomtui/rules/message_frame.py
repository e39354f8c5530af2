"""Messages that no frame of their network can carry, or that share an identifier."""

from collections import Counter
from collections.abc import Iterator

from bomtui.engine.networks.result import DATA_BYTES, EXTENDED_BITS, STANDARD_BITS, priority_of
from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.model.network import CAN_KINDS, Message, Network
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided
from bomtui.rules.nets import message_place, networks


def ask(context: Context) -> Iterator[Verdict]:
    """A message has more data than a frame holds, or an identifier that is too large or is used twice.

    What it asks:
        For every message of a LIN or CAN network: do its data bytes fit into one frame (LIN 1 to 8, CAN 0 to 8, CAN FD
        0 to 64), does it stand in at least one slot, and is its identifier on CAN within its 11 or 29 bits and its own?
        It cannot tell where size or identifier is not given. Messages of other networks are not asked.

    Why it matters:
        Two senders of one identifier destroy each other's frames. What does not fit must be divided, and then the load
        is another one.

    Failing example:
        12 bytes in one classical CAN frame.

    Passing example:
        The same 12 bytes in one CAN FD frame.

    Source:
        ISO 11898-1 and LIN 2.x, values from memory.
    """
    for place, network, _ in networks(context):
        taken = Counter(priority_of(message) for message in network.messages.values())
        for key in sorted(network.messages, key=natural_key):
            where, message = message_place(place, key), network.messages[key]
            if network.kind not in DATA_BYTES:
                yield not_applicable(where)
            else:
                yield _verdict(where, network, message, taken[priority_of(message)])


def _verdict(place: str, network: Network, message: Message, holders: int) -> Verdict:
    fewest, most = DATA_BYTES[network.kind]
    has_identifier = network.kind in CAN_KINDS
    bits = EXTENDED_BITS if message.extended else STANDARD_BITS
    if message.data_bytes is not None and not fewest <= message.data_bytes <= most:
        return failed(place, f"{message.data_bytes} data bytes", f"{fewest} to {most}", kind=network.kind)
    if network.kind == "LIN" and message.per_cycle < 1:
        return failed(place, f"{message.per_cycle} slots of a round", "at least 1", kind=network.kind)
    if has_identifier and message.identifier is not None:
        if not 0 <= message.identifier < 1 << bits:
            return failed(place, f"the identifier {message.identifier}", f"{bits} bits", kind=network.kind)
        if holders > 1:
            return failed(place, f"an identifier that {holders} messages have", "its own", kind=network.kind)
    if message.data_bytes is None or (has_identifier and message.identifier is None):
        return undecided(place, None, f"{fewest} to {most} data bytes", kind=network.kind)
    return passed(place, str(message.data_bytes), f"{fewest} to {most}")


RULE = Rule(
    name="message.frame",
    severity="error",
    failed="{place} has {measured}, a message of a {kind} network has {limit}",
    undecided="{place} does not say its size or its identifier: whether a frame of a {kind} network carries it is"
    " unknown",
    remedy="Divide {place}, or give it a size and an identifier that a frame of its network can have.",
    ask=ask,
)
