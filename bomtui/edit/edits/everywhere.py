"""Changes that reach through a whole variant: another part wherever one is used, a subsystem in another module."""

import msgspec

from bomtui.edit.edit import Edit, RefusedError
from bomtui.edit.edits.device import SwapDevice, frozen_part
from bomtui.edit.tree import (
    counted,
    entry_of,
    listed,
    module_of,
    variant_of,
    with_entry,
    with_module,
    with_variant,
    without,
)
from bomtui.edit.wiring import commander_of, next_reference, supply_of
from bomtui.model.ids import Address, natural_key, parse_address
from bomtui.model.part import Part
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Amount, Item, Module, Placement


class SwapPart(Edit, frozen=True):
    """Put another part in the place of one wherever a variant uses it, with a reference or counted.

    Attributes:
        variant: The variant.
        part: Catalog key of the part that goes.
        new_part: Catalog key of a frozen part.
        taking_off: Loads that may become unplaced because their channel goes.
    """

    variant: str
    part: str
    new_part: str
    taking_off: tuple[str, ...] = ()

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"swap {self.part} for {self.new_part} everywhere in {self.variant}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the other part in every place."""
        new = frozen_part(snapshot, self.new_part)
        if self.part == self.new_part:
            return snapshot
        modules = variant_of(snapshot, self.variant).modules
        places = [
            (module_id, ref)
            for module_id in sorted(modules, key=natural_key)
            for ref in sorted(modules[module_id].devices, key=natural_key)
            if modules[module_id].devices[ref].part == self.part
        ]
        items = [module_id for module_id in sorted(modules, key=natural_key) if self.part in modules[module_id].items]
        if not places and not items:
            raise RefusedError(f"the variant {self.variant} uses no {self.part}")
        off: list[str] = []
        for module_id, ref in places:
            snapshot = self._swapped(snapshot, module_id, ref, off)
        if not set(off) <= set(self.taking_off):
            raise RefusedError(
                f"{self.new_part} has fewer channels than are used: {listed(off)} would be taken off",
                tuple(f"variants.{self.variant}.placements.{load_id}" for load_id in off),
                msgspec.structs.replace(self, taking_off=tuple(off)),
            )
        for module_id in items:
            module = module_of(snapshot, self.variant, module_id)
            snapshot = with_module(
                snapshot, self.variant, module_id, _other_item(module, self.part, self.new_part, new)
            )
        return snapshot

    def _swapped(self, snapshot: Snapshot, module_id: str, ref: str, off: list[str]) -> Snapshot:
        """Return the snapshot with one device swapped; loads that lose their channel are added to a list."""
        swap = SwapDevice(variant=self.variant, module_id=module_id, ref=ref, part=self.new_part)
        try:
            return swap.changed(snapshot)
        except RefusedError as error:
            retry = error.refusal.retry
            if not isinstance(retry, SwapDevice):
                raise
            off += retry.taking_off
            return retry.changed(snapshot)


def _other_item(module: Module, part: str, new_part: str, new: Part) -> Module:
    former = module.items[part]
    there = module.items.get(new_part)
    quantity = former.quantity.quantity
    if there is not None:
        quantity += there.quantity.quantity
    item = Item(quantity=Amount(quantity=quantity, unit=new.sale_unit), note=former.note)
    return msgspec.structs.replace(module, items=with_entry(without(module.items, (part,)), new_part, item))


