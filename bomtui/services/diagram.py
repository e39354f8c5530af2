"""The block diagram of a module or vehicle: who feeds, drives, reads and commands whom, with currents."""

from collections.abc import Iterable

from bomtui.engine.load_path import load_path
from bomtui.export.diagram_record import diagram_record
from bomtui.export.json import json_bytes
from bomtui.model.diagram import BATTERY_BLOCK, Block, BlockKind, Diagram, Link, LinkKind, block_id
from bomtui.model.failure import CauseKind
from bomtui.model.ids import natural_key, parse_address
from bomtui.model.load import INPUT_DRIVES
from bomtui.model.proposal import Snapshot
from bomtui.model.rollup import Figure, Rollup
from bomtui.model.variant import BATTERY, Device, Module
from bomtui.services.artefact import basis
from bomtui.services.errors import UnknownNameError
from bomtui.services.load_currents import mean_load_currents
from bomtui.services.rail_currents import RAIL_CURRENT, rail_figures
from bomtui.services.review import Reviewed
from bomtui.services.vehicle_totals import worst_supply

__all__ = ["Diagram", "diagram", "diagram_json"]

OPEN_WORDS: dict[CauseKind, str] = {"feed": "no feed is named", "ground": "no ground point is named"}


def diagram(snapshot: Snapshot, rollup: Rollup, module: str = "", mode: str | None = None) -> Diagram:
    """Return the block diagram of a module, or of the vehicle.

    Args:
        snapshot: Proposal and frozen parts.
        rollup: What was computed for the variant from it.
        module: Id of the module; empty for the vehicle.
        mode: Mode whose currents it shows; None for the one in which the supply is worst.

    Raises:
        UnknownNameError: There is no such module or mode.
    """
    modes, modules = snapshot.proposal.modes, snapshot.proposal.variants[rollup.variant].modules
    if mode is None:
        worst = worst_supply(snapshot.proposal, rollup)
        mode = "" if worst is None else worst.mode
    elif mode not in modes:
        raise UnknownNameError(f"there is no mode '{mode}'; the modes are {', '.join(sorted(modes, key=natural_key))}")
    if module and module not in modules:
        raise UnknownNameError(
            f"there is no module '{module}'; the modules are {', '.join(sorted(modules, key=natural_key))}"
        )
    drawing = _Drawing(snapshot, rollup, module, mode)
    if module:
        drawing.draw_module()
    else:
        drawing.draw_vehicle()
    return drawing.result()


def diagram_json(reviewed: Reviewed, drawn: Diagram) -> bytes:
    """Return a diagram of a reviewed variant as JSON."""
    return json_bytes(diagram_record(basis(reviewed), drawn))


