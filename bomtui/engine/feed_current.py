"""What a module draws from each of its feeds, and what it sends back to the ground point of that feed.

A feed carries what passes a battery input of its devices: their own current and the loads that they switch towards the
battery. Loads of low-side channels take their plus elsewhere; their current comes back through the module and belongs
to its ground only. A load that is switched towards the battery and has one wire returns through the chassis.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bomtui.engine.calc import Gate
from bomtui.engine.drawn_current import drawn_a
from bomtui.engine.load_groups import Grouped, OnCurrents
from bomtui.engine.module_inputs import ModuleInputs
from bomtui.engine.module_stages import LoadStage, SupplyStage, Trees
from bomtui.engine.serving import Served
from bomtui.engine.supply import KINDS_WITHOUT_SUPPLY, SupplyTree
from bomtui.model.bound import Range, Value, at_most, ends
from bomtui.model.load import Load
from bomtui.model.part import SUPPLY_KINDS
from bomtui.model.variant import BATTERY, Module

PLUS_ELSEWHERE = frozenset(("LS", "INJ", "IGN"))
"""Drive codes of loads of which the module switches the way to ground only."""
CHASSIS_RETURN = frozenset(("HS", "HSP", "FEED", "FBH"))
"""Drive codes of loads that return through the chassis where they have no wire back (common practice)."""


@dataclass(frozen=True, slots=True)
class FeedDraw:
    """What one module draws from one feed in one mode.

    Attributes:
        typ_a: Mean at the usual voltage, electronics included.
        on: Loads while they are on, at the worst voltage, and their inrush.
        heating: The same loads by the steady current that heats as they do.
        electronics_a: Electronics at the worst voltage.
        returned: Loads whose current comes back through the module, by the current that heats as they do.
    """

    typ_a: Value
    on: OnCurrents
    heating: OnCurrents
    electronics_a: Value
    returned: OnCurrents


FeedDraws = Mapping[str, Mapping[str, FeedDraw]]
"""Per feed and mode in which the electronics are awake."""


def feed_draws(calc: Gate, inputs: ModuleInputs, loads: LoadStage, supplies: SupplyStage) -> FeedDraws:
    """Return what a module draws from each of its feeds.

    Where nothing says on which of several feeds a device hangs, each of them has it as a bound: up to all of it.

    Args:
        calc: Gate.
        inputs: The module's own inputs.
        loads: What its loads draw.
        supplies: What its devices draw.
    """
    feeds = inputs.module.feeds
    if not feeds:
        return {}
    feed_of = feeds_of_loads(inputs)
    per_mode = {mode: _Drawing(calc, inputs, loads, trees, feed_of, mode) for mode, trees in supplies.trees.items()}
    return {feed: {mode: drawing.draw(feed) for mode, drawing in per_mode.items()} for feed in feeds}


def feed_of_device(module: Module, ref: str) -> str:
    """Return the feed on which a device of a module hangs; empty where nothing says which."""
    device = module.devices.get(ref)
    if device is not None and device.feed in module.feeds:
        return device.feed
    only = module.feeds[0] if len(module.feeds) == 1 else ""
    return only if device is None or not device.feed else ""


def feeds_of_loads(inputs: ModuleInputs) -> Mapping[str, str]:
    """Return the feed of each load of a module; empty where nothing says which.

    A load on a channel has that of its driver, a load on a rail that of the source of the rail. What the module itself
    feeds, as its switch inputs, has that of its supplies, where all of these have one.
    """
    module, parts = inputs.module, inputs.parts
    sources = {rail_id: rail.source for rail_id, rail in module.rails.items()}
    supplying = {
        feed_of_device(module, ref)
        for ref, device in module.devices.items()
        if (part := parts.get(device.part)) is not None
        and part.kind in SUPPLY_KINDS
        and BATTERY in device.supply.values()
    }
    of_supplies = next(iter(supplying)) if len(supplying) == 1 else ""
    found = {}
    for own in inputs.served:
        refs = [ref for ref, _ in own.devices] or ([sources[own.rail]] if own.rail in sources else [])
        feeds = {feed_of_device(module, ref) for ref in refs}
        only = module.feeds[0] if len(module.feeds) == 1 else of_supplies
        found[own.load_id] = (next(iter(feeds)) if len(feeds) == 1 else "") if refs else only
    return found


def comes_back(load: Load) -> bool:
    """Tell whether the current of a load returns through its module."""
    return load.drive not in CHASSIS_RETURN or (load.wire_count is not None and load.wire_count > 1)


def up_to(calc: Gate, value: float | Range, what: str) -> Value:
    """Return the bound of a current of which nothing says whether it flows where it is asked for.

    Args:
        calc: Gate.
        value: The current, if it does [A].
        what: What is not known.
    """
    bound: Value = calc.given(at_most(ends(value)[1], frozenset((what,))), f"up to all of it, by the {what}")
    return bound


class _Drawing:
    """A module in one mode."""

    def __init__(
        self,
        calc: Gate,
        inputs: ModuleInputs,
        loads: LoadStage,
        trees: Trees,
        feed_of: Mapping[str, str],
        mode: str,
    ) -> None:
        self.calc = calc
        self.inputs = inputs
        self.trees = trees
        self.feed_of = feed_of
        self.loads = loads
        self.each = loads.sums[mode].each
        self.row_of = {load_id: row for row, load_id in enumerate(self.each.ids)}
        self.on = [own for own in inputs.served if own.load_id in self.row_of]
        self.heating_a = {own.load_id: self._heating(own, mode) for own in self.on}

    def draw(self, feed: str) -> FeedDraw:
        """What one of its feeds carries."""
        here = [own for own in self.on if self.feed_of[own.load_id] in {"", feed}]
        plus = [own for own in here if self._load(own).drive not in PLUS_ELSEWHERE]
        back = [own for own in here if comes_back(self._load(own))]
        typ = self.calc.total([own.load_id for own in plus], self._values(plus, self.each.mean_typ_a))
        return FeedDraw(
            typ_a=self.calc.total(("loads", "electronics"), (typ, self._electronics(self.trees.typ, feed))),
            on=self._on(plus, self._values(plus, self.each.on_a), self._values(plus, self.each.inrush_a)),
            heating=self._on(plus, [self.heating_a[own.load_id] for own in plus], None),
            electronics_a=self._electronics(self.trees.worst, feed),
            returned=self._on(back, [self.heating_a[own.load_id] for own in back], None),
        )

    def _load(self, own: Served) -> Load:
        return self.inputs.loads[own.load_id]

    def _values(self, served: Sequence[Served], values: Sequence[Value]) -> list[Value]:
        return [self._bounded(own.load_id, values[self.row_of[own.load_id]]) for own in served]

    def _bounded(self, load_id: str, value: Value) -> Value:
        """A value of a load; where nothing says on which feed it hangs it is an upper bound."""
        if self.feed_of[load_id]:
            return value
        return None if value is None else self._up_to(value, f"feed of {load_id}")

    def _up_to(self, value: float | Range, what: str) -> Value:
        """A current of which nothing says whether this feed carries it."""
        return up_to(self.calc, value, what)

    def _heating(self, own: Served, mode: str) -> Value:
        current = self.loads.sums[mode].max[self.loads.columns.row_of[own.load_id]]
        steady = drawn_a(self.calc, self.inputs.proposal, own.load_id, mode, current, has_stage=bool(own.stage))
        if steady is not None and self._load(own).time_share_ratio.get(mode) is None:
            steady = self._up_to(steady, f"time share of {own.load_id} in {mode}")
        return self._bounded(own.load_id, steady)

    def _on(self, served: Sequence[Served], on: Sequence[Value], inrush: Sequence[Value] | None) -> OnCurrents:
        none: Value = self.calc.given(0.0, "steady")
        starts = [none] * len(on) if inrush is None else inrush
        rows = list(zip(served, on, starts, strict=True))
        alone = [row for row in rows if row[0].load_id not in self.loads.columns.grouped]
        names = [own.load_id for own, _, _ in alone]
        return OnCurrents(
            self.calc.total(names, [value for _, value, _ in alone]),
            self.calc.largest(names, [start for _, _, start in alone]),
            tuple(
                Grouped(own.load_id, self._load(own), value, start)
                for own, value, start in rows
                if own.load_id in self.loads.columns.grouped
            ),
        )

    def _electronics(self, tree: SupplyTree, on: str) -> Value:
        """Own current of the devices on a feed."""
        module = self.inputs.module
        if len(module.feeds) == 1 and all(feed_of_device(module, ref) for ref in module.devices):
            return tree.battery_a
        keys: list[str] = []
        currents: list[Value] = []
        for ref, device in module.devices.items():
            feed = feed_of_device(module, ref)
            if device.counted_in_load or feed not in {"", on}:
                continue
            values = self._inputs_a(tree, ref)
            if not values:
                continue
            current = self.calc.total(list(values), list(values.values()))
            if not feed and current is not None:
                current = self._up_to(current, f"feed of {self.inputs.id}.{ref}")
            keys.append(f"{self.inputs.id}.{ref}")
            currents.append(current)
        for key in module.items:
            part = self.inputs.parts.get(key)
            if part is None or part.kind not in KINDS_WITHOUT_SUPPLY:
                keys.append(f"{self.inputs.id} items.{key}")
                currents.append(None)
        return self.calc.total(keys, currents)

    def _inputs_a(self, tree: SupplyTree, ref: str) -> dict[str, Value]:
        """Currents of a device through its battery inputs; of what hangs on nothing, what a supply takes for it."""
        device = self.inputs.module.devices[ref]
        part = self.inputs.parts.get(device.part)
        if part is None or (not part.supplies and part.kind not in KINDS_WITHOUT_SUPPLY):
            on_rails = bool(device.supply) and BATTERY not in device.supply.values()
            return {} if on_rails else {"supplies": None}
        fed_by = {name: tree.plan.fed_by.get((ref, name), "") for name in part.supplies}
        return {
            f"supply.{name}": tree.input_a(ref, name) if rail else tree.unfed_a.get((ref, name))
            for name, rail in fed_by.items()
            if rail in {"", BATTERY}
        }
