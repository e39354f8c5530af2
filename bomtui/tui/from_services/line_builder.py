"""One line of the sheet with all that is inside it: a module, a subsystem, the loads that no module serves."""

from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property

from bomtui.model.bound import Value
from bomtui.model.ids import natural_key
from bomtui.model.money import Total
from bomtui.model.part import Part
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
from bomtui.tui.from_services.findings import OpenFindings
from bomtui.tui.from_services.kept_lines import Children, Inside, Price, Source
from bomtui.tui.from_services.names import UNPLACED, Names
from bomtui.tui.from_services.placed_words import placed_marks
from bomtui.tui.marks import Mark
from bomtui.tui.view import Cells, Place

AMPERE = ("current", "A", 3)
MICROAMPERE = ("current", "uA", 1)
NO_FINDING = "no finding"
TOO_HOT = "over Tj max"


class LineBuilder:
    """Builds the lines of one computed variant.

    Args:
        names: Where everything stands.
        rollup: What was computed; None where there is no variant.
        found: Open findings by place.
        mode: Id of the mode that load currents are from; empty for none.
        common: What every line is built from.
    """

    def __init__(
        self, names: Names, rollup: Rollup | None, found: OpenFindings, mode: str, common: tuple[object, ...]
    ) -> None:
        self.names = names
        self.rollup = rollup
        self.found = found
        self.mode = mode
        self._common = common
        self._hot: dict[str, frozenset[str]] = {}
        self._currents: dict[str, Figure] = {}

    def look_up_currents(self, load_ids: Iterable[str]) -> None:
        """Look up the currents of the loads that stand in lines to be built; of many at once is far cheaper."""
        missing = [load_id for load_id in dict.fromkeys(load_ids) if load_id not in self._currents]
        if missing and self.mode:
            self._currents |= mean_load_currents(self.names.proposal, self.mode, missing)

    @cached_property
    def lines(self) -> Mapping[str, PartLine]:
        """Costed parts by catalog key."""
        return {} if self.rollup is None else {line.part: line for line in self.rollup.cost.lines}

    @property
    def _no_price(self) -> str:
        """Why a part has none: without a volume no rung of any price ladder is reached."""
        return "no price" if self.names.proposal.vehicle.volume_per_year is not None else "no volume, no price"

    def hot_devices(self, result: ModuleResult) -> frozenset[str]:
        """Return the devices of a module that are too hot, as `MODULE.REF`."""
        if result.id not in self._hot:
            hot = (f"{result.id}.{device.ref}" for device in result.devices if self._is_hot(device))
            self._hot[result.id] = frozenset(hot)
        return self._hot[result.id]

    def _is_hot(self, device: DeviceResult) -> bool:
        part = self._part(device)
        limit_degc = None if part is None else part.junction_max_degc
        return any(is_over(mode, limit_degc) for mode in device.modes)

    def price(self, part: str, module_id: str) -> Price:
        """Return what a line shows of the price of a part in a module."""
        line = self.lines.get(part)
        if line is None:
            return Price(None, has_line_price=False, share=None)
        return Price(line.unit_price, line.line_price is not None, line.per_module.get(module_id))

    def inside_module(self, result: ModuleResult, children: Children) -> tuple[Place, ...]:
        """Build what is inside a module: its devices, the loads without one, its rails and its items."""
        module, hot = self.names.variant.modules[result.id], self.hot_devices(result)
        devices = [self._device(result.id, device, hot, children) for device in result.devices]
        carried = {load_id for device in devices for load_id in self.names.loads_on(device.address)}
        direct = [self._load(load_id, children) for load_id in result.loads if load_id not in carried]
        items = [self._item(result.id, part) for part in sorted(module.items, key=natural_key)]
        rails = [self._rail(result.id, rail) for rail in sorted(module.rails, key=natural_key)]
        return (*devices, *direct, *rails, *items)

    def module(self, result: ModuleResult, cost: ModuleCost, inside: Inside) -> Place:
        """Build a module around what is inside it."""
        module = self.names.variant.modules[result.id]
        addresses = [result.id, *(self.names.load(load_id) for load_id in result.loads)]
        keys = self.found.of((*addresses, *(f"{result.id}.{device.ref}" for device in result.devices)))
        current = next((mode.loads_at_mode_voltage_a.typ for mode in result.modes if mode.mode == self.mode), None)
        mark, word = self.state(
            keys, len(inside.hot), (current if self.mode else 0.0, result.standby_a.typ), cost.total
        )
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
        return Place(result.id, title, cells, mark, word or NO_FINDING, inside.places)

    def inside_unplaced(self, load_ids: Sequence[str], children: Children) -> tuple[Place, ...]:
        """Build the loads that no module serves."""
        return tuple(self._load(load_id, children) for load_id in load_ids)

    def unplaced(self, load_ids: Sequence[str], inside: Inside) -> Place:
        """Build the line around the loads that no module serves."""
        self.look_up_currents(load_ids)
        keys = self.found.of(load.address for load in inside.places)
        current = current_of(self._currents, load_ids) if self.mode else 0.0
        mark, word = self.state(keys, 0, (current,), None)
        cells = Cells(load_current=aligned_text(current, *AMPERE) if self.mode else "", findings=self.found.count(keys))
        title = f"served by no module: {counted(len(load_ids), 'load', 'loads')}"
        return Place(UNPLACED, title, cells, mark or "check", word if mark else "not served", inside.places)

    def inside_subsystem(self, load_ids: Sequence[str], children: Children) -> tuple[Place, ...]:
        """Build the loads of a subsystem."""
        return tuple(self._load(load_id, children, with_devices=True) for load_id in load_ids)

    def subsystem(self, name: str, load_ids: Sequence[str], inside: Inside) -> Place:
        """Build a subsystem around its loads."""
        self.look_up_currents(load_ids)
        address = self.names.subsystem(name)
        devices = [device for load_id in load_ids for device in self.names.devices_of(load_id)]
        keys = self.found.of((address, *devices, *(load.address for load in inside.places)))
        current = current_of(self._currents, load_ids) if self.mode else 0.0
        total = None if self.rollup is None else self.rollup.cost.subsystems.get(name)
        mark, word = self.state(keys, 0, (current,), total)
        cells = Cells(
            load_current=aligned_text(current, *AMPERE) if self.mode else "",
            cost="" if total is None else amount_column_text(total),
            findings=self.found.count(keys),
        )
        known = self.names.proposal.subsystems.get(name)
        title = name if known is None or not known.name else f"{name} {known.name}"
        # Without a finding nothing is said: what its modules share, such as a controller, is judged there.
        return Place(address, title, cells, mark, word, inside.places)

    def _device(self, module_id: str, device: DeviceResult, hot: frozenset[str], children: Children) -> Place:
        address = f"{module_id}.{device.ref}"
        loads = tuple(self._load(load_id, children, address) for load_id in self.names.loads_on(address))
        placed, part = self.names.variant.modules[module_id].devices[device.ref], self._part(device)
        cost, is_hot = self._device_cost(module_id, device), address in hot
        places = (address, *(load.address for load in loads))
        values = (device, self.price(device.part, module_id).unit_price, self._no_price, cost, is_hot)
        source = Source((placed, part, *loads), values, self.found.states_at(places))

        def build() -> Place:
            keys, price = self.found.of(places), self.price(device.part, module_id).unit_price
            total = Total(amount=price) if price is not None else None
            mark, word = self.state(keys, int(is_hot), (), total, hot_word=TOO_HOT)
            if price is None and not mark:
                mark, word = "unknown", self._no_price
            cells = Cells(channels=_channels(device), parts_cost=cost, findings=self.found.count(keys))
            title = _with_fitment(f"{device.ref} {device.part}", placed.fitment_ratio)
            description = "no data of this part" if part is None else part.description
            return Place(address, ", ".join(filter(None, (title, description))), cells, mark, word, loads)

        return children.place(address, source, build)

    def _part(self, device: DeviceResult) -> Part | None:
        return self.names.snapshot.parts.get(device.part)

    def _device_cost(self, module_id: str, device: DeviceResult) -> str:
        """The price of a device; where not every vehicle has it, its share of the line if that is its alone."""
        line, module = self.lines.get(device.part), self.names.variant.modules[module_id]
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
        line = self.lines.get(part)
        # The share of the line is that of the item alone only where no device of the module is of the same part.
        is_own = all(device.part != part for device in module.devices.values())
        has_price = line is not None and line.line_price is not None
        price = line.per_module.get(module_id) if line is not None and has_price else None
        text = (amount_column_text(price) if is_own else "") if has_price else "?"
        mark, word = ("", "") if has_price else ("unknown", self._no_price)
        address = self.names.item(module_id, part)
        return Place(address, f"{part}, {quantity}", Cells(parts_cost=text), _mark(mark), word)

    def _load(self, load_id: str, children: Children, device: str = "", *, with_devices: bool = False) -> Place:
        """A load; with the findings at the devices that carry it where these stand in another tree."""
        load, placement = self.names.proposal.loads[load_id], self.names.variant.placements.get(load_id)
        address = self.names.load(load_id)
        places = (address, *(self.names.devices_of(load_id) if with_devices else ()))
        source = Source((*self._common, load_id, load, placement), (), self.found.states_at(places))

        def build() -> Place:
            keys = self.found.of(places)
            current = self._currents[load_id].typ if self.mode else 0.0
            mark, word = self.state(keys, 0, (current,), None)
            shown = aligned_text(current, *AMPERE) if self.mode else ""
            word = ", ".join(filter(None, (word, *placed_marks(placement))))
            title = _with_fitment(f"{load_id} {load.name}".rstrip(), load.fitment_ratio)
            return Place(address, title, Cells(load_current=shown, findings=self.found.count(keys)), mark, word)

        return children.place(f"{device} {load_id}", source, build)

    def state(
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


def _channels(device: DeviceResult) -> str:
    if device.channels is None and not device.channels_used:
        return ""
    return f"{device.channels_used}/{'?' if device.channels is None else device.channels}"


def _with_fitment(title: str, fitment_ratio: float | None) -> str:
    return ", ".join(filter(None, (title, fitted_text(fitment_ratio))))


def _mark(text: str) -> Mark:
    return "unknown" if text else ""
