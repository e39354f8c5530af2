"""Transceivers whose lines another chip of the module could take: as it is, or with another part in its place."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bomtui.edit.edit import Edit
from bomtui.edit.edits.device import RemoveDevice, SwapDevice
from bomtui.edit.edits.field import SetField
from bomtui.engine.networks.ports import port_sort, ports_for, serves
from bomtui.model.ids import natural_key
from bomtui.model.part import Part
from bomtui.packing.chips.candidate import Candidate, Chip, Ground
from bomtui.packing.chips.lesser import lesser

SHARED = frozenset(("transceiver_can", "transceiver_lin"))
"""Kinds of which one chip may hold several: an Ethernet or optical port has an address of its own, a radio a band."""

HOSTS = frozenset(("sbc", *SHARED))
"""Kinds that may hold several transceivers."""


@dataclass(frozen=True, slots=True)
class Line:
    """A line that hangs on a chip.

    Attributes:
        place: Place of the field that says where the node is; empty where no network names it.
        kind: Kind of network.
    """

    place: str
    kind: str


def lines_of(ground: Ground, chip: Chip) -> tuple[Line, ...]:
    """Return the lines of a chip; where no network names a transceiver, every port of it may carry one."""
    named = tuple(
        Line(f"variants.{ground.variant_id}.networks.{network_id}.nodes.{node_id}.at", network.kind)
        for network_id, network in ground.variant.networks.items()
        for node_id, node in network.nodes.items()
        if node.at == chip.address
    )
    if named or chip.part.kind not in SHARED:
        return named
    kind = "LIN" if chip.part.kind == "transceiver_lin" else "CAN FD"
    return tuple(Line("", kind) for _ in range(chip.part.ports or 1))


def free_ports(ground: Ground, chip: Chip, part: Part, kind: str) -> int:
    """Return how many ports for a kind of network are free where a part stands in the place of a chip; 0 if unknown."""
    if part.kind not in HOSTS or not serves(part, kind):
        return 0
    taken = sum(port_sort(line.kind) == port_sort(kind) for line in lines_of(ground, chip))
    return max((ports_for(part, kind) or 0) - taken, 0)


def companions(ground: Ground) -> Iterator[Candidate]:
    """Yield every transceiver that could go, each with the chip that takes its lines."""
    for module_id in ground.modules:
        chips = [chip for chip in ground.chips(module_id) if chip.part.kind in HOSTS]
        going = [chip for chip in chips if chip.part.kind in SHARED]
        for host in chips:
            others = [chip for chip in going if chip.ref != host.ref]
            keys = (key for key in sorted(ground.parts, key=natural_key) if ground.parts[key].kind == host.part.kind)
            for key in keys:
                yield from _hosted(ground, host, key, others)


def _hosted(ground: Ground, host: Chip, key: str, others: Sequence[Chip]) -> Iterator[Candidate]:
    """Yield what goes where a part stands in the place of a host: each chip by itself, and all that find room."""
    part = ground.parts[key]
    together: list[Chip] = []
    for chip in others:
        if _has_room(ground, host, part, [chip]):
            yield _candidate(ground, host, key, [chip])
            if _has_room(ground, host, part, [*together, chip]):
                together.append(chip)
    if len(together) > 1:
        yield _candidate(ground, host, key, together)


def _has_room(ground: Ground, host: Chip, part: Part, chips: Sequence[Chip]) -> bool:
    lines = [line for chip in chips for line in lines_of(ground, chip)]
    sorts = {port_sort(line.kind): line.kind for line in lines}
    return bool(lines) and all(
        sum(port_sort(line.kind) == sort for line in lines) <= free_ports(ground, host, part, kind)
        for sort, kind in sorts.items()
    )


def _candidate(ground: Ground, host: Chip, key: str, chips: Sequence[Chip]) -> Candidate:
    edits: list[Edit] = []
    unsure: list[str] = []
    what = [f"{chip.address} {chip.device.part} goes" for chip in chips]
    if key != host.device.part:
        edits.append(SwapDevice(variant=ground.variant_id, module_id=host.module, ref=host.ref, part=key))
        what.append(f"{host.address} {host.device.part} becomes {key}")
        unsure += lesser(host, ground.parts[key])
    for chip in chips:
        lines = lines_of(ground, chip)
        edits += [SetField(place=line.place, value=host.address) for line in lines if line.place]
        edits.append(RemoveDevice(variant=ground.variant_id, module_id=chip.module, ref=chip.ref))
        if any(not line.place for line in lines):
            unsure.append(f"no network names {chip.address}: every port of it is taken for a line")
        elif chip.part.wake != ground.parts[key].wake:
            now, then = (part.wake or "nothing that is given" for part in (chip.part, ground.parts[key]))
            unsure.append(f"{chip.address} is woken by {now}, {host.address} by {then}")
    about = " ".join(chip.address for chip in chips)
    what.append(f"{host.address} takes {'its line' if len(chips) == 1 else 'their lines'}")
    return Candidate("companion", about, host.module, "; ".join(what), tuple(edits), (key,), tuple(unsure))
