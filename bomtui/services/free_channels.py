"""Channels of devices that carry no load and switch no feed."""

from collections.abc import Mapping

from bomtui.model.ids import Address, parse_address
from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Variant


def free_numbers(snapshot: Snapshot, variant: Variant, device: Address) -> tuple[int, ...] | None:
    """Return the numbers of the free channels of a device.

    None where nobody knows how many it has, or where a load names it without a channel and may take any.

    Args:
        snapshot: For the frozen parts.
        variant: The variant.
        device: Address of the device.
    """
    part = snapshot.parts.get(variant.modules[device.module].devices[device.device].part)
    used = used_channels(variant, "").get((device.module, device.device), {})
    return None if 0 in used else free_of(part, used)


def free_of(part: Part | None, used: Mapping[int, str]) -> tuple[int, ...] | None:
    """Return the numbers of the channels of a part that no load takes; None where nobody knows how many it has."""
    if part is None:
        return None
    if part.channels is None:
        return None if part.kind in DRIVER_KINDS else ()
    return tuple(number for number in range(1, part.channels + 1) if number not in used)


def used_channels(variant: Variant, without: str) -> dict[tuple[str, str], dict[int, str]]:
    """Return the channels that loads and feeds take, per device; number 0 stands for a device named without a channel.

    Args:
        variant: The variant.
        without: A load whose channels do not count; empty for none.
    """
    used: dict[tuple[str, str], dict[int, str]] = {}
    for feed_id, feed in variant.feeds.items():
        if feed.switch:
            switch = parse_address(feed.switch)
            used.setdefault((switch.module, switch.device), {})[switch.channel] = f"feed {feed_id}"
    for load_id, placement in variant.placements.items():
        if load_id == without:
            continue
        for address in map(parse_address, placement.on):
            if address.device:
                used.setdefault((address.module, address.device), {})[address.channel] = load_id
    return used
