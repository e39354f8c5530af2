"""What may be worth a look in a module, told by counting alone: a guess within a frame, judged by nothing.

Whether a load fits another channel, what it heats and what it breaks is not asked here: packing does, and rules judge.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from bomtui.engine.serving import Serving
from bomtui.model.ids import Address
from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.model.proposal import Snapshot
from bomtui.model.rollup import DeviceResult, ModuleResult
from bomtui.packing.chips.candidate import Chip, Ground
from bomtui.packing.chips.companions import HOSTS, SHARED, free_ports, lines_of


@dataclass(frozen=True, slots=True)
class Hint:
    """A chip that might go.

    Attributes:
        module: The module.
        place: Address of the chip.
        words: What might be done, with its numbers, in one phrase.
        weight: Loads or lines that would move: the fewer the likelier.
    """

    module: str
    place: str
    words: str
    weight: int


@dataclass(frozen=True, slots=True)
class _Driver:
    """A driver with what is on it."""

    result: DeviceResult
    part: Part
    drives: frozenset[str]
    loads: int

    @property
    def free(self) -> int:
        """Channels that carry nothing; 0 where nobody knows how many there are."""
        return 0 if self.result.channels is None else self.result.channels - self.result.channels_used


def hints(
    snapshot: Snapshot,
    variant_id: str,
    results: Mapping[str, ModuleResult],
    serving: Serving,
    modules: Iterable[str],
) -> tuple[Hint, ...]:
    """Return what may be worth a look in some modules, the likeliest first.

    Args:
        snapshot: Proposal and frozen parts.
        variant_id: Id of the variant.
        results: What was computed for its modules.
        serving: Which module serves which load.
        modules: Modules that were touched.
    """
    wanted = tuple(modules)
    ground = Ground(snapshot, variant_id, snapshot.parts, wanted)
    found: list[Hint] = []
    for module in wanted:
        drivers = _drivers(snapshot, results[module], serving)
        might_go = list(_drivers_that_might_go(module, drivers))
        found += might_go
        found += _pools(module, drivers, {own.place for own in might_go})
        found += _transceivers_that_might_go(ground, module)
    return tuple(sorted(found, key=lambda own: own.weight))


def _drivers(snapshot: Snapshot, result: ModuleResult, serving: Serving) -> list[_Driver]:
    drives: dict[str, set[str]] = {}
    loads: dict[str, set[str]] = {}
    for served in serving.per_module[result.id]:
        for address in served.channels:
            if address.module == result.id:
                drives.setdefault(address.device, set()).add(serving.loads[served.load_id].drive)
                loads.setdefault(address.device, set()).add(served.load_id)
    found = []
    for own in result.devices:
        part = snapshot.parts.get(own.part)
        if part is not None and part.kind in DRIVER_KINDS and own.channels:
            found.append(_Driver(own, part, frozenset(drives.get(own.ref, ())), len(loads.get(own.ref, ()))))
    return found


def _drivers_that_might_go(module: str, drivers: list[_Driver]) -> Iterator[Hint]:
    """Yield drivers of which another one has room for the loads, by channels and drive sides alone."""
    hosts: set[str] = set()
    for own in sorted(drivers, key=lambda one: one.loads):
        if own.result.ref in hosts:
            # It takes what another one gives up: it is not told that it could go itself.
            continue
        place = str(Address(module, own.result.ref))
        if not own.result.channels_used:
            yield Hint(module, place, f"{place} {own.result.part} carries no load", 0)
            continue
        host = min(
            (
                other
                for other in drivers
                if other is not own
                and other.result.channels_used
                and other.free >= own.result.channels_used
                and own.drives <= set(other.part.sides)
                and _carries_as_much(own.part, other.part)
            ),
            key=lambda other: other.free,
            default=None,
        )
        if host is not None:
            hosts.add(host.result.ref)
            there = Address(module, host.result.ref)
            free = f"{host.free} of {host.result.channels} channels free"
            yield Hint(module, place, f"{place} {own.result.part} could go, {there} has {free}", own.loads)


def _pools(module: str, drivers: list[_Driver], told: set[str]) -> Iterator[Hint]:
    """Yield parts of which fewer chips have the channels that are in use, where no chip of them is told of already."""
    by_part: dict[str, list[_Driver]] = {}
    for own in drivers:
        by_part.setdefault(own.result.part, []).append(own)
    for part, chips in by_part.items():
        places = [str(Address(module, own.result.ref)) for own in chips]
        channels, used = chips[0].result.channels or 1, sum(own.result.channels_used for own in chips)
        least = -(-used // channels)
        if least < len(chips) and told.isdisjoint(places):
            words = f"{module}: {len(chips)} {part} carry {used} channels, {least} would have {least * channels}"
            yield Hint(module, places[-1], words, chips[-1].loads)


def _carries_as_much(own: Part, other: Part) -> bool:
    """Tell whether a channel of another part carries no less; what is not known is no reason to hint."""
    here, there = own.current_all_a, other.current_all_a
    return here is not None and there is not None and there >= here


def _transceivers_that_might_go(ground: Ground, module: str) -> Iterator[Hint]:
    """Yield transceivers of which another chip has ports for the lines."""
    chips = [chip for chip in ground.chips(module) if chip.part.kind in HOSTS]
    for chip in chips:
        if chip.part.kind not in SHARED:
            continue
        lines = lines_of(ground, chip)
        host = next((own for own in chips if own is not chip and _has_ports(ground, own, chip)), None)
        if host is not None and lines:
            free = free_ports(ground, host, host.part, lines[0].kind)
            kind = "LIN" if lines[0].kind == "LIN" else "CAN"
            ports = f"{free} {kind} {'port' if free == 1 else 'ports'} free"
            words = f"{chip.address} {chip.device.part} could go, {host.address} has {ports}"
            yield Hint(module, chip.address, words, len(lines))


def _has_ports(ground: Ground, host: Chip, chip: Chip) -> bool:
    lines = lines_of(ground, chip)
    return bool(lines) and free_ports(ground, host, host.part, lines[0].kind) >= len(lines)
