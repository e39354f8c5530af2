"""Supply inputs that hang on nothing, or on the wrong voltage."""

from collections.abc import Iterator, Mapping

from bomtui.engine.supply import INPUT, is_fed, makes
from bomtui.engine.supply_range import given_high_v, given_low_v
from bomtui.model.bound import Value
from bomtui.model.finding import Verdict
from bomtui.model.ids import Address, natural_key, parse_address
from bomtui.model.part import SUPPLY_KINDS, Part
from bomtui.model.quantity import text
from bomtui.model.variant import BATTERY, Device, Module, Placement
from bomtui.model.vehicle import Mode
from bomtui.rules.context import Context, Rule, failed, passed, undecided

NO_RAIL = "no rail"


def ask(context: Context) -> Iterator[Verdict]:
    """A device lacks a rail that it needs.

    What it asks:
        For every supply input of every device, and for every load that a rail feeds: does it name the battery or a rail
        of its module, is that rail made by a supply of the module with that voltage and not out of itself, and is it
        the voltage that the input needs? On the battery an input fits that takes the battery as it comes, or whose
        voltage is the vehicle's own: its nominal voltage, or one inside the supply range with the engine on. It cannot
        tell where the part of the device or of the rail's source, or that range, is unknown.

    Why it matters:
        A chip without its supply does nothing, and the current it would draw is missing from every sum; one on the
        wrong voltage is destroyed.

    Failing example:
        A controller that needs 3.3 V in a module whose only rail is 5 V.

    Passing example:
        The same module with a 3.3 V converter behind the 5 V rail, and the controller on its rail.

    Source:
        Common practice, no source: supply voltages as data sheets give them.
    """
    for module_id in sorted(context.variant.modules, key=natural_key):
        module = context.variant.modules[module_id]
        for ref in sorted(module.devices, key=natural_key):
            device = module.devices[ref]
            place = str(Address(module_id, ref))
            part = context.parts.get(device.part)
            if part is None:
                yield undecided(place, None, None, part=device.part, why="its supply inputs are not known")
                continue
            for name in part.supplies:
                yield _Input(context, module_id, module, place, device, part, name).verdict()
    for load_id in sorted(context.variant.placements, key=natural_key):
        placement = context.variant.placements[load_id]
        if placement.rail and placement.rail != BATTERY:
            yield _load_verdict(context, load_id, placement)


def _load_verdict(context: Context, load_id: str, placement: Placement) -> Verdict:
    """Tell whether the rail that a placement names for its load is made by a supply of the module."""
    home = parse_address(placement.on[0]).module if placement.on else ""
    module = context.variant.modules.get(home)
    if module is not None and is_fed(module, placement.rail, context.parts):
        return passed(load_id, placement.rail, placement.rail)
    why = f": no supply of {home or 'its module'} makes rail {placement.rail}"
    return failed(load_id, NO_RAIL, placement.rail, part="the load", name="supply", why=why)


class _Input:
    """One supply input of a device."""

    def __init__(
        self, context: Context, module_id: str, module: Module, place: str, device: Device, part: Part, name: str
    ) -> None:
        self.context = context
        self.module_id = module_id
        self.module = module
        self.place = place
        self.key = device.part
        self.part = part
        self.name = name
        self.rail = device.supply.get(name, "")
        self.needed_v: float | None = part.supplies[name].voltage_v

    def verdict(self) -> Verdict:
        """Ask the questions in their order: is there a rail, who makes it, what voltage is it."""
        if self.rail == BATTERY:
            return self._on_battery()
        if not is_fed(self.module, self.rail, self.context.parts):
            return self._not_fed()
        if self._in_circle():
            return self._fails(f"rail {self.rail} is made out of itself")
        rail_v = self.module.rails[self.rail].voltage_v
        if self.needed_v is not None and rail_v != self.needed_v:
            return self._wrong_voltage(rail_v, f"rail {self.rail}")
        return passed(self.place, rail_v, self.needed_v, "V")

    def _on_battery(self) -> Verdict:
        vehicle = self.context.proposal.vehicle
        if self.needed_v is None or text(self.needed_v, "voltage") == vehicle.supply:
            return passed(self.place, vehicle.supply, self.needed_v, "V")
        volts = _running_volts(self.context.proposal.modes)
        known = [value for value in volts if value is not None]
        if known and min(known) <= self.needed_v <= max(known):
            return passed(self.place, vehicle.supply, self.needed_v, "V")
        if vehicle.supply is None or not known or len(known) < len(volts):
            why = f"{self._input()}, and the supply range with the engine on is not known"
            return undecided(self.place, None, self.needed_v, "V", part=self.key, why=why)
        return self._wrong_voltage(vehicle.supply, "the battery")

    def _not_fed(self) -> Verdict:
        rail = self.module.rails.get(self.rail)
        if not self.rail:
            return self._fails("it names none")
        if rail is None:
            return self._fails(f"{self.module_id} has no rail {self.rail}")
        source = self.module.devices.get(rail.source)
        if source is None:
            return self._fails(f"the source {rail.source} of rail {self.rail} does not exist")
        part = self.context.parts.get(source.part)
        if part is None or (part.kind in SUPPLY_KINDS and part.output_v is None):
            why = f"{self._input()}: what {rail.source} ({source.part}) makes of it is not known"
            return undecided(self.place, None, self.needed_v, "V", part=self.key, why=why)
        if part.output_v is None or part.kind not in SUPPLY_KINDS:
            return self._fails(f"{rail.source} ({source.part}), the source of rail {self.rail}, makes no rail")
        made, named = (text(volts, "voltage") for volts in (part.output_v, rail.voltage_v))
        return self._fails(f"{rail.source} ({source.part}) makes {made} and not the {named} of rail {self.rail}")

    def _in_circle(self) -> bool:
        """Tell whether this input feeds the source of a rail that in the end comes from this very rail."""
        rails = self.module.rails
        seen: set[str] = set()
        name = self.rail
        while name in rails and name not in seen and makes(self.module, rails[name], self.context.parts):
            seen.add(name)
            name = self.module.devices[rails[name].source].supply.get(INPUT, "")
        own = self.place.rpartition(".")[2]
        return (
            self.name == INPUT
            and name in seen
            and name == self.rail
            and any(rails[rail].source == own for rail in seen)
        )

    def _input(self) -> str:
        needs = BATTERY if self.needed_v is None else text(self.needed_v, "voltage")
        return f"input {self.name} needs {needs} from {self.rail or 'a rail'}"

    def _fails(self, why: str) -> Verdict:
        limit: Value | str = BATTERY if self.needed_v is None else self.needed_v
        return failed(self.place, NO_RAIL, limit, "V", part=self.key, name=self.name, why=f": {why}")

    def _wrong_voltage(self, measured: float | str, where: str) -> Verdict:
        return failed(self.place, measured, self.needed_v, "V", part=self.key, name=self.name, why=f" of {where}")


def _running_volts(modes: Mapping[str, Mode]) -> list[float | None]:
    """Supply voltages [V] while the engine runs: lowest, usual and highest of each mode, None for an unknown one."""
    running = [mode for mode in modes.values() if mode.engine == "on"]
    return [volts for mode in running for volts in (given_low_v(mode), mode.supply_nominal_v, given_high_v(mode))]


RULE = Rule(
    name="rail.missing",
    severity="error",
    failed="input {name} of {part} needs {limit} and has {measured}{why}",
    undecided="whether {part} has the supply that it needs is unknown: {why}",
    remedy="Add a supply and a rail of that voltage to the module, or let the input name the rail that fits.",
    ask=ask,
    scope="modules",
)