class _Drawing:
    """One diagram while it is gathered."""

    def __init__(self, snapshot: Snapshot, rollup: Rollup, module: str, mode: str) -> None:
        self._snapshot = snapshot
        self._proposal = snapshot.proposal
        self._variant = snapshot.proposal.variants[rollup.variant]
        self._rollup = rollup
        self._module = module
        self._mode = mode
        self._blocks: dict[str, Block] = {}
        self._links: dict[Link, None] = {}
        self._open: list[str] = []

    def result(self) -> Diagram:
        """Return what was gathered."""
        return Diagram(
            variant=self._rollup.variant,
            module=self._module,
            mode=self._mode,
            blocks=self._blocks,
            links=tuple(self._links),
            open=tuple(self._open),
        )

    def draw_vehicle(self) -> None:
        """Draw battery, feeds, ground points, modules and networks."""
        current = next((own.supply_current_a for own in self._rollup.modes if own.mode == self._mode), None)
        self._add_battery(current)
        for module_id in sorted(self._variant.modules, key=natural_key):
            self._add_module(module_id)
        self._add_networks(sorted(self._variant.networks, key=natural_key))

    def draw_module(self) -> None:
        """Draw a module: battery and feeds before it, its chips and rails, the loads behind it."""
        self._add_battery(None)
        self._add_module(self._module)
        module = self._variant.modules[self._module]
        served = self._rollup.modules[self._module].loads
        currents = mean_load_currents(self._proposal, self._mode, served) if self._mode else {}
        for ref in sorted(module.devices, key=natural_key):
            self._add_chip(ref, module.devices[ref])
        figures = rail_figures(self._snapshot, self._rollup.variant)
        for rail_id in sorted(module.rails, key=natural_key):
            names = [f"{self._module}:{RAIL_CURRENT}.{rail_id}/{corner}" for corner in ("typ", "max")]
            self._add_rail(module, rail_id, Figure(*(figures.get(name) for name in names)))
        for ref in sorted(module.devices, key=natural_key):
            self._link_chip(module, ref, module.devices[ref])
        for load_id in served:
            self._add_load(load_id, currents.get(load_id))
        touching = [
            key
            for key, network in self._variant.networks.items()
            if any(node.at.partition(".")[0] == self._module or node.at in served for node in network.nodes.values())
        ]
        self._add_networks(sorted(touching, key=natural_key))

    def _add(self, kind: BlockKind, name: str, title: str = "", current_a: Figure | None = None, note: str = "") -> str:
        key = block_id(kind, name)
        self._blocks[key] = Block(id=key, kind=kind, name=name, title=title, current_a=current_a, note=note)
        return key

    def _link(self, source: str, target: str, kind: LinkKind) -> None:
        self._links[Link(source=source, target=target, kind=kind)] = None

    def _add_battery(self, current: Figure | None) -> None:
        self._add("battery", "", self._proposal.vehicle.supply or "voltage unknown", current)

    def _add_module(self, module_id: str) -> None:
        module = self._variant.modules[module_id]
        modes = self._rollup.modules[module_id].modes
        current = next((own.supply_current_a for own in modes if own.mode == self._mode), None)
        count = len(self._rollup.modules[module_id].loads)
        note = f"zone {module.zone or 'unknown'}, {count} load{'' if count == 1 else 's'}"
        key = self._add("module", module_id, module.name, current, note)
        if not module.feeds:
            self._open.append(f"{OPEN_WORDS['feed']} of {module_id}")
            self._link(BATTERY_BLOCK, key, "supply")
        for feed_id in module.feeds:
            self._link(self._add_feed(feed_id), key, "supply")

    def _add_feed(self, feed_id: str) -> str:
        feed = self._variant.feeds.get(feed_id)
        note = "" if feed is None else f"terminal {feed.terminal}"
        if feed is not None and feed.switch:
            note += f"  switched by {feed.switch}"
        key = self._add("feed", feed_id, "", self._feed_current(feed_id), note)
        self._link(BATTERY_BLOCK, key, "supply")
        if feed is not None and feed.ground:
            self._link(key, self._add("ground", feed.ground), "return")
        elif f"{OPEN_WORDS['ground']} of {feed_id}" not in self._open:
            self._open.append(f"{OPEN_WORDS['ground']} of {feed_id}")
        return key

    def _feed_current(self, feed_id: str) -> Figure | None:
        feed = self._rollup.feeds.get(feed_id)
        modes = () if feed is None else feed.modes
        return next((own.current_a for own in modes if own.mode == self._mode), None)

    def _chip(self, ref: str) -> str:
        return block_id("chip", f"{self._module}.{ref}")

    def _add_chip(self, ref: str, device: Device) -> None:
        note = ""
        for own in self._rollup.modules[self._module].devices:
            if own.ref == ref and own.channels is not None and device.part in self._snapshot.parts:
                free = own.channels - own.channels_used
                note = f"{free} channel{'' if free == 1 else 's'} free" if free else ""
        self._add("chip", f"{self._module}.{ref}", device.part, None, note)

    def _add_rail(self, module: Module, rail_id: str, current: Figure) -> None:
        rail = module.rails[rail_id]
        key = self._add("rail", f"{self._module}.{rail_id}", f"{rail.voltage_v:g} V", current)
        if rail.source in module.devices:
            self._link(self._chip(rail.source), key, "supply")

    def _link_chip(self, module: Module, ref: str, device: Device) -> None:
        chip = self._chip(ref)
        wired = set(device.supply.values())
        for rail in sorted(wired, key=natural_key):
            if rail == BATTERY:
                self._link(block_id("module", self._module), chip, "supply")
            elif rail in module.rails:
                self._link(block_id("rail", f"{self._module}.{rail}"), chip, "supply")
        part = self._snapshot.parts.get(device.part)
        missing = [] if part is None else [name for name in part.supplies if name not in device.supply]
        if missing:
            self._open.append(f"{self._module}.{ref} names no rail for {', '.join(missing)}")
        if device.carries == "feed":
            self._link(block_id("module", self._module), chip, "supply")
        if device.commanded_by in module.devices:
            self._link(self._chip(device.commanded_by), chip, "command")

    def _add_load(self, load_id: str, current: Figure | None) -> None:
        load, placement = self._proposal.loads[load_id], self._variant.placements[load_id]
        addresses = tuple(map(parse_address, placement.on))
        key = self._add("load", load_id, load.name, current, load.drive)
        path = load_path(self._variant, self._snapshot.parts, load, load_id, addresses)
        chips = [block_id("chip", str(address)) for address in sorted(path.serving.certain, key=str)]
        chips = [chip for chip in chips if chip in self._blocks]
        for chip in chips:
            self._link(chip, key, "drive")
        for fet in sorted(path.stage, key=str):
            if (stage := block_id("chip", str(fet))) in self._blocks:
                self._link(stage, key, "drive")
        if load.drive in INPUT_DRIVES:
            readers = [block_id("chip", str(address)) for address in sorted(path.command.certain, key=str)]
            for reader in readers:
                self._link(key, reader, "read")
            if not readers and not chips:
                self._open.append(f"nothing says which chip reads {load_id}")
        elif not chips:
            self._open.append(f"nothing says which chip serves {load_id}")
        rail = block_id("rail", f"{self._module}.{placement.rail}")
        if placement.rail and rail in self._blocks:
            self._link(rail, key, "supply")

    def _add_networks(self, networks: Iterable[str]) -> None:
        for network_id in networks:
            network = self._variant.networks[network_id]
            key = self._add("network", network_id, network.kind)
            for node in network.nodes.values():
                self._link(key, self._node(node.at), "network")

    def _node(self, at: str) -> str:
        """Return the block of a node: its chip in the diagram of its module, else its module; or the load."""
        module_id, dot, _ = at.partition(".")
        if not dot and at in self._proposal.loads:
            key = block_id("load", at)
            return key if key in self._blocks else self._add("load", at, self._proposal.loads[at].name)
        key = block_id("chip", at)
        if module_id == self._module and key in self._blocks:
            return key
        key = block_id("module", module_id)
        own = self._variant.modules.get(module_id)
        return key if key in self._blocks else self._add("module", module_id, "" if own is None else own.name)
