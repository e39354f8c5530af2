"""Which loads and parts stand on which devices and in which modules of a variant."""

from collections.abc import KeysView, Mapping
from dataclasses import dataclass

from bomtui.model.ids import Address, parse_address
from bomtui.model.load import Load
from bomtui.model.rollup import Rollup
from bomtui.model.variant import Module, Placement, Variant


@dataclass(frozen=True)
class Standing:
    """Where loads and parts stand.

    Attributes:
        modules: Modules that it was made from.
        placements: Placements that it was made from.
        load_ids: Ids of all loads that it was made from.
        devices_of: Devices that carry each load that a module serves, channels and power stages, as `MODULE.REF`.
        devices_with: Devices per part.
        loads_on: Loads per device.
        loads_in: Loads per module: those that it serves, and others that a device of it carries.
    """

    modules: Mapping[str, Module]
    placements: Mapping[str, Placement]
    load_ids: KeysView[str]
    devices_of: Mapping[str, tuple[str, ...]]
    devices_with: Mapping[str, tuple[str, ...]]
    loads_on: Mapping[str, tuple[str, ...]]
    loads_in: Mapping[str, tuple[str, ...]]


def standing_of(
    variant: Variant, loads: Mapping[str, Load], rollup: Rollup | None, former: Standing | None = None
) -> Standing:
    """Look up where everything of a variant stands.

    Args:
        variant: The variant.
        loads: All loads of the proposal.
        rollup: What was computed for it; None where there is no variant.
        former: What was looked up for a former snapshot, kept where it still holds.
    """
    if (
        former is not None
        and former.modules is variant.modules
        and former.placements is variant.placements
        and former.load_ids == loads.keys()
    ):
        return former
    served = {} if rollup is None else {module_id: own.loads for module_id, own in rollup.modules.items()}
    devices_of = {load_id: _devices(variant, load_id) for load_ids in served.values() for load_id in load_ids}
    devices_with: dict[str, list[str]] = {}
    for module_id, module in variant.modules.items():
        for ref, device in module.devices.items():
            devices_with.setdefault(device.part, []).append(f"{module_id}.{ref}")
    loads_on: dict[str, list[str]] = {}
    loads_in: dict[str, dict[str, None]] = {module_id: dict.fromkeys(own) for module_id, own in served.items()}
    for load_id, devices in devices_of.items():
        for device_address in devices:
            loads_on.setdefault(device_address, []).append(load_id)
            loads_in[device_address.partition(".")[0]][load_id] = None
    return Standing(
        modules=variant.modules,
        placements=variant.placements,
        load_ids=loads.keys(),
        devices_of=devices_of,
        devices_with={part: tuple(devices) for part, devices in devices_with.items()},
        loads_on={device: tuple(own) for device, own in loads_on.items()},
        loads_in={module_id: tuple(own) for module_id, own in loads_in.items()},
    )


def _devices(variant: Variant, load_id: str) -> tuple[str, ...]:
    placement = variant.placements[load_id]
    addresses = [parse_address(text) for text in (*placement.on, *placement.stage)]
    known = [
        str(Address(address.module, address.device))
        for address in addresses
        if address.module in variant.modules and address.device in variant.modules[address.module].devices
    ]
    return tuple(dict.fromkeys(known))
