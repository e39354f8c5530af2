"""The lines of the sheet: modules with their devices, loads and items, and subsystems with their loads."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, partial

from bomtui.model.ids import natural_key
from bomtui.model.rollup import Rollup
from bomtui.services.present import aligned_text, amount_column_text, channels_text, pins_text
from bomtui.services.vehicle_totals import channels_of, pins_of
from bomtui.tui.from_services.findings import OpenFindings
from bomtui.tui.from_services.kept_lines import Children, Inside, Kept, Line, Price, Source
from bomtui.tui.from_services.line_builder import AMPERE, MICROAMPERE, NO_FINDING, LineBuilder
from bomtui.tui.from_services.names import COMMON, RESERVE, UNPLACED, VEHICLE, Names
from bomtui.tui.from_services.network_lines import network_lines
from bomtui.tui.view import Cells, Place


@dataclass(frozen=True, slots=True)
class _Outermost:
    """An outermost line that is wanted, and how it is built.

    Attributes:
        places: Places whose findings it shows.
        loads: Loads in it.
        records: What else its inside is built from.
        prices: Prices that its inside is built from.
        cost: Cost that the line itself shows.
        inside: Builds its inside.
        around: Builds the line around its inside.
    """

    places: Iterable[str]
    loads: Sequence[str]
    records: tuple[object, ...]
    prices: tuple[Price, ...]
    cost: object
    inside: Callable[[Children], tuple[Place, ...]]
    around: Callable[[Inside], Place]
    hot: Callable[[], frozenset[str]] = frozenset


class Places:
    """The lines of one computed variant; a line that would be built as before is the very same object.

    Args:
        names: Where everything stands.
        rollup: What was computed; None where there is no variant.
        found: Open findings by place.
        mode: Id of the mode that load currents are from; empty for none.
        kept: Lines that were built before; replaced by those that are built now.
    """

    def __init__(
        self, names: Names, rollup: Rollup | None, found: OpenFindings, mode: str, kept: Kept | None = None
    ) -> None:
        self._names = names
        self._rollup = rollup
        self._found = found
        self._mode = mode
        self._kept = Kept() if kept is None else kept
        self._common = (self._namesakes, mode, names.proposal.vehicle, names.proposal.modes.get(mode))
        self._build = LineBuilder(names, rollup, found, mode, self._common)

    def vehicle(self) -> Place:
        """The whole vehicle."""
        every = self._found.words
        count = self._found.count(every)
        if self._rollup is None:
            mark, word = self._found.state(every)
            return Place(VEHICLE, "Whole vehicle", Cells(findings=count), mark, word)
        rollup, cost = self._rollup, self._rollup.cost
        loads = next((mode.loads_at_mode_voltage_a.typ for mode in rollup.modes if mode.mode == self._mode), None)
        cells = Cells(
            channels_text(channels_of(rollup)),
            pins_text(pins_of(rollup)),
            aligned_text(loads, *AMPERE) if self._mode else "",
            aligned_text(rollup.standby_a.typ, *MICROAMPERE),
            amount_column_text(cost.elements["parts"]),
            amount_column_text(cost.total),
            count,
        )
        hot = sum(len(line.inside.hot) for line in self._module_lines.values())
        values = (loads if self._mode else 0.0, rollup.standby_a.typ)
        mark, word = self._build.state(every, hot, values, cost.total)
        return Place(VEHICLE, "Whole vehicle", cells, mark, word or NO_FINDING)

    def modules(self) -> tuple[Place, ...]:
        """Modules in natural order, then networks, and behind them the loads that no module serves."""
        lines = self._module_lines
        modules = tuple(line.place for name, line in lines.items() if name != UNPLACED)
        rest = (lines[UNPLACED].place,) if UNPLACED in lines else ()
        return (*modules, *self._networks(), *rest)

    def _networks(self) -> tuple[Place, ...]:
        if self._rollup is None:
            return ()
        children = Children(self._kept.networks)
        found = network_lines(self._names, self._rollup.networks, self._found, children)
        self._kept.networks = children.built
        return found

    def subsystems(self) -> tuple[Place, ...]:
        """Subsystems in natural order with their loads, then what is common and what is reserve."""
        places = tuple(line.place for line in self._subsystem_lines().values())
        if self._rollup is None:
            return places
        cost = self._rollup.cost
        return (
            *places,
            Place(COMMON, "common: supply, ground and bus", Cells(cost=amount_column_text(cost.common))),
            Place(RESERVE, "reserve: spare channels and ways", Cells(cost=amount_column_text(cost.reserve))),
        )

    @cached_property
    def _module_lines(self) -> Mapping[str, Line]:
        if self._rollup is None:
            return {}
        wanted = {module_id: self._module(self._rollup, module_id) for module_id in self._rollup.modules}
        if self._rollup.unplaced:
            wanted[UNPLACED] = self._unplaced(self._rollup.unplaced)
        self._kept.modules = self._lines(self._kept.modules, wanted)
        return self._kept.modules

    def _module(self, rollup: Rollup, module_id: str) -> _Outermost:
        result, cost = rollup.modules[module_id], rollup.cost.modules[module_id]
        module, loads = self._names.variant.modules[module_id], self._names.standing.loads_in[module_id]
        parts = (*[device.part for device in module.devices.values()], *module.items)
        devices = [f"{module_id}.{ref}" for ref in module.devices]
        return _Outermost(
            places=(module_id, *devices, *map(self._names.load, loads)),
            loads=loads,
            records=(result, module, *map(self._names.snapshot.parts.get, parts)),
            prices=tuple([self._build.price(part, module_id) for part in parts]),
            cost=cost,
            hot=partial(self._build.hot_devices, result),
            inside=partial(self._build.inside_module, result),
            around=partial(self._build.module, result, cost),
        )

    def _unplaced(self, loads: tuple[str, ...]) -> _Outermost:
        return _Outermost(
            places=map(self._names.load, loads),
            loads=loads,
            records=(),
            prices=(),
            cost=None,
            inside=partial(self._build.inside_unplaced, loads),
            around=partial(self._build.unplaced, loads),
        )

    def _subsystem_lines(self) -> Mapping[str, Line]:
        proposal = self._names.proposal
        owned: dict[str, list[str]] = {name: [] for name in proposal.subsystems}
        for load_id in sorted(proposal.loads, key=natural_key):
            owned.setdefault(proposal.loads[load_id].subsystem, []).append(load_id)
        wanted = {name: self._subsystem(name, owned[name]) for name in sorted(owned, key=natural_key)}
        self._kept.subsystems = self._lines(self._kept.subsystems, wanted)
        return self._kept.subsystems

    def _subsystem(self, name: str, loads: Sequence[str]) -> _Outermost:
        devices = [device for load_id in loads for device in self._names.devices_of(load_id)]
        return _Outermost(
            places=(self._names.subsystem(name), *devices, *map(self._names.load, loads)),
            loads=loads,
            records=(self._names.proposal.subsystems.get(name),),
            prices=(),
            cost=None if self._rollup is None else self._rollup.cost.subsystems.get(name),
            inside=partial(self._build.inside_subsystem, loads),
            around=partial(self._build.subsystem, name, loads),
        )

    def _lines(self, kept: Mapping[str, Line], wanted: Mapping[str, _Outermost]) -> dict[str, Line]:
        """Keep the lines that may stay, and build the others."""
        sources = {name: self._source(own) for name, own in wanted.items()}
        held = {name for name in kept.keys() & wanted.keys() if sources[name].allows(kept[name].inside.source)}
        self._build.look_up_currents(load_id for name in wanted if name not in held for load_id in wanted[name].loads)
        lines = {}
        for name, own in wanted.items():
            source, line = sources[name], kept.get(name)
            if line is not None and name in held:
                inside = line.inside
            else:
                children = Children({} if line is None else line.inside.children)
                inside = Inside(own.inside(children), own.hot(), source, children.built)
            around = Source((inside, own.cost), (), source.states)
            if line is None or not around.allows(line.source):
                line = Line(own.around(inside), inside, around)
            lines[name] = line
        return lines

    def _source(self, own: _Outermost) -> Source:
        """Everything that the inside of a line is built from."""
        loads, placements = self._names.proposal.loads, self._names.variant.placements
        records = (*map(loads.get, own.loads), *map(placements.get, own.loads))
        return Source(
            (*self._common, *own.records, *own.loads, *records), own.prices, self._found.states_at(own.places)
        )

    @property
    def _namesakes(self) -> frozenset[str]:
        """Ids that more than one record bears; the very same object as long as they are the same."""
        proposal, modules = self._names.proposal, self._names.variant.modules
        loads = proposal.loads.keys()
        now = frozenset((modules.keys() & loads) | (proposal.subsystems.keys() & (modules.keys() | loads)))
        if now != self._kept.namesakes:
            self._kept.namesakes = now
        return self._kept.namesakes
