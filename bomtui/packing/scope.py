"""Which drivers of a module a packing may change, and why others are left as they are."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from bomtui.model.finding import Finding
from bomtui.model.ids import Address, natural_key, parse_address
from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Device, Placement, Variant
from bomtui.packing.kept import KEPT, Keep, counts_against


@dataclass(frozen=True, slots=True)
class Left:
    """Something that a packing leaves as it is, and why.

    Attributes:
        what: Address of a device, or id of a load.
        why: The reason, in words.
    """

    what: str
    why: str


@dataclass(frozen=True, slots=True)
class Scope:
    """Drivers of one module.

    Attributes:
        module: The module.
        refs: References of the drivers that may change.
        loads: Loads on them, in natural order, each with the reference of its driver.
        staying: References of everything else.
        left: Drivers that stay, and why.
    """

    module: str
    refs: tuple[str, ...]
    loads: Mapping[str, str]
    staying: tuple[str, ...]
    left: tuple[Left, ...]


def scope_of(snapshot: Snapshot, variant_id: str, module_id: str, findings: Iterable[Finding], keep: Keep) -> Scope:
    """Tell which drivers of a module may change.

    Args:
        snapshot: Proposal and frozen parts.
        variant_id: Id of the variant.
        module_id: The module.
        findings: What the rules find now.
        keep: Which findings of a chip speak against it.
    """
    variant = snapshot.proposal.variants[variant_id]
    module = variant.modules[module_id]
    found = _findings_by_device(findings)
    on = _loads_on(variant, module_id)
    refs: list[str] = []
    left: list[Left] = []
    loads: dict[str, str] = {}
    for ref in sorted(module.devices, key=natural_key):
        device = module.devices[ref]
        part = snapshot.parts.get(device.part)
        if part is not None and part.kind not in DRIVER_KINDS:
            continue
        address = str(Address(module_id, ref))
        why = next(_reasons(snapshot, variant, address, device, part, on.get(ref, ())), "")
        why = why or next(
            (f"{own.rule}: {own.message}" for own in found.get(address, ()) if counts_against(own, keep)), ""
        )
        if not why and module.fitment_ratio is not None:
            why = "not every vehicle has its module"
        if why:
            left.append(Left(address, why))
        else:
            refs.append(ref)
            loads |= dict.fromkeys(on.get(ref, ()), ref)
    staying = tuple(ref for ref in module.devices if ref not in refs)
    ordered = {load_id: loads[load_id] for load_id in sorted(loads, key=natural_key)}
    return Scope(module_id, tuple(refs), ordered, staying, tuple(left))


def without(scope: Scope, stuck: Mapping[str, str]) -> Scope:
    """Return a scope without some drivers, each with the reason why it stays after all."""
    more = tuple(Left(str(Address(scope.module, ref)), why) for ref, why in stuck.items())
    return Scope(
        scope.module,
        tuple(ref for ref in scope.refs if ref not in stuck),
        {load_id: ref for load_id, ref in scope.loads.items() if ref not in stuck},
        (*scope.staying, *stuck),
        tuple(sorted((*scope.left, *more), key=lambda own: natural_key(own.what))),
    )


def _findings_by_device(findings: Iterable[Finding]) -> dict[str, list[Finding]]:
    by_device: dict[str, list[Finding]] = {}
    for finding in findings:
        if finding.rule in KEPT:
            by_device.setdefault(finding.place, []).append(finding)
    return by_device


def _loads_on(variant: Variant, module_id: str) -> dict[str, tuple[str, ...]]:
    on: dict[str, dict[str, None]] = {}
    for load_id in sorted(variant.placements, key=natural_key):
        for address in map(parse_address, variant.placements[load_id].on):
            if address.module == module_id and address.device:
                on.setdefault(address.device, {})[load_id] = None
    return {ref: tuple(loads) for ref, loads in on.items()}


def _reasons(
    snapshot: Snapshot,
    variant: Variant,
    address: str,
    device: Device,
    part: Part | None,
    loads: Iterable[str],
) -> Iterator[str]:
    if part is None or part.channels is None:
        yield "nothing says how many channels it has"
    if device.fitment_ratio is not None:
        yield "not every vehicle has it"
    if device.counted_in_load:
        yield f"it is counted in the load {device.counted_in_load}"
    for feed_id in sorted(variant.feeds, key=natural_key):
        if variant.feeds[feed_id].switch.startswith(f"{address}."):
            yield f"it switches the feed {feed_id}"
    for load_id in sorted(variant.placements, key=natural_key):
        placement = variant.placements[load_id]
        if placement.fail_safe == address:
            yield f"its fail-safe output keeps {load_id} on"
        if address in placement.stage:
            yield f"it is the power stage of {load_id}"
    for load_id in loads:
        yield from _load_reasons(snapshot, load_id, variant.placements[load_id], address)


def _load_reasons(snapshot: Snapshot, load_id: str, placement: Placement, address: str) -> Iterator[str]:
    if load_id not in snapshot.proposal.loads:
        yield f"{load_id} is no load of the proposal"
        return
    if placement.pinned:
        yield f"{load_id} is pinned to it"
    if placement.stage:
        yield f"it drives the power stage of {load_id}"
    if placement.joined == "shared":
        yield f"{load_id} shares a channel"
    if placement.fail_safe:
        yield f"{load_id} hangs on a fail-safe output too"
    addresses = [parse_address(text) for text in placement.on]
    if any(str(Address(own.module, own.device)) != address for own in addresses):
        yield f"{load_id} is on several devices"
    if any(not own.channel for own in addresses):
        yield f"nothing says on which channel {load_id} is"
    needed = snapshot.proposal.settings.habit(snapshot.proposal.loads[load_id].drive).channels
    if not needed:
        yield f"{load_id} needs no channel by its drive code"
