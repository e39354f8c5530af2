"""Everything known of one line of the sheet: what is given, what is computed, and how to have it explained."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from bomtui.model.ids import natural_key
from bomtui.model.load import Load
from bomtui.model.part import Part
from bomtui.model.rollup import DeviceMode, DeviceResult, ModuleResult, PartLine, Rollup
from bomtui.model.variant import BATTERY, Device, Module
from bomtui.services.catalog import part_fields
from bomtui.services.fitment import AVERAGE_COST
from bomtui.services.present import counted, decimal_text, listed
from bomtui.services.rail_currents import RAIL_CURRENT
from bomtui.services.wake_paths import wake_words
from bomtui.tui.from_services.feed_details import feed_details
from bomtui.tui.from_services.figure_text import Named, figure, junction_figure, worst_mode_first
from bomtui.tui.from_services.findings import OpenFindings
from bomtui.tui.from_services.fitment_figures import fitment_figures, part_figures
from bomtui.tui.from_services.given_text import given
from bomtui.tui.from_services.names import COMMON, NETWORK, RESERVE, UNPLACED, VEHICLE, Names
from bomtui.tui.from_services.network_details import network_details, on_networks
from bomtui.tui.from_services.placed_words import placed_figures
from bomtui.tui.from_services.rail_details import rail_details, supply_budget
from bomtui.tui.view import Details, Figure

VEHICLE_FIGURES = "vehicle"
JUNCTIONS = frozenset(("junction_degc", "junction_on_degc", "junction_reversed_degc"))
MEAN_HEAT = (
    "Heat and junction are means over a mode, single chip on the reference board, without a driver's own supply "
    "current. With its loads on, and that current counted, is what is held against the maximum."
)
ONE_VALUE = "One value given, used for both corners"
OTHER_VEHICLES = frozenset({"cost_lean", "cost_full"})
AVERAGE_FIGURES = frozenset({"parts_cost", "cost"})
LISTED = 12
INSTEAD_OF_NOTE = frozenset({"note"})
NOT_OF_MODULE = frozenset({"name", "zone", "fitment", "note"})
NOT_OF_DEVICE = frozenset({"part", "supply", "fitment", "note"})
NOT_OF_LOAD = frozenset({"name", "fitment", "note"})
"""Fields that stand in words of their own."""


@dataclass(frozen=True)
class DetailsOf:
    """Collects what is known of a line.

    Attributes:
        names: Where everything stands.
        rollup: What was computed; None where there is no variant.
        figures: Every figure of it, by the place at the front of its name.
        mode: Id of the mode that comes first.
        found: Open findings by place.
    """

    names: Names
    rollup: Rollup | None
    figures: Mapping[str, list[Named]]
    mode: str
    found: OpenFindings

    def __call__(self, address: str) -> Details:
        """Return everything known of the line with this address, the findings that are about it among it."""
        places = [address]
        load_id = address.rpartition(" ")[2]
        if address == self.names.load(load_id):
            places += self.names.devices_of(load_id)
        return replace(self._details(address), findings=self.found.findings(places))

    def _details(self, address: str) -> Details:
        own = {VEHICLE: self._vehicle, COMMON: self._common, RESERVE: self._reserve, UNPLACED: self._unplaced}
        if address in own:
            return own[address]()
        proposal, variant = self.names.proposal, self.names.variant
        if address.startswith(NETWORK):
            return network_details(self.names, address, self._plain_of)
        module_id, _, rest = address.partition(".")
        if module_id in variant.modules:
            if rest.startswith("item "):
                return self._item(module_id, rest.removeprefix("item "))
            if rest.startswith("rail "):
                return self._rail(module_id, rest.removeprefix("rail "))
            return self._device(module_id, rest) if rest else self._module(module_id)
        plain = address.rpartition(" ")[2]
        if plain in proposal.loads and address == self.names.load(plain):
            return self._load(plain)
        return self._subsystem(plain)

    @property
    def _currency(self) -> str:
        return self.names.proposal.proposal.currency

    def _of(self, place: str) -> list[Named]:
        return worst_mode_first(self.figures.get(place, ()), self.mode)

    def _plain_of(self, place: str) -> tuple[Figure, ...]:
        return self._plain(self._of(place))

    def _plain(self, figures: Iterable[Named]) -> tuple[Figure, ...]:
        return tuple(figure(named, self._currency) for named in figures)

    def _vehicle(self) -> Details:
        proposal = self.names.proposal
        info = proposal.proposal
        facts = given(proposal.vehicle, INSTEAD_OF_NOTE)
        counts = [Figure("customer", info.customer)] if info.customer else []
        notes = [note for note in (info.note, proposal.vehicle.note, self.names.variant.note) if note]
        if self.rollup is None:
            return Details(info.name, (*counts, *facts), tuple(notes))
        rollup = self.rollup
        length = f"{decimal_text(rollup.wire_length_m)} m"
        missing = sum(module.wires.unknown for module in rollup.modules.values())
        counts += [
            Figure("part numbers", str(len(rollup.cost.lines))),
            Figure("driver devices", str(rollup.driver_devices)),
            Figure("wires", str(rollup.wire_count)),
            Figure(
                "wire length",
                f">= {length}  {missing} unknown" if missing else length,
                "unknown" if missing else "",
            ),
        ]
        if rollup.single_values:
            names = listed(rollup.single_values, LISTED)
            notes.append(f"{ONE_VALUE} ({len(rollup.single_values)}): {names}")
        if rollup.cost.is_partly_fitted:
            notes.append(AVERAGE_COST)
        computed = self._vehicle_figures(rollup)
        return Details(f"{info.name}, variant {rollup.variant}", (*counts, *computed, *facts), tuple(notes))

    def _vehicle_figures(self, rollup: Rollup) -> tuple[Figure, ...]:
        """The figures of the vehicle; where vehicles differ in cost, each says of which one it is."""
        figures = []
        for named in self._of(VEHICLE_FIGURES):
            own = figure(named, self._currency)
            if not rollup.cost.is_partly_fitted and named.key in OTHER_VEHICLES:
                continue
            is_average = rollup.cost.is_partly_fitted and named.key in AVERAGE_FIGURES
            figures.append(replace(own, title=f"{own.title}, average vehicle") if is_average else own)
        return tuple(figures)

    def _common(self) -> Details:
        return Details("Common: supply, ground and bus", self._plain(self._shared("common")))

    def _reserve(self) -> Details:
        return Details("Reserve: spare channels and ways", self._plain(self._shared("reserve")))

    def _shared(self, key: str) -> Iterator[Named]:
        for place, figures in self.figures.items():
            for named in figures:
                if named.key == key:
                    what = key if place == VEHICLE_FIGURES else f"{key}.{place}"
                    yield Named(named.name, what, "", "", named.value)

    def _unplaced(self) -> Details:
        loads = () if self.rollup is None else self.rollup.unplaced
        title = f"Served by no module: {counted(len(loads), 'load', 'loads')}"
        note = "Their currents count for the vehicle; no channel, pin or wire is counted for them."
        return Details(title, tuple(Figure(load, self.names.proposal.loads[load].name) for load in loads), (note,))

    def _module(self, module_id: str) -> Details:
        module, result = self.names.variant.modules[module_id], self._result(module_id)
        zone = self.names.proposal.zones.get(module.zone)
        facts = [
            Figure("zone", f"{module.zone} {zone.name}".rstrip() if zone is not None else module.zone or "none given")
        ]
        if zone is not None:
            facts += [entry for entry in given(zone) if entry.title.startswith("ambient")]
        facts += [*fitment_figures(module.fitment_ratio), *given(module, NOT_OF_MODULE)]
        facts += _pins(result)
        facts.append(Figure("loads", str(len(result.loads))))
        facts += on_networks(self.names, module_id, inside=True)
        facts.append(
            Figure("woken while parked by", wake_words(self.names.variant, self.names.snapshot.parts, module_id))
        )
        facts.append(Figure("wires", f"{result.wires.wires}, {decimal_text(result.wires.length_m)} m"))
        facts.append(Figure("connector ways", f"{result.wires.ways} and {result.wires.power_headers} power headers"))
        figures = self._of(module_id)
        for rail_id in sorted(module.rails, key=natural_key):
            facts += self._on_rail(module_id, rail_id)
        facts += self._feeds(module)
        sources = sorted({rail.source for rail in module.rails.values()}, key=natural_key)
        facts += [self._budget(module_id, ref) for ref in sources]
        computed = self._plain(named for named in figures if not named.key.startswith(RAIL_CURRENT))
        title = f"{module_id} {module.name}".rstrip()
        notes = [module.note] if module.note else []
        if self.rollup is not None and self.rollup.cost.is_partly_fitted:
            notes.append(AVERAGE_COST)
        return Details(title, (*facts, *computed), tuple(notes))

    def _feeds(self, module: Module) -> Iterator[Figure]:
        """What is known of the feeds of a module, and of their ground points."""
        feeds = {} if self.rollup is None else self.rollup.feeds
        known = [feeds[feed_id] for feed_id in module.feeds if feed_id in feeds]
        for feed in known:
            yield from feed_details(self.names, feed, self._plain(self._of(f"feeds.{feed.id}")))
        grounds = dict.fromkeys(self.names.variant.feeds[feed.id].ground for feed in known)
        for ground in filter(None, grounds):
            for own in self._plain(self._of(f"grounds.{ground}")):
                yield replace(own, title=f"{ground} {own.title}")

    def _on_rail(self, module_id: str, rail_id: str) -> tuple[Figure, ...]:
        key = f"{RAIL_CURRENT}.{rail_id}"
        own = self._plain(named for named in self._of(module_id) if named.key == key)
        return rail_details(self.names, module_id, rail_id, own)

    def _budget(self, module_id: str, ref: str) -> Figure:
        return supply_budget(self.names, module_id, ref, self._of(f"{module_id}.{ref}"))

    def _rail(self, module_id: str, rail_id: str) -> Details:
        rail = self.names.variant.modules[module_id].rails[rail_id]
        figures = (*self._on_rail(module_id, rail_id), self._budget(module_id, rail.source))
        return Details(f"Rail {rail_id} of {module_id}", figures, (rail.note,) if rail.note else ())

    def _result(self, module_id: str) -> ModuleResult:
        return ({} if self.rollup is None else self.rollup.modules)[module_id]

    def _device(self, module_id: str, ref: str) -> Details:
        device = self.names.variant.modules[module_id].devices[ref]
        part = self.names.snapshot.parts.get(device.part)
        result = next(own for own in self._result(module_id).devices if own.ref == ref)
        place = f"{module_id}.{ref}"
        facts = [
            *fitment_figures(device.fitment_ratio, f"the vehicles with {module_id}"),
            *_supplied(device),
            *on_networks(self.names, place),
            *given(device, NOT_OF_DEVICE),
        ]
        computed = [self._device_figure(named, result, part) for named in self._of(place)]
        priced = self._plain(named for named in self._of(device.part) if "price" in named.key)
        title = f"{place} {device.part}" + ("" if part is None else f" {part.description}").rstrip()
        notes = [text for text in (device.note, "" if part is None else part.note) if text]
        if result.modes:
            notes.append(MEAN_HEAT)
        if part is None:
            notes.append("The frozen parts hold no data of this part: everything of it is unknown.")
        return Details(
            title,
            (
                *self._channels(place, result),
                *facts,
                *computed,
                *part_figures(self._line(device.part)),
                *priced,
                *_part(part),
            ),
            tuple(notes),
        )

    def _line(self, part_key: str) -> PartLine | None:
        lines = () if self.rollup is None else self.rollup.cost.lines
        return next((line for line in lines if line.part == part_key), None)

    def _channels(self, place: str, result: DeviceResult) -> Iterator[Figure]:
        there = "unknown" if result.channels is None else str(result.channels)
        if result.channels is not None or result.channels_used:
            yield Figure("channels used", f"{result.channels_used} of {there}")
        placements = self.names.variant.placements
        for load_id in sorted(placements, key=natural_key):
            for address in placements[load_id].on:
                if address.startswith(f"{place}.") and load_id in self.names.proposal.loads:
                    yield Figure(f"channel {address.rpartition('.')[2]}", self._load_title(load_id))

    def _load_title(self, load_id: str) -> str:
        return f"{load_id} {self.names.proposal.loads[load_id].name}".rstrip()

    def _device_figure(self, named: Named, result: DeviceResult, part: Part | None) -> Figure:
        if named.key not in JUNCTIONS:
            return figure(named, self._currency)
        mode: DeviceMode | None = next((own for own in result.modes if own.mode == named.mode), None)
        limit_degc = None if part is None else part.junction_max_degc
        return junction_figure(named, limit_degc, runaway=mode is not None and mode.runaway)

    def _item(self, module_id: str, part_key: str) -> Details:
        item = self.names.variant.modules[module_id].items[part_key]
        part = self.names.snapshot.parts.get(part_key)
        quantity = f"{decimal_text(item.quantity.quantity)} {item.quantity.unit}"
        facts = (
            Figure("quantity", quantity),
            Figure("module", module_id),
            *fitment_figures(self.names.variant.modules[module_id].fitment_ratio),
            *part_figures(self._line(part_key)),
        )
        title = f"{part_key} in {module_id}" + ("" if part is None else f": {part.description}")
        notes = tuple(text for text in (item.note, "" if part is None else part.note) if text)
        return Details(title, (*facts, *self._plain(self._of(part_key)), *_part(part)), notes)

    def _load(self, load_id: str) -> Details:
        load: Load = self.names.proposal.loads[load_id]
        placement = self.names.variant.placements.get(load_id)
        facts: list[Figure] = []
        if placement is not None:
            facts += placed_figures(self.names.variant, load_id, load)
        elif self.rollup is not None:
            facts.append(Figure("placed on", "nothing yet", "check", "not served"))
        facts += on_networks(self.names, load_id)
        computed = self._plain(self._of(load_id))
        notes = tuple(note for note in (load.note, "" if placement is None else placement.note) if note)
        facts += [*fitment_figures(load.fitment_ratio), *given(load, NOT_OF_LOAD)]
        return Details(self._load_title(load_id), (*facts, *computed), notes)

    def _subsystem(self, name: str) -> Details:
        known = self.names.proposal.subsystems.get(name)
        title = name if known is None else f"{name} {known.name}".rstrip()
        own = [named for named in self._of(name) if named.key == "cost"]
        own += [named for named in self._of(f"subsystem {name}") if named.key == "cost"]
        shares = [
            Named(named.name, f"cost.{place}", "", "", named.value)
            for place, figures in self.figures.items()
            for named in figures
            if named.key == f"share.{name}"
        ]
        loads = [
            Figure(load_id, load.name, name="")
            for load_id, load in self.names.proposal.loads.items()
            if load.subsystem == name
        ]
        note = "" if known is None else known.note
        return Details(title, (*self._plain([*own, *shares]), *loads), (note,) if note else ())


def _pins(result: ModuleResult) -> Iterator[Figure]:
    pins = result.pins
    yield Figure("controller pins", f"{pins.used} of {pins.total}")
    for function, count in pins.needs.items():
        yield Figure(f"pins needed, {function}", str(count))
    for functions, count in pins.short.items():
        yield Figure(f"pins short, {functions.replace('+', ' or ')}", str(count), "over", "short")
    if pins.unknown:
        yield Figure("pins not known of", listed(pins.unknown, LISTED), "unknown")


def _supplied(device: Device) -> Iterator[Figure]:
    for name, source in device.supply.items():
        yield Figure(f"supply {name}", source if source == BATTERY else f"rail {source}")


def _part(part: Part | None) -> Iterator[Figure]:
    if part is None:
        return
    for key, text in part_fields(part):
        if key not in {"description", "note"}:
            yield Figure(key.replace("_", " "), text)
