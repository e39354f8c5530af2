"""The supply tree of a module: who draws from which rail, and what the tree draws from the battery."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from bomtui.engine.calc import Gate, formula
from bomtui.engine.unfed import Unfed, unfed_efficiency, unfed_input, unfed_quiescent
from bomtui.model.bound import Value
from bomtui.model.part import PART_KINDS, SUPPLY_KINDS, Part, SupplyNeed
from bomtui.model.settings import Electronics
from bomtui.model.variant import BATTERY, Module, Rail

BUS_KINDS = frozenset(kind for kind in PART_KINDS if kind.startswith("transceiver_"))
KINDS_WITHOUT_SUPPLY = frozenset(("fet", "passive", "connector", "board", "housing"))
"""Kinds that draw nothing of their own from a rail."""
INPUT = "input"
"""Name of the supply input of a part that makes rails."""


@formula(
    "idle_current_a + dominant_ratio * (active_current_a - idle_current_a)",
    "A",
    "mean of the two bus states (definition)",
)
def bus_driver_current_a(idle_current_a: float, active_current_a: float, dominant_ratio: float) -> float:
    """Mean supply current of a bus driver.

    Args:
        idle_current_a: Current [A] with the bus recessive.
        active_current_a: Current [A] with the bus dominant.
        dominant_ratio: Share of time in which the bus is dominant.

    Source: mean over time (definition).
    """
    return idle_current_a + dominant_ratio * (active_current_a - idle_current_a)


@formula(
    "output_current_a + quiescent_a", "A", "Kirchhoff's current law: a linear supply passes its output current through"
)
def linear_input_current_a(output_current_a: float, quiescent_a: float) -> float:
    """Input current of a linear supply.

    Args:
        output_current_a: Current [A] drawn from its rails.
        quiescent_a: Its own current [A].

    Source: Kirchhoff's current law.
    """
    return output_current_a + quiescent_a


@formula(
    "output_current_a * output_v / (efficiency_ratio * input_v) + quiescent_a",
    "A",
    "power balance of a converter (definition of efficiency)",
)
def switching_input_current_a(
    output_current_a: float, output_v: float, efficiency_ratio: float, input_v: float, quiescent_a: float
) -> float:
    """Input current of a switching supply.

    Args:
        output_current_a: Current [A] drawn from its rails.
        output_v: Rail voltage [V].
        efficiency_ratio: Output power over input power.
        input_v: Input voltage [V], above 0.
        quiescent_a: Its own current [A].

    Source: definition of efficiency.
    """
    return output_current_a * output_v / (efficiency_ratio * input_v) + quiescent_a


class Draw(NamedTuple):
    """One supply input of one device with its own current, what it passes on to rails left out.

    Attributes:
        ref: Reference of the device.
        name: Name of the input.
        part: Part of the device; None where nothing is known of it.
        current_a: Its own current.
    """

    ref: str
    name: str
    part: Part | None
    current_a: Value


@dataclass(frozen=True, slots=True)
class SupplyPlan:
    """What hangs where in a module, at one corner, whatever the battery voltage.

    Attributes:
        module_id: Id of the module, for names.
        rails: Rails by name.
        rails_of: Rails that each source makes.
        source_parts: Part of each source.
        draws: Inputs per rail, battery-fed ones that make rails under `battery`.
        in_load: The same of devices whose draw the battery current of a load already holds: they heat what feeds them,
            and are counted nowhere else.
        direct_a: What battery-fed inputs draw that make no rails; what nothing is known of is an unknown term of it.
        unfed: Inputs that hang on nothing, but of which it is known what they ask for.
        unfed_in_load: Those of them whose draw the battery current of a load already holds.
        fed_by: Rail, or battery, of each input; empty where it hangs on nothing.
        own_a: Own current of each input.
        worst: Whether the largest currents and lowest efficiencies are taken.
    """

    module_id: str
    rails: Mapping[str, Rail]
    rails_of: Mapping[str, list[str]]
    source_parts: Mapping[str, Part]
    draws: Mapping[str, list[Draw]]
    in_load: Mapping[str, list[Draw]]
    direct_a: Value
    unfed: Mapping[tuple[str, str], Unfed]
    unfed_in_load: frozenset[tuple[str, str]]
    fed_by: Mapping[tuple[str, str], str]
    own_a: Mapping[tuple[str, str], Value]
    worst: bool


@dataclass(slots=True)
class SupplyTree:
    """Currents of one module at one corner and one battery voltage.

    Attributes:
        plan: What hangs where.
        battery_v: Battery voltage.
        battery_a: What the electronics draw from the battery.
        rail_a: What is drawn from each rail.
        output_a: What each source gives to its rails.
        source_a: What each source draws at its input.
        unfed_a: What the supply that is missing takes from the battery for each input that hangs on nothing.
    """

    plan: SupplyPlan
    battery_v: Value
    battery_a: Value = None
    rail_a: dict[str, Value] = field(default_factory=dict)
    output_a: dict[str, Value] = field(default_factory=dict)
    source_a: dict[str, Value] = field(default_factory=dict)
    unfed_a: dict[tuple[str, str], Value] = field(default_factory=dict)

    def input_a(self, ref: str, name: str) -> Value:
        """Return the current of a supply input; None where it is not known."""
        if name == INPUT and ref in self.source_a:
            return self.source_a[ref]
        return self.plan.own_a.get((ref, name))

    def input_v(self, ref: str, name: str) -> Value:
        """Return the voltage of a supply input; where it hangs on nothing, what it asks for."""
        rail = self.plan.fed_by.get((ref, name), "")
        if rail == BATTERY:
            return self.battery_v
        if rail:
            return self.plan.rails[rail].voltage_v
        unfed = self.plan.unfed.get((ref, name))
        return None if unfed is None else unfed.voltage_v


def supply_plan(
    calc: Gate,
    module_id: str,
    module: Module,
    parts: Mapping[str, Part],
    settings: Electronics,
    *,
    worst: bool,
) -> SupplyPlan:
    """Sort the supply inputs of a module by what they hang on.

    A supply input that names no rail, or one that nothing makes, is a bounded term of the battery current where it is
    known what it asks for, and an unknown one else: what hangs on nothing is a finding, never zero. A device of which
    no supply input is known is an unknown term of the rails that it names, and of the battery current where it names
    none.

    Args:
        calc: Gate.
        module_id: Id of the module, for names.
        module: The module.
        parts: Frozen parts by key.
        settings: For the share of time in which a bus is dominant, and what is assumed of supplies that are missing.
        worst: Take the largest currents and the lowest efficiencies.
    """
    fed = fed_rails(module, parts)
    draws: dict[str, list[Draw]] = {}
    in_load: dict[str, list[Draw]] = {}
    direct: list[tuple[str, Value]] = []
    fed_by: dict[tuple[str, str], str] = {}
    own_a: dict[tuple[str, str], Value] = {}
    for ref, device in module.devices.items():
        part = parts.get(device.part)
        of_rail = in_load if device.counted_in_load else draws
        if part is None or (not part.supplies and _draws_something(part)):
            on_rails = [name for name, rail in device.supply.items() if rail in fed and rail != BATTERY]
            for name in on_rails:
                of_rail.setdefault(device.supply[name], []).append(Draw(ref, name, part, None))
            if not on_rails or len(on_rails) < len(device.supply):
                what = f"parts.{device.part}" if part is None else f"parts.{device.part}.supplies"
                direct.append((f"{module_id}.{ref} {what}", None))
            continue
        for name, need in part.supplies.items():
            rail = device.supply.get(name, "")
            own = own_current(calc, part, need, settings.bus_dominant_ratio, worst=worst)
            fed_by[ref, name] = rail if rail in fed else ""
            own_a[ref, name] = own
            is_branch = rail in fed and (rail != BATTERY or _makes_rails(part, name))
            if is_branch:
                of_rail.setdefault(rail, []).append(Draw(ref, name, part, own))
            elif rail in fed and not device.counted_in_load:
                direct.append((f"{module_id}.{ref} supply.{name}", own))
    unfed = _unfed(calc, module_id, module, parts, fed_by, own_a, settings)
    in_load_only = frozenset((ref, name) for ref, name in unfed if module.devices[ref].counted_in_load)
    direct += [
        (f"{module_id}.{ref} supply.{name}", None)
        for (ref, name), rail in fed_by.items()
        if not rail and (ref, name) not in unfed and not module.devices[ref].counted_in_load
    ]
    # An item hangs on no rail that anybody named: what it draws is not known.
    direct += [(f"{module_id} items.{key}", None) for key in module.items if _draws_something(parts.get(key))]
    rails_of: dict[str, list[str]] = {}
    for name, made in module.rails.items():
        rails_of.setdefault(made.source, []).append(name)
    return SupplyPlan(
        module_id=module_id,
        rails=module.rails,
        rails_of=rails_of,
        source_parts={
            ref: part
            for ref in rails_of
            if ref in module.devices and (part := parts.get(module.devices[ref].part)) is not None
        },
        draws=draws,
        in_load=in_load,
        direct_a=calc.total([key for key, _ in direct], [value for _, value in direct]),
        unfed=unfed,
        unfed_in_load=in_load_only,
        fed_by=fed_by,
        own_a=own_a,
        worst=worst,
    )


def _unfed(
    calc: Gate,
    module_id: str,
    module: Module,
    parts: Mapping[str, Part],
    fed_by: Mapping[tuple[str, str], str],
    own_a: Mapping[tuple[str, str], Value],
    settings: Electronics,
) -> dict[tuple[str, str], Unfed]:
    """Return what is known of the inputs that hang on nothing; not of those of a source, which feed others in turn."""
    found: dict[tuple[str, str], Unfed] = {}
    for (ref, name), rail in fed_by.items():
        part = parts[module.devices[ref].part]
        if rail or _makes_rails(part, name):
            continue
        place = f"{module_id}.{ref} supply.{name}"
        unfed = unfed_input(calc, place, part.supplies[name], own_a[ref, name], settings)
        if unfed is not None:
            found[ref, name] = unfed
    return found


def _draws_something(part: Part | None) -> bool:
    return part is None or part.kind not in KINDS_WITHOUT_SUPPLY


def supply_tree(calc: Gate, plan: SupplyPlan, battery_v: Value) -> SupplyTree:
    """Walk the supply tree of a module from its consumers to the battery.

    Args:
        calc: Gate.
        plan: What hangs where.
        battery_v: Battery voltage [V].

    Returns:
        All currents of the module that the battery current of no load holds.
    """
    return _Walk(calc, plan, battery_v, with_in_load=False).result()


def heating_tree(calc: Gate, tree: SupplyTree) -> SupplyTree:
    """Walk a supply tree again with the devices whose draw a load already holds, as all of it heats the sources.

    Args:
        calc: Gate.
        tree: The tree without them.
    """
    if not tree.plan.in_load:
        return tree
    return _Walk(calc, tree.plan, tree.battery_v, with_in_load=True).result()


def own_current(calc: Gate, part: Part, need: SupplyNeed, dominant_ratio: float, *, worst: bool) -> Value:
    """Return the current of a supply input itself: of a bus driver its mean, at the worst corner its larger state."""
    if need.idle_current_a is None and not drives_bus(part):
        return need.current_a.upper if worst else need.current_a.middle
    if worst:
        idle_a = None if need.idle_current_a is None else need.idle_current_a.upper
        return calc.largest(("active", "idle"), (need.current_a.upper, idle_a))
    if need.idle_current_a is None:
        # A bus driver has two currents; with one of them missing its mean is not known.
        return None
    return calc(
        bus_driver_current_a,
        idle_current_a=need.idle_current_a.middle,
        active_current_a=need.current_a.middle,
        dominant_ratio=dominant_ratio,
    )


def drives_bus(part: Part) -> bool:
    """Tell whether a part drives a network, so that its current follows the state of the bus."""
    return part.kind in BUS_KINDS or (part.kind == "sbc" and bool(part.can_ports or part.lin_ports))


def _makes_rails(part: Part, supply: str) -> bool:
    return part.kind in SUPPLY_KINDS and supply == INPUT


def is_fed(module: Module, rail: str, parts: Mapping[str, Part]) -> bool:
    """Tell whether a rail name is the battery, or a rail of the module whose source can make it."""
    if rail == BATTERY:
        return True
    found = module.rails.get(rail)
    return found is not None and makes(module, found, parts)


def fed_rails(module: Module, parts: Mapping[str, Part]) -> set[str]:
    """Return the battery and every rail that is fed from it in the end; rails in a circle are not."""
    fed = {BATTERY}
    waiting = {name: rail for name, rail in module.rails.items() if makes(module, rail, parts)}
    while True:
        found = {name for name, rail in waiting.items() if module.devices[rail.source].supply.get(INPUT, "") in fed}
        if not found:
            return fed
        fed |= found
        waiting = {name: rail for name, rail in waiting.items() if name not in found}


def makes(module: Module, rail: Rail, parts: Mapping[str, Part]) -> bool:
    """Tell whether the source of a rail is a supply of the module with that voltage."""
    source = module.devices.get(rail.source)
    part = None if source is None else parts.get(source.part)
    return part is not None and part.kind in SUPPLY_KINDS and part.output_v == rail.voltage_v


class _Walk:
    """One walk over the tree; keeps what it has found so that each rail is visited once."""

    def __init__(self, calc: Gate, plan: SupplyPlan, battery_v: Value, *, with_in_load: bool) -> None:
        self.calc = calc
        self.plan = plan
        self.with_in_load = with_in_load
        self.tree = SupplyTree(plan, battery_v)

    def _draws(self, rail: str) -> list[Draw]:
        draws = self.plan.draws.get(rail, [])
        return [*draws, *self.plan.in_load.get(rail, [])] if self.with_in_load else draws

    def result(self) -> SupplyTree:
        sources = self._draws(BATTERY)
        keys = ["inputs on the battery", *[f"{self.plan.module_id}.{draw.ref} supply.{draw.name}" for draw in sources]]
        values = [self.plan.direct_a, *[self._current(draw, self.tree.battery_v) for draw in sources]]
        for key, unfed in self.plan.unfed.items():
            if key not in self.plan.unfed_in_load:
                self.tree.unfed_a[key] = current = self._unfed(unfed)
                keys.append(unfed.name)
                values.append(current)
        self.tree.battery_a = self.calc.total(keys, values)
        return self.tree

    def _unfed(self, unfed: Unfed) -> Value:
        return self.calc(
            switching_input_current_a,
            output_current_a=unfed.current_a,
            output_v=unfed.voltage_v,
            efficiency_ratio=unfed_efficiency(self.calc, unfed, self.tree.battery_v),
            input_v=self.tree.battery_v,
            quiescent_a=unfed_quiescent(self.calc, unfed),
        )

    def _rail(self, rail: str) -> Value:
        if rail in self.tree.rail_a:
            return self.tree.rail_a[rail]
        rail_v = self.plan.rails[rail].voltage_v
        draws = self._draws(rail)
        keys = [f"{self.plan.module_id}.{draw.ref} supply.{draw.name}" for draw in draws]
        total = self.calc.total(keys, [self._current(draw, rail_v) for draw in draws])
        self.tree.rail_a[rail] = total
        return total

    def _current(self, draw: Draw, input_v: Value) -> Value:
        if draw.part is None or not _makes_rails(draw.part, draw.name):
            return draw.current_a
        current = self._source(draw, draw.part, input_v)
        self.tree.source_a[draw.ref] = current
        return current

    def _source(self, draw: Draw, part: Part, input_v: Value) -> Value:
        rails = self.plan.rails_of.get(draw.ref, [])
        output_a = self.calc.total(rails, [self._rail(rail) for rail in rails])
        self.tree.output_a[draw.ref] = output_a
        if part.converter is None:
            return None
        if part.converter == "linear":
            return self.calc(linear_input_current_a, output_current_a=output_a, quiescent_a=draw.current_a)
        return self.calc(
            switching_input_current_a,
            output_current_a=output_a,
            output_v=part.output_v,
            efficiency_ratio=part.efficiency_ratio.lower if self.plan.worst else part.efficiency_ratio.middle,
            input_v=input_v,
            quiescent_a=draw.current_a,
        )
