"""Whether the channels of a stand-in can do what it does while it stands in: its duty, its current, its inrush."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import msgspec

from bomtui.engine.electrics import Electrics
from bomtui.engine.fit import Check, Comparison, Given, compare, meets_supply
from bomtui.engine.inrush import starts
from bomtui.engine.serving import serving_of
from bomtui.model.bound import Value
from bomtui.model.ids import Address, parse_address
from bomtui.model.load import Load
from bomtui.model.proposal import Proposal
from bomtui.model.vehicle import Pair

ABLE_CHECKS: tuple[Check, ...] = ("side", "pwm", "current")
"""What is asked of the channels of a stand-in; the rest it is asked as any load is."""
SWITCHED_TO_DIMMED: Mapping[str, str] = {"HS": "HSP"}
"""Drive code of a load that is switched on fully, and the one that it has where it is dimmed."""


@dataclass(frozen=True, slots=True)
class StandingIn:
    """One stand-in on one device, while it stands in.

    Attributes:
        pair_id: Id of the pair.
        device: Address of the device.
        part: Catalog key of its part.
        comparisons: What the checks say of it.
        peak_a: Largest current at switch-on per mode; empty where the device limits none.
        limit_a: Current limit of a channel.
    """

    pair_id: str
    device: Address
    part: str
    comparisons: tuple[Comparison, ...]
    peak_a: Mapping[str, Value]
    limit_a: Value


def standing_in(electrics: Electrics, pair_id: str, pair: Pair) -> Iterator[StandingIn]:
    """Yield what is known of the stand-in of a pair on each device that serves it.

    It is on, at the duty of the pair, in every mode in which the load is on that it stands in for. Loads beside it on
    its channels keep what they do.

    Args:
        electrics: Figures of the variant.
        pair_id: Id of the pair.
        pair: The pair, its duty above 0.
    """
    proposal, variant = electrics.proposal, electrics.variant
    placement = variant.placements[pair.stand_in]
    channels = [address for address in map(parse_address, placement.on) if address.channel]
    own = _standing(proposal, pair)
    loads = {
        load_id: own if load_id == pair.stand_in else proposal.loads[load_id]
        for load_id, other in variant.placements.items()
        if load_id in proposal.loads and set(other.on) & set(placement.on)
    }
    alone = msgspec.structs.replace(variant, placements={load_id: variant.placements[load_id] for load_id in loads})
    snapshot = msgspec.structs.replace(
        electrics.snapshot, proposal=msgspec.structs.replace(proposal, loads=loads, variants={"V": alone})
    )
    figures = Electrics(snapshot, "V", serving_of(alone, loads), electrics.calc)
    peaks = {start.device: start for start in starts(figures) if start.load_id == pair.stand_in}
    for device in dict.fromkeys(Address(address.module, address.device) for address in channels):
        found = variant.modules[device.module].devices.get(device.device)
        part = None if found is None else electrics.snapshot.parts.get(found.part)
        on_device = [address for address in channels if address[:2] == device[:2]]
        current = electrics.calc.largest(
            [str(address) for address in on_device],
            [figures.channel_currents[address].current_a for address in on_device],
        )
        given = Given(
            part=part,
            channels=len(channels),
            joined=placement.joined,
            staged=bool(placement.stage),
            on_battery=part is None or meets_supply(part, found),
            supply=proposal.vehicle.supply,
            current_a=current,
        )
        asked = (compare(check, own, given, proposal.settings) for check in ABLE_CHECKS)
        start = peaks.get(device)
        yield StandingIn(
            pair_id,
            device,
            "no part" if found is None else found.part,
            tuple(one for one in asked if one is not None),
            {} if start is None else start.peak_a,
            None if part is None else part.current_limit_a.lower,
        )


def _standing(proposal: Proposal, pair: Pair) -> Load:
    """Return the stand-in as it is while it stands in."""
    own, primary = proposal.loads[pair.stand_in], proposal.loads[pair.primary]
    duty = pair.stand_in_duty_ratio
    modes = [mode for mode in proposal.modes if primary.time_share_ratio.get(mode) != 0]
    is_dimmed = duty is not None and duty < 1
    return msgspec.structs.replace(
        own,
        drive=SWITCHED_TO_DIMMED.get(own.drive, own.drive) if is_dimmed else own.drive,
        time_share_ratio=primary.time_share_ratio,
        pwm_duty_ratio=dict.fromkeys(modes, duty) if is_dimmed else {},
    )