class MoveSubsystem(Edit, frozen=True):
    """Let a module serve all loads of a subsystem that others serve now.

    A chip that carries nothing else goes along. Of one that others share, or that makes a rail or commands devices, a
    second one of the same part is added, with the loads on the same channels. Both are wired as new devices are.

    Attributes:
        variant: The variant.
        subsystem: The subsystem.
        module_id: The module that is to serve it.
    """

    variant: str
    subsystem: str
    module_id: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"move subsystem {self.subsystem} to {self.module_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the loads on the module."""
        entry_of(snapshot.proposal.subsystems, self.subsystem, "subsystem")
        module_of(snapshot, self.variant, self.module_id)
        placements = variant_of(snapshot, self.variant).placements
        moving = {
            load_id: placements[load_id]
            for load_id in sorted(placements, key=natural_key)
            if (load := snapshot.proposal.loads.get(load_id)) is not None
            and load.subsystem == self.subsystem
            and any(parse_address(text).module != self.module_id for text in placements[load_id].on)
        }
        if not moving:
            return snapshot
        homes: dict[str, str] = {}
        partners: dict[str, str] = {}
        for device in _devices(moving):
            if device.module != self.module_id:
                known = module_of(snapshot, self.variant, device.module).devices.get(device.device)
                snapshot = self._with_device(snapshot, device, moving, homes)
                if known is not None and known.in_parallel_with:
                    partners[homes[str(device)]] = f"{device.module}.{known.in_parallel_with}"
        if partners:
            snapshot = self._with_partners(snapshot, partners, homes)
        placed = dict(variant_of(snapshot, self.variant).placements)
        for load_id, placement in moving.items():
            placed[load_id] = self._moved(placement, homes)
        return with_variant(snapshot, self.variant, placements=placed)

    def _with_partners(self, snapshot: Snapshot, partners: dict[str, str], homes: dict[str, str]) -> Snapshot:
        target = module_of(snapshot, self.variant, self.module_id)
        devices = dict(target.devices)
        for ref, partner in partners.items():
            # A partner that stays behind shares nothing any more.
            devices[ref] = msgspec.structs.replace(devices[ref], in_parallel_with=homes.get(partner, ""))
        return with_module(snapshot, self.variant, self.module_id, msgspec.structs.replace(target, devices=devices))

    def _with_device(
        self, snapshot: Snapshot, device: Address, moving: dict[str, Placement], homes: dict[str, str]
    ) -> Snapshot:
        """Return the snapshot with a device in the module, moved or of the same part, and remember its new place."""
        source = module_of(snapshot, self.variant, device.module)
        target = module_of(snapshot, self.variant, self.module_id)
        known = entry_of(source.devices, device.device, "device", device.module)
        part = frozen_part(snapshot, known.part)
        ref = next_reference(target, part)
        wired = msgspec.structs.replace(
            known,
            supply=supply_of(target, part, {}),
            feed="",
            commanded_by=commander_of(target, part, snapshot.parts),
            in_parallel_with="",
        )
        changed = msgspec.structs.replace(target, devices=with_entry(target.devices, ref, wired))
        homes[f"{device.module}.{device.device}"] = ref
        variant = variant_of(snapshot, self.variant)
        if _carries_others(variant.placements, device, moving) or _is_needed(source, device.device):
            return with_module(snapshot, self.variant, self.module_id, changed)
        left = msgspec.structs.replace(source, devices=without(source.devices, (device.device,)))
        snapshot = with_module(snapshot, self.variant, device.module, left)
        return with_module(snapshot, self.variant, self.module_id, changed)

    def _moved(self, placement: Placement, homes: dict[str, str]) -> Placement:
        on = tuple(dict.fromkeys(self._address(text, homes) for text in placement.on))
        stage = tuple(self._address(text, homes) for text in placement.stage)
        # A rail is one of the module that the load leaves.
        return msgspec.structs.replace(placement, on=on, stage=stage, rail="")

    def _address(self, text: str, homes: dict[str, str]) -> str:
        address = parse_address(text)
        if not address.device or address.module == self.module_id:
            return text if address.device else self.module_id
        return str(Address(self.module_id, homes[f"{address.module}.{address.device}"], address.channel))


def _devices(moving: dict[str, Placement]) -> list[Address]:
    """Return the devices that carry the loads, each once, in natural order."""
    found = {
        str(Address(address.module, address.device)): Address(address.module, address.device)
        for placement in moving.values()
        for address in map(parse_address, (*placement.on, *placement.stage))
        if address.device
    }
    return [found[key] for key in sorted(found, key=natural_key)]


def _carries_others(placements: dict[str, Placement], device: Address, moving: dict[str, Placement]) -> bool:
    return any(
        parse_address(text)[:2] == device[:2]
        for load_id, placement in placements.items()
        if load_id not in moving
        for text in (*placement.on, *placement.stage)
    )


def _is_needed(module: Module, ref: str) -> bool:
    """Tell whether something else of the module stands on a device: a rail, what it commands, its parallel FET."""
    return any(rail.source == ref for rail in module.rails.values()) or any(
        ref in (device.commanded_by, device.in_parallel_with) for device in module.devices.values()
    )


def places_of(snapshot: Snapshot, variant_id: str, part: str) -> str:
    """Say how often a variant uses a part: `5 devices and counted in 2 modules`."""
    modules = variant_of(snapshot, variant_id).modules.values()
    devices = sum(device.part == part for module in modules for device in module.devices.values())
    items = sum(part in module.items for module in modules)
    pieces = [counted(devices, "device")] if devices else []
    pieces += [f"counted in {counted(items, 'module')}"] if items else []
    return " and ".join(pieces)
