"""Devices declared for a lower integrity level than the functions that need them."""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from bomtui.engine.capability import falls_short
from bomtui.model.finding import Verdict
from bomtui.model.ids import Address, natural_key
from bomtui.model.load import SAFETY_LEVELS
from bomtui.model.part import DRIVER_KINDS, SUPPLY_KINDS
from bomtui.rules.context import Context, Rule, failed, passed, undecided
from bomtui.rules.wording import listed

CONTROLLER = "controller"
TRANSCEIVER_KINDS = frozenset(
    ("transceiver_lin", "transceiver_can", "transceiver_eth", "transceiver_optical", "transceiver_rf")
)
PATH_KINDS = DRIVER_KINDS | SUPPLY_KINDS | TRANSCEIVER_KINDS | {CONTROLLER, "sensor", "display"}
"""Kinds that are judged. Passives, discretes, connectors and boards are argued by their own evaluation (ISO 26262-8
clause 13; value from memory), memories and reverse protection with the module that they belong to (common practice)."""

KINDS_OF_DRIVE: Mapping[str, frozenset[str]] = {
    "AMP": frozenset(("amplifier",)),
    "VID": frozenset(("display",)),
    "RF": frozenset(("transceiver_rf",)),
    "LIN": frozenset(("transceiver_lin", "sbc")),
}
"""What a load needs that is placed on a module only, by its drive code (common practice, no source)."""


class _Path(NamedTuple):
    """Devices that a load needs for certain, and devices that it may need."""

    certain: set[Address]
    possible: set[Address]


def ask(context: Context) -> Iterator[Verdict]:
    """A device is declared for a lower integrity level than a function that needs it.

    What it asks:
        For every device in the path of a load: is the level for which its part is declared at least the highest level
        that these loads ask for? The path is the driver, or the chip that is counted in the load; the controller that
        commands it; the amplifier, display or transceiver that the drive code needs; and the chips that make the rails
        of all of these. It cannot tell where the part declares no level, where several devices come into question and
        none is named, or where a rail feeds no device of its module, so that any load there may need it. Supply inputs
        that hang on nothing are a matter of `rail.missing`.

    Why it matters:
        The maker of the part has not prepared it for that level: the proposal needs a safety argument, another part, or
        another path, and each of them costs. A device that passes is not thereby safe.

    Failing example:
        A direction indicator that asks B on a switch declared for A.

    Passing example:
        The same indicator on a switch declared for B, commanded by a controller declared for B.

    Source:
        ISO 26262: elements inherit the integrity level of the function (value from memory); which parts belong to the
        path is common practice, no source.
    """
    certain: dict[Address, list[str]] = {}
    possible: dict[Address, list[str]] = {}
    for load_id in context.addresses:
        path = _path(context, load_id)
        for devices, loads_of in ((path.certain, certain), (path.possible - path.certain, possible)):
            for address in devices:
                loads_of.setdefault(address, []).append(load_id)
    for address in sorted(certain.keys() | possible.keys(), key=lambda address: natural_key(str(address))):
        part = context.part(address)
        if part is None or part.kind in PATH_KINDS:
            yield _verdict(context, address, certain.get(address, []), possible.get(address, []))


def _verdict(context: Context, address: Address, certain: list[str], possible: list[str]) -> Verdict:
    place = str(address)
    part = context.part(address)
    declared = None if part is None else part.safety
    asked = max(_rank(context, load_id) for load_id in (*certain, *possible))
    device = context.device(address)
    key = device.part if device is not None else place
    if declared is None:
        if falls_short(declared, SAFETY_LEVELS[asked]) is False:
            return passed(place, None, SAFETY_LEVELS[asked])
        loads = _above(context, [*certain, *possible], 0)
        why = f"{key} declares no level"
        return undecided(place, None, SAFETY_LEVELS[asked], part=key, loads=loads, why=why)
    level = SAFETY_LEVELS.index(declared)
    surely = max((_rank(context, load_id) for load_id in certain), default=0)
    if falls_short(declared, SAFETY_LEVELS[surely]):
        loads = _above(context, certain, level)
        return failed(place, declared, SAFETY_LEVELS[surely], part=key, loads=loads)
    if falls_short(declared, SAFETY_LEVELS[asked]):
        loads = _above(context, possible, level)
        why = f"{key} is declared for use up to {declared}, and whether they need this device is not known"
        return undecided(place, declared, SAFETY_LEVELS[asked], part=key, loads=loads, why=why)
    return passed(place, declared, SAFETY_LEVELS[asked])


