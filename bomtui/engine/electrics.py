"""What checks read beyond the rollup of a variant: each figure is computed when it is first asked for, and once."""

from collections.abc import Mapping, Sequence
from functools import cached_property

from bomtui.engine.box_air import air_rise
from bomtui.engine.box_heat import Box
from bomtui.engine.calc import PLAIN, Gate
from bomtui.engine.channel_current import ChannelCurrent, currents_by_channel
from bomtui.engine.device_heat import air_in
from bomtui.engine.driver_columns import DriverColumns, driver_columns
from bomtui.engine.feed_current import FeedDraws, feed_draws
from bomtui.engine.fet_heat import fet_heats
from bomtui.engine.heat import plain_junction_degc
from bomtui.engine.load_current import LoadColumns, load_columns, typical_currents, worst_currents
from bomtui.engine.module import ModuleOutput, compute_module
from bomtui.engine.module_inputs import ModuleInputs
from bomtui.engine.module_stages import LoadStage, SupplyStage, Trees, load_stage, supply_stage
from bomtui.engine.on_heat import OnCorner, OnHeat, on_heat
from bomtui.engine.serving import Serving
from bomtui.engine.supply_range import supply_high_v
from bomtui.model.bound import Value
from bomtui.model.ids import Address
from bomtui.model.proposal import Snapshot


