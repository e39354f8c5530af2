"""Devices that a load needs: what serves it, what commands it, and where the proposal leaves that open."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from bomtui.model.ids import Address, parse_address
from bomtui.model.load import Load
from bomtui.model.part import Part
from bomtui.model.variant import Placement, Variant

CONTROLLER = "controller"

KINDS_OF_DRIVE: Mapping[str, frozenset[str]] = {
    "AMP": frozenset(("amplifier",)),
    "VID": frozenset(("display",)),
    "RF": frozenset(("transceiver_rf",)),
    "LIN": frozenset(("transceiver_lin", "sbc")),
}
"""What a load needs that is placed on a module only, by its drive code (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Links:
    """Devices by how sure it is that they are needed.

    Attributes:
        certain: Needed.
        possible: May be needed: several come into question and none is named.
    """

    certain: frozenset[Address]
    possible: frozenset[Address]


@dataclass(frozen=True, slots=True)
class LoadPath:
    """What a load needs, supplies left out.

    Attributes:
        modules: Modules that it is placed on.
        serving: Devices of its channels, chips that are counted in it, and the amplifier, display or transceiver that
            its drive code needs.
        stage: FETs that carry its current.
        command: Controllers that command what serves it, or read it.
    """

    modules: frozenset[str]
    serving: Links
    stage: frozenset[Address]
    command: Links


def load_path(
    variant: Variant, parts: Mapping[str, Part], load: Load, load_id: str, addresses: Iterable[Address]
) -> LoadPath:
    """Return what a load needs.

    A device that does not say what commands it is commanded by the only controller of its module; where there are
    several, by one of them that nobody has named.

    Args:
        variant: The variant.
        parts: Frozen parts by key.
        load: The load.
        load_id: Its id.
        addresses: Its addresses; the first one names the module that serves it.

    Source: common practice, no source.
    """
    places = list(addresses)
    modules = {address.module for address in places} & variant.modules.keys()
    serving = {Address(address.module, address.device) for address in places if address.device}
    for module in modules:
        for ref, device in variant.modules[module].devices.items():
            if device.counted_in_load == load_id:
                serving.add(Address(module, ref))
    home = places[0].module
    maybe: set[Address] = set()
    if not serving:
        kinds = KINDS_OF_DRIVE.get(load.drive, frozenset())
        _add_only(devices_of_kinds(variant, parts, home, kinds), serving, maybe)
    command: set[Address] = set()
    maybe_command: set[Address] = set()
    for devices, into in ((serving, command), (maybe, maybe_command)):
        for address in devices:
            _add_commander(variant, parts, address, into, maybe_command)
    if not serving:
        _add_only(devices_of_kinds(variant, parts, home, frozenset((CONTROLLER,))), command, maybe_command)
    placement = variant.placements.get(load_id, Placement(on=()))
    stage = frozenset(parse_address(text) for text in placement.stage)
    return LoadPath(
        frozenset(modules),
        Links(frozenset(serving), frozenset(maybe)),
        stage,
        Links(frozenset(command), frozenset(maybe_command)),
    )


def devices_of_kinds(
    variant: Variant, parts: Mapping[str, Part], module_id: str, kinds: frozenset[str]
) -> frozenset[Address]:
    """Return the devices of some kinds in a module; a system-basis chip without LIN ports is none for LIN."""
    module = variant.modules.get(module_id)
    found = set()
    for ref, device in ({} if module is None else module.devices).items():
        part = parts.get(device.part)
        if part is not None and part.kind in kinds and (part.kind != "sbc" or part.lin_ports != 0):
            found.add(Address(module_id, ref))
    return frozenset(found)


def unclaimed_sources(variant: Variant, module_id: str) -> frozenset[Address]:
    """Return the sources of rails that no device names: they feed loads, or what the proposal does not say."""
    module = variant.modules[module_id]
    named = {name for device in module.devices.values() for name in device.supply.values()}
    return frozenset(Address(module_id, rail.source) for name, rail in module.rails.items() if name not in named)


def _add_only(found: frozenset[Address], certain: set[Address], possible: set[Address]) -> None:
    (certain if len(found) == 1 else possible).update(found)


def commanders(
    variant: Variant, parts: Mapping[str, Part], address: Address
) -> tuple[frozenset[Address], frozenset[Address]]:
    """Return the controller that commands a device, and those that may, where none is named.

    Args:
        variant: The variant.
        parts: Frozen parts by key.
        address: Address of the device.
    """
    certain: set[Address] = set()
    possible: set[Address] = set()
    _add_commander(variant, parts, address, certain, possible)
    return frozenset(certain), frozenset(possible)


def _add_commander(
    variant: Variant, parts: Mapping[str, Part], address: Address, certain: set[Address], possible: set[Address]
) -> None:
    module = variant.modules.get(address.module)
    device = None if module is None else module.devices.get(address.device)
    part = None if device is None else parts.get(device.part)
    if module is None or device is None or (part is not None and part.kind == CONTROLLER):
        return
    if device.commanded_by in module.devices:
        certain.add(Address(address.module, device.commanded_by))
        return
    _add_only(devices_of_kinds(variant, parts, address.module, frozenset((CONTROLLER,))), certain, possible)
