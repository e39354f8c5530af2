"""Channels that a placement names and the device does not have."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.model.ids import Address, natural_key
from bomtui.model.part import DRIVER_KINDS
from bomtui.rules.context import Context, Rule, failed, passed, undecided
from bomtui.rules.wording import listed


def ask(context: Context) -> Iterator[Verdict]:
    """A load is placed on a channel that the device does not have.

    What it asks:
        For every channel that a placement names: is its number at most the number of channels of the device's part?
        It cannot tell where the part is not frozen or does not say how many channels it has.

    Why it matters:
        A load on a channel that does not exist is driven by nothing, and its heat and its channel still look counted.

    Failing example:
        A stop lamp on ZREA.U6.5, where U6 is a switch with 4 channels.

    Passing example:
        The same lamp on ZREA.U6.4.

    Source:
        Definition: a device has the outputs that its data sheet lists.
    """
    loads_on: dict[Address, list[str]] = {}
    for load_id, addresses in context.addresses.items():
        for address in addresses:
            if address.channel:
                loads_on.setdefault(address, []).append(load_id)
    for address in sorted(loads_on, key=lambda address: natural_key(str(address))):
        yield _verdict(context, address, listed(loads_on[address]))


def _verdict(context: Context, address: Address, loads: str) -> Verdict:
    place = str(address)
    device = context.device(address)
    part = context.part(address)
    facts = {"loads": loads, "device": address.device, "part": device.part if device is not None else "no part"}
    channels = part.channels if part is not None else None
    known = device is None or (part is not None and (channels is not None or part.kind not in DRIVER_KINDS))
    if not known:
        return undecided(place, address.channel, None, **facts)
    if channels is not None and address.channel <= channels:
        return passed(place, address.channel, channels)
    return failed(place, address.channel, channels if channels is not None else "no channel", **facts)


RULE = Rule(
    name="channel.missing",
    severity="error",
    failed="{loads} is placed on channel {measured} of {device} ({part}), which has {limit}",
    undecided="{loads} is placed on channel {measured} of {device} ({part}), and how many channels that has is unknown",
    remedy="Place {loads} on a free channel of the module, or choose a part with more channels for {device}.",
    ask=ask,
    scope="modules",
)
