"""The lines of the sheet: modules with their devices, loads and items, and subsystems with their loads."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from bomtui.model.bound import Value
from bomtui.model.ids import natural_key
from bomtui.model.money import Total
from bomtui.model.rollup import DeviceResult, Figure, ModuleCost, ModuleResult, PartLine, Rollup
from bomtui.services.fitment import fitted_text, is_everywhere
from bomtui.services.load_currents import current_of, mean_load_currents
from bomtui.services.present import (
    aligned_text,
    amount_column_text,
    channels_text,
    counted,
    decimal_text,
    is_over,
    pins_text,
    unknown_count,
    unknown_text,
    value_text,
)
from bomtui.services.vehicle_totals import channels_of, pins_of
from bomtui.tui.from_services.findings import OpenFindings
from bomtui.tui.from_services.names import COMMON, RESERVE, UNPLACED, VEHICLE, Names
from bomtui.tui.from_services.placed_words import placed_marks
from bomtui.tui.marks import Mark
from bomtui.tui.view import Cells, Place

AMPERE = ("current", "A", 3)
MICROAMPERE = ("current", "uA", 1)
NO_FINDING = "no finding"
TOO_HOT = "over Tj max"


@dataclass(frozen=True)
class Places:
    """Builds the lines of one computed variant.

    Attributes:
        names: Where everything stands.
        rollup: What was computed; None where there is no variant.
        found: Open findings by place.
        mode: Id of the mode that load currents are from; empty for none.
    """

    names: Names
    rollup: Rollup | None
    found: OpenFindings
    mode: str

    @cached_property
    def _currents(self) -> Mapping[str, Figure]:
        return mean_load_currents(self.names.proposal, self.mode) if self.mode else {}

    @cached_property
    def _lines(self) -> Mapping[str, PartLine]:
        return {} if self.rollup is None else {line.part: line for line in self.rollup.cost.lines}

    @cached_property
    def _loads_on(self) -> Mapping[str, list[str]]:
        on: dict[str, list[str]] = {}
        for load_id, devices in self.names.devices_of.items():
            for device in devices:
                on.setdefault(device, []).append(load_id)
        return on

    @cached_property
    def _hot(self) -> frozenset[str]:
        if self.rollup is None:
            return frozenset()
        return frozenset(
            f"{module.id}.{device.ref}"
            for module in self.rollup.modules.values()
            for device in module.devices
            if self._is_hot(device)
        )

    def _is_hot(self, device: DeviceResult) -> bool:
        part = self.names.snapshot.parts.get(device.part)
        limit_degc = None if part is None else part.junction_max_degc
        return any(is_over(mode, limit_degc) for mode in device.modes)

    def vehicle(self) -> Place:
        """The whole vehicle."""
        if self.rollup is None:
            mark, word = self.found.state(self.found.words)
            return Place(VEHICLE, "Whole vehicle", Cells(findings=self.found.count(self.found.words)), mark, word)
        rollup, cost = self.rollup, self.rollup.cost
        loads = next((mode.loads_at_mode_voltage_a.typ for mode in rollup.modes if mode.mode == self.mode), None)
        cells = Cells(
            channels_text(channels_of(rollup)),
            pins_text(pins_of(rollup)),
            aligned_text(loads, *AMPERE) if self.mode else "",
            aligned_text(rollup.standby_a.typ, *MICROAMPERE),
            amount_column_text(cost.elements["parts"]),
            amount_column_text(cost.total),
            self.found.count(self.found.words),
        )
        mark, word = self._state(
            self.found.words, len(self._hot), (loads if self.mode else 0.0, rollup.standby_a.typ), cost.total
        )
        return Place(VEHICLE, "Whole vehicle", cells, mark, word or NO_FINDING)

    def modules(self) -> tuple[Place, ...]:
        """Modules in natural order, and behind them the loads that no module serves."""
        if self.rollup is None:
            return ()
        modules = tuple(self._module(own, self.rollup.cost.modules[own.id]) for own in self.rollup.modules.values())
        if not self.rollup.unplaced:
            return modules
        loads = tuple(map(self._load, self.rollup.unplaced))
        keys = self.found.of(load.address for load in loads)
        current = current_of(self._currents, self.rollup.unplaced) if self.mode else 0.0
        mark, word = self._state(keys, 0, (current,), None)
        cells = Cells(load_current=aligned_text(current, *AMPERE) if self.mode else "", findings=self.found.count(keys))
        title = f"served by no module: {counted(len(loads), 'load', 'loads')}"
        return (*modules, Place(UNPLACED, title, cells, mark or "check", word if mark else "not served", loads))

    def subsystems(self) -> tuple[Place, ...]:
        """Subsystems in natural order with their loads, then what is common and what is reserve."""
        proposal = self.names.proposal
        owned: dict[str, list[str]] = {name: [] for name in proposal.subsystems}
        for load_id in sorted(proposal.loads, key=natural_key):
            owned.setdefault(proposal.loads[load_id].subsystem, []).append(load_id)
        places = tuple(self._subsystem(name, owned[name]) for name in sorted(owned, key=natural_key))
        if self.rollup is None:
            return places
        cost = self.rollup.cost
        return (
            *places,
            Place(COMMON, "common: supply, ground and bus", Cells(cost=amount_column_text(cost.common))),
            Place(RESERVE, "reserve: spare channels and ways", Cells(cost=amount_column_text(cost.reserve))),
        )

    def _subsystem(self, name: str, load_ids: list[str]) -> Place:
        address = self.names.subsystem(name)
        loads = tuple(self._load(load_id, with_devices=True) for load_id in load_ids)
        devices = [device for load_id in load_ids for device in self.names.devices_of.get(load_id, ())]
        keys = self.found.of((address, *devices, *(load.address for load in loads)))
        current = current_of(self._currents, load_ids) if self.mode else 0.0
        total = None if self.rollup is None else self.rollup.cost.subsystems.get(name)
        mark, word = self._state(keys, 0, (current,), total)
        cells = Cells(
            load_current=aligned_text(current, *AMPERE) if self.mode else "",
            cost="" if total is None else amount_column_text(total),
            findings=self.found.count(keys),
        )
        known = self.names.proposal.subsystems.get(name)
        title = name if known is None or not known.name else f"{name} {known.name}"
        # Without a finding nothing is said: what its modules share, such as a controller, is judged there.
        return Place(address, title, cells, mark, word, loads)

    def _module(self, result: ModuleResult, cost: ModuleCost) -> Place:
        module = self.names.variant.modules[result.id]
        devices = [self._device(result.id, device) for device in result.devices]
        carried = {load_id for device in devices for load_id in self._loads_on.get(device.address, ())}
        direct = [self._load(load_id) for load_id in result.loads if load_id not in carried]
        items = [self._item(result.id, part) for part in sorted(module.items, key=natural_key)]
        rails = [self._rail(result.id, rail) for rail in sorted(module.rails, key=natural_key)]
        inside = (*devices, *direct, *rails, *items)
        addresses = [result.id, *(self.names.load(load_id) for load_id in result.loads)]
        keys = self.found.of((*addresses, *(place.address for place in devices)))
        current = next((mode.loads_at_mode_voltage_a.typ for mode in result.modes if mode.mode == self.mode), None)
        hot = sum(place.address in self._hot for place in devices)
        mark, word = self._state(keys, hot, (current if self.mode else 0.0, result.standby_a.typ), cost.total)
        cells = Cells(
            channels_text(result.channels),
            pins_text(result.pins),
            aligned_text(current, *AMPERE) if self.mode else "",
            aligned_text(result.standby_a.typ, *MICROAMPERE),
            amount_column_text(cost.elements["parts"]),
            amount_column_text(cost.total),
            self.found.count(keys),
        )
        title = _with_fitment(f"{result.id} {module.name}".rstrip(), module.fitment_ratio)
        return Place(result.id, title, cells, mark, word or NO_FINDING, inside)

    def _device(self, module_id: str, device: DeviceResult) -> Place:
        address = f"{module_id}.{device.ref}"
        part = self.names.snapshot.parts.get(device.part)
        description = "no data of this part" if part is None else part.description
        load_ids = self._loads_on.get(address, [])
        loads = tuple(map(self._load, load_ids))
        keys = self.found.of((address, *(load.address for load in loads)))
        line = self._lines.get(device.part)
        price = None if line is None else line.unit_price
        total = Total(amount=price) if price is not None else None
        mark, word = self._state(keys, int(address in self._hot), (), total, hot_word=TOO_HOT)
        placed = self.names.variant.modules[module_id].devices[device.ref]
        has_channels = device.channels is not None or device.channels_used > 0
        cells = Cells(
            channels=f"{device.channels_used}/{'?' if device.channels is None else device.channels}"
            if has_channels
            else "",
            parts_cost=self._device_cost(module_id, device),
            findings=self.found.count(keys),
        )
        if price is None and not mark:
            mark, word = "unknown", "no price"
        title = _with_fitment(f"{device.ref} {device.part}", placed.fitment_ratio)
        return Place(address, ", ".join(filter(None, (title, description))), cells, mark, word, loads)

    def _device_cost(self, module_id: str, device: DeviceResult) -> str:
        """The price of a device; where not every vehicle has it, its share of the line if that is its alone."""
        line, module = self._lines.get(device.part), self.names.variant.modules[module_id]
        ratios = (module.fitment_ratio, module.devices[device.ref].fitment_ratio)
        if line is None or line.unit_price is None or all(map(is_everywhere, ratios)):
            return amount_column_text(None if line is None else line.unit_price)
        same = sum(own.part == device.part for own in module.devices.values()) + (device.part in module.items)
        return amount_column_text(line.per_module.get(module_id)) if same == 1 else ""

    def _rail(self, module_id: str, rail_id: str) -> Place:
        rail = self.names.variant.modules[module_id].rails[rail_id]
        voltage = value_text(rail.voltage_v, "voltage")
        return Place(self.names.rail(module_id, rail_id), f"rail {rail_id}, {voltage} from {rail.source}")

    def _item(self, module_id: str, part: str) -> Place:
        module = self.names.variant.modules[module_id]
        amount = module.items[part].quantity
        quantity = decimal_text(amount.quantity) + ("" if amount.unit == "piece" else f" {amount.unit}")
        line = self._lines.get(part)
        # The share of the line is that of the item alone only where no device of the module is of the same part.
        is_own = all(device.part != part for device in module.devices.values())
        has_price = line is not None and line.line_price is not None
        price = line.per_module.get(module_id) if line is not None and has_price else None
        text = (amount_column_text(price) if is_own else "") if has_price else "?"
        mark, word = ("", "") if has_price else ("unknown", "no price")
        address = self.names.item(module_id, part)
        return Place(address, f"{part}, {quantity}", Cells(parts_cost=text), _mark(mark), word)

    def _load(self, load_id: str, *, with_devices: bool = False) -> Place:
        """A load; with the findings at the devices that carry it where these stand in another tree."""
        load = self.names.proposal.loads[load_id]
        address = self.names.load(load_id)
        keys = self.found.of((address, *(self.names.devices_of.get(load_id, ()) if with_devices else ())))
        current = self._currents[load_id].typ if self.mode else 0.0
        mark, word = self._state(keys, 0, (current,), None)
        cells = Cells(load_current=aligned_text(current, *AMPERE) if self.mode else "", findings=self.found.count(keys))
        word = ", ".join(filter(None, (word, *placed_marks(self.names.variant.placements.get(load_id)))))
        title = _with_fitment(f"{load_id} {load.name}".rstrip(), load.fitment_ratio)
        return Place(address, title, cells, mark, word)

    def _state(
        self, keys: Iterable[str], hot: int, values: tuple[Value, ...], total: Total | None, *, hot_word: str = ""
    ) -> tuple[Mark, str]:
        """The worst of what is known of a line: findings, too hot a device, unknown terms of the figures it shows."""
        mark, word = self.found.state(keys)
        if mark == "over":
            return mark, word
        if hot:
            return "over", hot_word or f"{hot} {TOO_HOT}"
        if mark:
            return mark, word
        missing = unknown_count(*values)
        if total is not None:
            missing += total.unknown
        return ("unknown", unknown_text(missing)) if missing else ("", word)


def _with_fitment(title: str, fitment_ratio: float | None) -> str:
    return ", ".join(filter(None, (title, fitted_text(fitment_ratio))))


def _mark(text: str) -> Mark:
    return "unknown" if text else ""