def _rank(context: Context, load_id: str) -> int:
    return SAFETY_LEVELS.index(context.loads[load_id].safety)


def _above(context: Context, loads: list[str], level: int) -> str:
    names = [load_id for load_id in sorted(loads, key=natural_key) if _rank(context, load_id) > level]
    return listed([f"{load_id} ({context.loads[load_id].safety})" for load_id in names])


def _path(context: Context, load_id: str) -> _Path:
    addresses = context.addresses[load_id]
    modules = {address.module for address in addresses} & context.variant.modules.keys()
    certain = {Address(address.module, address.device) for address in addresses if address.device}
    for module in modules:
        for ref, device in context.variant.modules[module].devices.items():
            if device.counted_in_load == load_id:
                certain.add(Address(module, ref))
    possible: set[Address] = set()
    home = context.serving.module_of[load_id]
    if not certain:
        _add_only(
            _of_kinds(context, home, KINDS_OF_DRIVE.get(context.loads[load_id].drive, frozenset())), certain, possible
        )
    for devices in (certain, possible):
        for address in sorted(devices):
            _add_commander(context, address, devices, possible)
    if not certain:
        _add_only(_of_kinds(context, home, frozenset((CONTROLLER,))), certain, possible)
    possible |= _unclaimed_sources(context, home)
    return _Path(_with_supplies(context, certain), _with_supplies(context, possible))


def _add_only(found: set[Address], certain: set[Address], possible: set[Address]) -> None:
    (certain if len(found) == 1 else possible).update(found)


def _add_commander(context: Context, address: Address, devices: set[Address], possible: set[Address]) -> None:
    device = context.device(address)
    part = context.part(address)
    if device is None or (part is not None and part.kind == CONTROLLER):
        return
    if device.commanded_by in context.variant.modules[address.module].devices:
        devices.add(Address(address.module, device.commanded_by))
        return
    _add_only(_of_kinds(context, address.module, frozenset((CONTROLLER,))), devices, possible)


def _of_kinds(context: Context, module_id: str, kinds: frozenset[str]) -> set[Address]:
    """Return the devices of some kinds in a module; a system-basis chip without LIN ports is none for LIN."""
    found = set()
    for ref in context.variant.modules[module_id].devices:
        part = context.part(Address(module_id, ref))
        if part is not None and part.kind in kinds and (part.kind != "sbc" or part.lin_ports != 0):
            found.add(Address(module_id, ref))
    return found


def _unclaimed_sources(context: Context, module_id: str) -> set[Address]:
    """Return the sources of rails that no device names: they feed loads, or what the proposal does not say."""
    module = context.variant.modules[module_id]
    named = {name for device in module.devices.values() for name in device.supply.values()}
    return {Address(module_id, rail.source) for name, rail in module.rails.items() if name not in named}


def _with_supplies(context: Context, devices: set[Address]) -> set[Address]:
    """Return the devices with all chips that make their rails, up to the battery."""
    found: set[Address] = set()
    waiting = list(devices)
    while waiting:
        address = waiting.pop()
        device = context.device(address)
        if address in found or device is None:
            continue
        found.add(address)
        rails = context.variant.modules[address.module].rails
        waiting += [Address(address.module, rails[name].source) for name in device.supply.values() if name in rails]
    return found


RULE = Rule(
    name="safety.capability",
    severity="error",
    failed="{part} is declared for use up to {measured}, the function of {loads} asks {limit}: needs a safety argument",
    undecided="the function of {loads} asks {limit}: {why}",
    remedy="Choose a part declared for {limit}, move the loads to such a device, or record a safety argument.",
    ask=ask,
    scope="modules",
)
