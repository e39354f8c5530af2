"""A packing as one step of editing: loads are parked, drivers swapped, added and removed, loads placed again.

Placements keep all that is said of them; drivers that stay, or make room for another part, keep their wiring.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from bomtui.edit.edit import Edit
from bomtui.edit.edits.device import AddDevice, RemoveDevice, SwapDevice
from bomtui.edit.edits.field import SetField
from bomtui.edit.edits.group import Group
from bomtui.edit.edits.placement import Place
from bomtui.edit.wiring import next_references
from bomtui.model.ids import Address, natural_key, parse_address
from bomtui.model.part import Part
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Device, Module, Variant
from bomtui.packing.offer import Offer
from bomtui.packing.problem import Packing, Problem


@dataclass(frozen=True, slots=True)
class PlannedChip:
    """One driver of a plan.

    Attributes:
        module: Its module.
        ref: Its reference.
        part: Catalog key.
        former: Part that it is in place of; the same where it stays, empty where it is new.
        loads: Its loads with their channels, in natural order.
    """

    module: str
    ref: str
    part: str
    former: str
    loads: tuple[tuple[str, tuple[int, ...]], ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """What a packing means for the variant.

    Attributes:
        chips: Drivers that serve loads then, in natural order.
        removed: Addresses of drivers that go, with their parts.
        moved: Loads that change their channel, in natural order.
        edit: All of it as one step; None where nothing changes.
    """

    chips: tuple[PlannedChip, ...]
    removed: tuple[tuple[str, str], ...]
    moved: tuple[str, ...]
    edit: Edit | None


@dataclass(slots=True)
class _Bin:
    part: str
    loads: list[tuple[str, int]] = field(default_factory=list)
    ref: str = ""
    former: str = ""


def plan_of(snapshot: Snapshot, variant_id: str, offer: Offer, packing: Packing, words: str) -> Plan:
    """Turn a packing into a step of editing.

    Args:
        snapshot: Proposal and frozen parts that the packing was posed of; the parts that it uses are frozen there or
            are frozen by an edit before this one.
        variant_id: Id of the variant.
        offer: The problem.
        packing: A packing of it.
        words: What the step does, in the words of a list of steps.
    """
    chips: list[PlannedChip] = []
    removed: list[tuple[str, str]] = []
    moved: list[str] = []
    parking: list[Edit] = []
    changing: list[Edit] = []
    placing: list[Edit] = []
    variant = snapshot.proposal.variants[variant_id]
    for place, module_id in enumerate(offer.modules):
        module = variant.modules[module_id]
        bins = _bins(offer.problem, packing, place)
        gone = _named(snapshot, variant_id, module_id, bins, offer.refs[module_id], offer.parts)
        for own in sorted(bins, key=lambda own: natural_key(own.ref)):
            channels = _channels(snapshot, variant_id, module_id, own)
            chips.append(PlannedChip(module_id, own.ref, own.part, own.former, channels))
            if not own.former:
                changing.append(AddDevice(variant=variant_id, module_id=module_id, part=own.part, ref=own.ref))
                changing += _wired(variant_id, variant, module_id, own)
            elif own.former != own.part:
                changing.append(SwapDevice(variant=variant_id, module_id=module_id, ref=own.ref, part=own.part))
            for load_id, numbers in channels:
                on = tuple(str(Address(module_id, own.ref, number)) for number in numbers)
                former = variant.placements.get(load_id)
                needed = snapshot.proposal.settings.habit(snapshot.proposal.loads[load_id].drive).channels
                joined = "parallel" if len(on) > needed else None
                if former is not None and former.on == on and former.joined == joined and own.former == own.part:
                    continue
                if former is None or former.on != on:
                    moved.append(load_id)
                if former is not None:
                    parking.append(Place(variant=variant_id, load_id=load_id, on=(module_id,)))
                placing.append(Place(variant=variant_id, load_id=load_id, on=on, joined=joined))
        for ref in gone:
            removed.append((str(Address(module_id, ref)), module.devices[ref].part))
            changing.append(RemoveDevice(variant=variant_id, module_id=module_id, ref=ref, take_along=True))
    edits = (*parking, *changing, *placing)
    return Plan(
        tuple(chips),
        tuple(removed),
        tuple(sorted(moved, key=natural_key)),
        Group(edits=edits, words=words) if edits else None,
    )


def _wired(variant_id: str, variant: Variant, module_id: str, own: _Bin) -> list[Edit]:
    """Wire a new driver like the one on which most of its loads are now."""
    module = variant.modules[module_id]
    former = Counter(
        parse_address(text).device
        for load_id, _ in own.loads
        if load_id in variant.placements
        for text in variant.placements[load_id].on
    )
    known = [ref for ref, _ in former.most_common() if ref in module.devices]
    if not known:
        return []
    like, plain = module.devices[known[0]], Device(part=own.part)
    place = f"variants.{variant_id}.modules.{module_id}.devices.{own.ref}"
    return [
        SetField(place=f"{place}.{name}", value=getattr(like, name))
        for name in ("terminal", "feed", "commanded_by", "behind_reverse_fet")
        if getattr(like, name) != getattr(plain, name)
    ]


def _bins(problem: Problem, packing: Packing, place: int) -> list[_Bin]:
    """Return the drivers of one place with their loads by name; loads that are alike are named in natural order."""
    names = [list(kind.loads) for kind in problem.alike]
    found = []
    for filled in packing:
        if problem.chips[filled.chip].place != place:
            continue
        own = _Bin(problem.chips[filled.chip].name)
        for number, way_number in filled.loads:
            own.loads.append((names[number].pop(0), problem.alike[number].ways[way_number].takes[0]))
        found.append(own)
    return found


def _named(
    snapshot: Snapshot,
    variant_id: str,
    module_id: str,
    bins: Sequence[_Bin],
    refs: Iterable[str],
    parts: Mapping[str, Part],
) -> list[str]:
    """Give every driver of a plan a reference, its own again where it can be, and return those that go."""
    variant = snapshot.proposal.variants[variant_id]
    module: Module = variant.modules[module_id]
    now: dict[str, set[str]] = {ref: set() for ref in refs}
    for load_id, placement in variant.placements.items():
        for ref, loads in now.items():
            if any(text.startswith(f"{module_id}.{ref}.") for text in placement.on):
                loads.add(load_id)
    free = sorted(now, key=natural_key)
    ranked = sorted(
        (
            (-len(now[ref] & {load_id for load_id, _ in own.loads}), index, natural_key(ref), ref)
            for index, own in enumerate(bins)
            for ref in free
            if module.devices[ref].part == own.part
        )
    )
    for _, index, _, ref in ranked:
        if ref in free and not bins[index].ref:
            bins[index].ref, bins[index].former = ref, module.devices[ref].part
            free.remove(ref)
    for own in bins:
        if not own.ref and free:
            # One that goes makes room for another part: it keeps its place and its wiring.
            ref = max(free, key=lambda ref: len(now[ref] & {load_id for load_id, _ in own.loads}))
            own.ref, own.former = ref, module.devices[ref].part
            free.remove(ref)
    fresh = [own for own in bins if not own.ref]
    for own, ref in zip(fresh, _references(module, fresh, parts), strict=True):
        own.ref = ref
    return free


def _references(module: Module, fresh: Sequence[_Bin], parts: Mapping[str, Part]) -> tuple[str, ...]:
    return next_references(module, parts[fresh[0].part], len(fresh)) if fresh else ()


def _channels(
    snapshot: Snapshot, variant_id: str, module_id: str, own: _Bin
) -> tuple[tuple[str, tuple[int, ...]], ...]:
    """Give the loads of a driver their channels: those that they have on it now first, then the lowest free ones."""
    placements = snapshot.proposal.variants[variant_id].placements
    head = f"{module_id}.{own.ref}."
    total = sum(count for _, count in own.loads)
    taken: dict[str, tuple[int, ...]] = {}
    if own.former == own.part:
        for load_id, count in own.loads:
            placed = placements.get(load_id)
            if placed is None or len(placed.on) != count or not all(text.startswith(head) for text in placed.on):
                continue
            taken[load_id] = tuple(int(text.removeprefix(head)) for text in placed.on)
    used = {number for numbers in taken.values() for number in numbers}
    free = [number for number in range(1, total + len(used) + 1) if number not in used]
    for load_id, count in sorted(own.loads, key=lambda load: natural_key(load[0])):
        if load_id not in taken:
            taken[load_id], free = tuple(free[:count]), free[count:]
    return tuple((load_id, taken[load_id]) for load_id in sorted(taken, key=natural_key))