class Electrics:
    """Currents, heat and supply of one variant, for checks.

    Attributes:
        calc: Gate.
        snapshot: Proposal and frozen parts.
        variant_id: Id of the variant.
        variant: The variant.
        serving: Which module serves which load.
        awake: Ids of the modes in which the electronics are awake.

    What the rollup of the same snapshot has computed already, its output per module, is taken from there.
    """

    def __init__(
        self,
        snapshot: Snapshot,
        variant_id: str,
        serving: Serving,
        calc: Gate = PLAIN,
        outputs: Mapping[str, ModuleOutput] | None = None,
    ) -> None:
        self.calc = calc
        self.snapshot = snapshot
        self.proposal = snapshot.proposal
        self.variant_id = variant_id
        self.variant = snapshot.proposal.variants[variant_id]
        self.serving = serving
        self._outputs: Mapping[str, ModuleOutput] = {} if outputs is None else outputs
        self.awake: Sequence[str] = [mode for mode, data in self.proposal.modes.items() if data.electronics != "asleep"]

    @cached_property
    def typical_a(self) -> Mapping[str, Mapping[str, Value]]:
        """Current of each served load while it is on, per mode, at its usual supply voltage."""
        return self._currents(worst=False)

    @cached_property
    def worst_a(self) -> Mapping[str, Mapping[str, Value]]:
        """Current of each served load while it is on, per mode, at the worst end of its supply range."""
        return self._currents(worst=True)

    def _currents(self, *, worst: bool) -> dict[str, dict[str, Value]]:
        law = worst_currents if worst else typical_currents
        columns = self._columns
        return {
            mode: dict(zip(columns.ids, law(self.calc, columns, data), strict=True))
            for mode, data in self.proposal.modes.items()
        }

    @cached_property
    def trees(self) -> Mapping[str, Mapping[str, Trees]]:
        """Supply trees per module and mode in which the electronics are awake."""
        return {module_id: stage.trees for module_id, stage in self._supply_stages.items()}

    @cached_property
    def _supply_stages(self) -> Mapping[str, SupplyStage]:
        """Currents of the devices of each module."""
        return {
            module_id: self._outputs[module_id].supply_stage
            if module_id in self._outputs
            else supply_stage(self.calc, self.inputs(module_id), None)
            for module_id in self.variant.modules
        }

    @cached_property
    def feed_draws(self) -> Mapping[str, FeedDraws]:
        """What each module draws from each of its feeds; modules without any are left out."""
        return {
            module_id: self._outputs[module_id].feed_draws
            if module_id in self._outputs
            else feed_draws(
                self.calc, self.inputs(module_id), self.load_stages[module_id], self._supply_stages[module_id]
            )
            for module_id, module in self.variant.modules.items()
            if module.feeds
        }

    @cached_property
    def load_stages(self) -> Mapping[str, LoadStage]:
        """Currents of the loads of each module."""
        return {
            module_id: self._outputs[module_id].load_stage
            if module_id in self._outputs
            else load_stage(self.calc, self.inputs(module_id), None)
            for module_id in self.variant.modules
        }

    @cached_property
    def outputs(self) -> Mapping[str, ModuleOutput]:
        """What the rollup says of each module."""
        return {
            module_id: self._outputs[module_id]
            if module_id in self._outputs
            else compute_module(self.calc, self.inputs(module_id))
            for module_id in self.variant.modules
        }

    def inputs(self, module_id: str) -> ModuleInputs:
        """Return all that the result of a module depends on."""
        return ModuleInputs(
            id=module_id,
            module=self.variant.modules[module_id],
            served=self.serving.per_module[module_id],
            loads=self.proposal.loads,
            parts=self.snapshot.parts,
            proposal=self.proposal,
        )

    @cached_property
    def channel_currents(self) -> Mapping[Address, ChannelCurrent]:
        """Largest current of every channel that carries loads."""
        served = [own for per_module in self.serving.per_module.values() for own in per_module]
        return currents_by_channel(self.calc, served, self.proposal.loads, self.proposal)

    @cached_property
    def drivers(self) -> Mapping[str, DriverColumns]:
        """Drivers that carry load currents, and these loads, per module."""
        return {
            module_id: driver_columns(
                self.calc,
                self.serving.per_module[module_id],
                self._columns.row_of,
                self.proposal.loads,
                module,
                self.snapshot.parts,
                self.proposal.settings,
                self.proposal.vehicle.test_voltage_v,
            )
            for module_id, module in self.variant.modules.items()
        }

    @cached_property
    def heat_typ(self) -> Mapping[str, Mapping[str, tuple[OnHeat, ...]]]:
        """Heat of each driver with its loads on, per module, device and mode, at typical values."""
        return self._heat(worst=False)

    @cached_property
    def heat_max(self) -> Mapping[str, Mapping[str, tuple[OnHeat, ...]]]:
        """Heat of each driver with its loads on, per module, device and mode, at the worst values."""
        return self._heat(worst=True)

    @cached_property
    def fet_heat_max(self) -> Mapping[str, Mapping[str, tuple[OnHeat, ...]]]:
        """Heat of each FET that says what it carries, with its loads on, at the worst values."""
        return fet_heats(self, self.air_degc)

    @cached_property
    def chip_degc_max(self) -> Mapping[str, Mapping[str, Mapping[str, Value]]]:
        """Junction of each device that carries no load current, per module, device and mode, at the worst values."""
        return {module_id: self._chips(module_id, output) for module_id, output in self.outputs.items()}

    def _chips(self, module_id: str, output: ModuleOutput) -> dict[str, dict[str, Value]]:
        carrying = frozenset(output.drivers.refs) | self.fet_heat_max[module_id].keys()
        found: dict[str, dict[str, Value]] = {}
        for device in output.result.devices:
            part = self.snapshot.parts.get(device.part)
            if part is not None and device.ref not in carrying:
                found[device.ref] = {
                    own.mode: self.calc(
                        plain_junction_degc,
                        air_degc=self.air_degc[module_id],
                        theta_k_per_w=part.theta_ja_k_per_w,
                        power_w=own.power_w.max,
                    )
                    for own in device.modes
                }
        return found

    @cached_property
    def boxes(self) -> Mapping[str, Box]:
        """Each module as a source of heat, in air as warm as assumed."""
        fets = fet_heats(self, self.assumed_air_degc)
        return {
            module_id: Box(module_id, module, self.snapshot.parts, self.outputs[module_id], fets[module_id], self.awake)
            for module_id, module in self.variant.modules.items()
        }

    def _heat(self, *, worst: bool) -> dict[str, dict[str, tuple[OnHeat, ...]]]:
        found: dict[str, dict[str, tuple[OnHeat, ...]]] = {}
        for module_id, columns in self.drivers.items():
            per_mode = [on_heat(self.calc, columns, self._corner(module_id, mode, worst=worst)) for mode in self.awake]
            found[module_id] = {ref: tuple(own[ref] for own in per_mode) for ref in columns.refs}
        return found

    def _corner(self, module_id: str, mode: str, *, worst: bool) -> OnCorner:
        data, settings = self.proposal.modes[mode], self.proposal.settings
        trees = self.trees[module_id][mode]
        return OnCorner(
            mode=mode,
            currents=(self.worst_a if worst else self.typical_a)[mode],
            supply_v=supply_high_v(data) if worst else data.supply_nominal_v,
            tree=trees.heat_worst if worst else trees.heat_typ,
            air_degc=self.air_degc[module_id],
            mode_time_s=data.duration_s,
            limits=settings.limits,
            test_voltage_v=self.proposal.vehicle.test_voltage_v,
            worst=worst,
        )

    @cached_property
    def air_degc(self) -> Mapping[str, Value]:
        """Air at the boards of each module, as warm as its own heat makes it and at least as warm as assumed."""
        return {
            module_id: self._air_degc(module_id, air_rise(self.calc, box, self.proposal))
            for module_id, box in self.boxes.items()
        }

    @cached_property
    def assumed_air_degc(self) -> Mapping[str, Value]:
        """Air at the boards of each module as it is assumed to be at least, whatever heat is in it."""
        rise_k = self.proposal.settings.heat.case_rise_k
        return {module_id: self._air_degc(module_id, rise_k) for module_id in self.variant.modules}

    def _air_degc(self, module_id: str, rise_k: Value) -> Value:
        zone = self.proposal.zones.get(self.variant.modules[module_id].zone)
        return air_in(self.calc, None if zone is None else zone.ambient_degc, rise_k)

    @cached_property
    def _columns(self) -> LoadColumns:
        served = [own.load_id for own_loads in self.serving.per_module.values() for own in own_loads]
        loads = {load_id: self.proposal.loads[load_id] for load_id in served}
        return load_columns(self.calc, loads, self.proposal.vehicle)
