"""What another part for a device has to do: carry the loads on it, or make its rails."""

from collections.abc import Sequence
from dataclasses import dataclass

from bomtui.engine.calc import PLAIN
from bomtui.engine.channel_current import ChannelCurrent, currents_by_channel
from bomtui.engine.decomposition import as_built
from bomtui.engine.fit import Given, compare_supply, meets_supply, misfits
from bomtui.model.ids import Address, parse_address
from bomtui.model.load import Load
from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.model.proposal import Proposal
from bomtui.model.variant import Device, Placement
from bomtui.services.errors import UnknownNameError
from bomtui.services.fit_reasons import Reason, fit_reasons, reason
from bomtui.services.present import counted, value_text
from bomtui.services.rollup import Computed


@dataclass(frozen=True, slots=True)
class _OnDevice:
    """A load on the device, its placement, and the largest current of one of its channels there."""

    load_id: str
    load: Load
    placement: Placement
    addresses: tuple[Address, ...]
    current: ChannelCurrent


@dataclass(frozen=True, slots=True)
class SwapNeed:
    """What another part for a device has to do.

    Attributes:
        device: Address of the device.
        part: Catalog key of its part now.
        kind: Kind of its part now; empty where nothing is known of it.
        words: The need in one line.
        lines: One line per load.
        loads: The loads on it.
    """

    device: Address
    part: str
    kind: str
    words: str
    lines: tuple[str, ...]
    loads: tuple[str, ...]
    _placed: Device
    _on: tuple[_OnDevice, ...]
    _rails_v: tuple[float, ...]
    _proposal: Proposal

    def comes_into_question(self, part: Part) -> bool:
        """Tell whether a part is of the device's own kind, or drives all loads on it."""
        drives = {own.load.drive for own in self._on}
        if part.kind == self.kind:
            return True
        return bool(drives) and part.kind in DRIVER_KINDS and drives <= set(part.sides)

    def reasons(self, part: Part, off: Sequence[str]) -> tuple[Reason, ...]:
        """Word what speaks against a part in place of the device's own.

        Args:
            part: The part.
            off: Loads that would lose their channel; nothing else is asked of them.
        """
        found: list[Reason] = []
        last = max((address.channel for own in self._on for address in own.addresses), default=0)
        if off:
            found.append(reason("channels", "none" if part.channels is None else part.channels, last))
        elif self._on and part.channels is None and part.kind in DRIVER_KINDS:
            found.append(reason("channels", None, last, certain=False))
        for own in self._on:
            if own.load_id not in off:
                found += self._load_reasons(part, own)
        if not self._on:
            supply = compare_supply(part, self._proposal.vehicle.supply, on_battery=meets_supply(part, self._placed))
            found += fit_reasons(() if supply is None else (supply,))
        for rail_v in self._rails_v:
            if part.output_v != rail_v:
                found.append(reason("output", part.output_v, rail_v, "V", certain=part.output_v is not None))
        return tuple(found)

    def _load_reasons(self, part: Part, own: _OnDevice) -> tuple[Reason, ...]:
        channels = [parse_address(text) for text in own.placement.on]
        given = Given(
            part=part,
            channels=sum(address.channel > 0 for address in channels),
            devices=len({address[:2] for address in channels if address.device}),
            joined=own.placement.joined,
            staged=bool(own.placement.stage),
            on_battery=meets_supply(part, self._placed),
            supply=self._proposal.vehicle.supply,
            current_a=own.current.current_a,
        )
        return fit_reasons(misfits(as_built(self._proposal, own.load_id), given, self._proposal.settings), own.load_id)


def swap_need(computed: Computed, module_id: str, ref: str) -> SwapNeed:
    """Return what another part for a device has to do.

    Raises:
        UnknownNameError: The variant has no such device.
    """
    snapshot = computed.opened.snapshot
    proposal = snapshot.proposal
    variant = proposal.variants[computed.variant]
    module = variant.modules.get(module_id)
    if module is None or ref not in module.devices:
        raise UnknownNameError(f"there is no device '{module_id}.{ref}'")
    served = [own for per_module in computed.memo.serving.per_module.values() for own in per_module]
    here = [own for own in served if any(address[:2] == (module_id, ref) for address in own.channels)]
    channels = {address for own in here for address in own.channels}
    touching = [own for own in served if not channels.isdisjoint(own.channels)]
    currents = currents_by_channel(PLAIN, touching, proposal.loads, proposal)
    on = []
    for own in here:
        addresses = tuple(address for address in own.channels if address[:2] == (module_id, ref))
        current = max((currents[address] for address in addresses), key=_size)
        load_id = own.load_id
        on.append(_OnDevice(load_id, proposal.loads[load_id], variant.placements[load_id], addresses, current))
    device = module.devices[ref]
    part = snapshot.parts.get(device.part)
    taken = sum(len(own.addresses) for own in on)
    words = f"another part for {module_id}.{ref} ({device.part})"
    if on:
        words += f": {counted(len(on), 'load', 'loads')} on {counted(taken, 'channel', 'channels')}"
    return SwapNeed(
        device=Address(module_id, ref),
        part=device.part,
        kind="" if part is None else part.kind,
        words=words,
        lines=tuple(map(_line, on)),
        loads=tuple(own.load_id for own in on),
        _placed=device,
        _on=tuple(on),
        _rails_v=tuple(rail.voltage_v for rail in module.rails.values() if rail.source == ref),
        _proposal=proposal,
    )


def _size(current: ChannelCurrent) -> tuple[bool, float]:
    value = current.current_a
    if value is None:
        return True, 0.0
    return not isinstance(value, float), value if isinstance(value, float) else value.high


def _line(own: _OnDevice) -> str:
    name = f" {own.load.name}" if own.load.name else ""
    return f"{own.load_id}{name}: {own.load.drive}, {value_text(own.current.current_a, 'current')} on a channel"
