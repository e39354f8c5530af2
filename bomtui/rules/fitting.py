"""Loads on the devices that serve them, as the comparison of loads with channels is asked."""

from collections.abc import Iterator
from typing import NamedTuple

from bomtui.engine.calc import PLAIN
from bomtui.engine.channel_current import ChannelCurrent
from bomtui.engine.fit import Check, Comparison, Given, compare, concerns, meets_supply
from bomtui.model.finding import Verdict
from bomtui.model.ids import Address
from bomtui.rules.context import Context, failed, not_applicable, passed, undecided


class Asked(NamedTuple):
    """A check of one load on one device.

    Attributes:
        load_id: The load.
        device: Address of the device.
        current: Largest current of one of its channels there.
        comparison: What the check says.
    """

    load_id: str
    device: Address
    current: ChannelCurrent
    comparison: Comparison


def asked(context: Context, check: Check) -> Iterator[Asked]:
    """Ask one check of every load and every device on whose channels it is placed.

    Args:
        context: What a rule may look at.
        check: Which check.
    """
    unknown = ChannelCurrent(None, "")
    currents = context.electrics.channel_currents if check == "current" else {}
    for load_id, addresses in context.addresses.items():
        load, placement = context.loads[load_id], context.variant.placements[load_id]
        if not concerns(check, load) or (check == "parallel" and placement.joined != "parallel"):
            continue
        channels = [address for address in addresses if address.channel]
        devices = dict.fromkeys(Address(address.module, address.device) for address in channels)
        # Channels on several devices are compared once where it is their number that counts.
        for device in list(devices)[:1] if check == "parallel" else devices:
            own = [currents.get(address, unknown) for address in channels if address[:2] == device[:2]]
            # Channels of one load differ only where other loads share one of them.
            current = own[0] if len(own) == 1 else _largest(own)
            part = context.part(device)
            given = Given(
                part=part,
                channels=len(channels),
                devices=len(devices),
                joined=placement.joined,
                staged=bool(placement.stage),
                on_battery=part is None or meets_supply(part, context.device(device)),
                supply=context.proposal.vehicle.supply,
                current_a=current.current_a,
            )
            found = compare(check, load, given, context.settings)
            if found is not None:
                yield Asked(load_id, device, current, found)


def verdicts(context: Context, check: Check) -> Iterator[Verdict]:
    """Answer one check for every load and every device on whose channels it is placed.

    A load that the check is not asked of is one place where it does not apply. The sentences of a rule may name
    `device`, `part`, `drive` and, of a current, `mode`.
    """
    seen: set[str] = set()
    for load_id, address, current, found in asked(context, check):
        seen.add(load_id)
        device = context.device(address)
        facts = {
            "device": str(address),
            "part": device.part if device is not None else "no part",
            "drive": context.loads[load_id].drive,
            "mode": f" in {current.mode}" if current.mode else "",
        }
        if found.fits:
            yield passed(load_id, found.measured, found.limit, found.unit)
        elif found.fits is None:
            yield undecided(load_id, found.measured, found.limit, found.unit, **facts)
        else:
            yield failed(load_id, found.measured, found.limit, found.unit, **facts)
    yield from (not_applicable(load_id) for load_id in context.addresses if load_id not in seen)


def _largest(currents: list[ChannelCurrent]) -> ChannelCurrent:
    values = [current.current_a for current in currents]
    largest = PLAIN.largest([current.mode for current in currents], values)
    return ChannelCurrent(largest, next((own.mode for own in currents if own.current_a == largest), ""))
