"""Heat of FETs beside a controller or pre-driver, with all loads on whose current they carry.

The currents of several loads are added, as if their pulses fell together: an upper bound.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Protocol

from bomtui.engine.calc import Gate, formula
from bomtui.engine.channel_current import CONVERTED_DRIVES, channel_share
from bomtui.engine.drawn_current import drawn_a, duty_of
from bomtui.engine.heat import (
    balance,
    conduction_w,
    inductive_switching_w,
    loop_gain_ratio,
    path_resistance_ohm,
    resistance_slope_per_k,
    resistive_switching_w,
)
from bomtui.engine.inductive import COIL_KINDS, INDUCTIVE_KINDS
from bomtui.engine.lasting import lasting
from bomtui.engine.mean_laws import law_of
from bomtui.engine.module_stages import Trees
from bomtui.engine.on_heat import OnHeat
from bomtui.engine.on_losses import lasting_w
from bomtui.engine.serving import Served, Serving
from bomtui.engine.supply_range import supply_high_v
from bomtui.model.bound import Range, Value, at_most, ends
from bomtui.model.ids import Address
from bomtui.model.load import Load
from bomtui.model.part import Part
from bomtui.model.proposal import Proposal, Snapshot
from bomtui.model.variant import Device, Module, Variant


@formula("gate_charge_c / gate_current_a", "s", "time in which a gate current moves the gate charge (common practice)")
def gate_edge_s(gate_charge_c: float, gate_current_a: float) -> float:
    """Edge of a FET behind a pre-driver.

    Args:
        gate_charge_c: Total gate charge [C].
        gate_current_a: Current of the pre-driver [A], above 0.

    Source: common practice, no source; all of the charge counts, an upper bound.
    """
    return gate_charge_c / gate_current_a


@formula("1 - duty_ratio", "", "the other part of a PWM period (definition)")
def off_ratio(duty_ratio: float) -> float:
    """Share of a PWM period in which the current of a load flows on through the other switch.

    Args:
        duty_ratio: PWM duty of the load.

    Source: definition; the current is taken as the full one, an upper bound.
    """
    return 1 - duty_ratio


@formula(
    "(1 - duty_ratio) * duty_ratio ** 3",
    "",
    "fan under PWM: its input goes with about D^2.5, so its own current with D^1.5 and the square of that with D^3"
    " (derivation)",
)
def fan_freewheel_ratio(duty_ratio: float) -> float:
    """Share by which the square of a fan's full current counts in the switch that carries it on.

    Args:
        duty_ratio: PWM duty of the fan.

    Source: derivation from the common practice of D^2.5; the current flows all the time.
    """
    return (1 - duty_ratio) * duty_ratio**3


@formula(
    "(1 - duty_ratio) * duty_ratio ** 2",
    "",
    "coil under PWM far faster than its time constant: its current goes with the duty (derivation)",
)
def coil_freewheel_ratio(duty_ratio: float) -> float:
    """Share by which the square of a coil's full current counts in the switch that carries it on.

    Args:
        duty_ratio: PWM duty of the coil.

    Source: derivation from the mean voltage at a resistance.
    """
    return (1 - duty_ratio) * duty_ratio**2


class Feeding(Protocol):
    """What the heat of FETs follows from."""

    calc: Gate
    snapshot: Snapshot
    proposal: Proposal
    variant: Variant
    serving: Serving
    awake: Sequence[str]

    @property
    def worst_a(self) -> Mapping[str, Mapping[str, Value]]:
        """Current of each served load while it is on, per mode."""

    @property
    def trees(self) -> Mapping[str, Mapping[str, Trees]]:
        """Supply trees per module and mode."""


def fet_heats(electrics: Feeding, air_degc: Mapping[str, Value]) -> Mapping[str, Mapping[str, tuple[OnHeat, ...]]]:
    """Return the heat of each FET that says what it carries, per module, FET and mode, at the worst values.

    Args:
        electrics: What it follows from.
        air_degc: Air at the boards of each module [degC].
    """
    found: dict[str, dict[str, tuple[OnHeat, ...]]] = {}
    for module_id, module in electrics.variant.modules.items():
        found[module_id] = {}
        for ref, device in module.devices.items():
            part = electrics.snapshot.parts.get(device.part)
            if part is not None and _carries(part, device):
                fet = _Fet(electrics, air_degc[module_id], module_id, module, ref, device, part)
                found[module_id][ref] = tuple(fet.heat(mode) for mode in electrics.awake)
    return found


def fet_currents(electrics: Feeding) -> Iterator[tuple[Address, str, Value]]:
    """Yield the steady current [A] of each FET, per mode, with all loads on; None where nothing says what it carries.

    Several loads that share a FET may take turns: where that decides, the current lies between the largest of them and
    their sum. A current that several FETs share is divided by a setting for their mismatch.

    Args:
        electrics: What it follows from.
    """
    for module_id, module in electrics.variant.modules.items():
        for ref, device in module.devices.items():
            part = electrics.snapshot.parts.get(device.part)
            if part is None or part.kind != "fet" or (device.carries and not _carries(part, device)):
                continue
            fet = _Fet(electrics, None, module_id, module, ref, device, part)
            for mode in electrics.awake:
                yield Address(module_id, ref), mode, fet.current_a(mode) if device.carries else None


def _carries(part: Part, device: Device) -> bool:
    return part.kind == "fet" and device.carries in {"feed", "load", "freewheel"}


class _Fet:
    """One FET."""

    def __init__(
        self, electrics: Feeding, air_degc: Value, module_id: str, module: Module, ref: str, device: Device, part: Part
    ) -> None:
        self.electrics = electrics
        self.calc = electrics.calc
        self.air_degc = air_degc
        self.module_id = module_id
        self.module = module
        self.ref = ref
        self.device = device
        self.part = part
        self.parallel: Value = self.calc.given(float(self._alike()), "FETs that share the current")

    def _alike(self) -> int:
        """How many FETs share its current, itself among them."""
        first = self.device.in_parallel_with or self.ref
        return 1 + sum(ref != first and device.in_parallel_with == first for ref, device in self.module.devices.items())

    def heat(self, mode: str) -> OnHeat:
        """Its heat in one mode."""
        calc = self.calc
        resistance = calc(
            path_resistance_ohm,
            rds_on_ohm=self.part.rds_on_ohm.upper,
            paths=calc.given(1.0, "one path"),
            parallel=self.parallel,
        )
        if self.device.carries == "feed":
            conduction = self._conducted(self._feed_a(mode), resistance, calc.given(1.0, "all the time"))
            switching: Value = calc.given(0.0, "never switched")
        else:
            served = [own for own in self.electrics.serving.per_module[self.module_id] if self.ref in own.stage]
            keys = [own.load_id for own in served]
            losses = [self._loss(own, mode, resistance) for own in served]
            conduction = calc.total(keys, [loss for loss, _ in losses])
            switching = calc.total(keys, [loss for _, loss in losses])
        theta = self.part.theta_ja_k_per_w
        slope = calc(resistance_slope_per_k, hot_ratio=self.part.hot_rds_on_ratio)
        power, junction, runaway = balance(calc, self.air_degc, theta, switching, conduction, slope)
        gain = calc(loop_gain_ratio, theta_k_per_w=theta, cold_conduction_w=conduction, slope_per_k=slope)
        return OnHeat(mode, power, junction, gain, switching, conduction, slope, switching, runaway)

    def current_a(self, mode: str) -> Value:
        """Its steady current in one mode [A]."""
        if self.device.carries == "feed":
            whole = self._feed_a(mode)
        else:
            served = [own for own in self.electrics.serving.per_module[self.module_id] if self.ref in own.stage]
            found = {own.load_id: self._on_a(own, mode) for own in served}
            whole = self.calc.total(list(found), list(found.values()))
            largest = self.calc.largest(list(found), list(found.values()))
            if len(found) > 1 and largest is not None and whole is not None:
                turns = frozenset((f"whether {', '.join(found)} flow at once",))
                whole = Range(ends(largest)[0], ends(whole)[1], turns)
        mismatch = self.electrics.proposal.settings.limits.parallel_mismatch_ratio
        return channel_share(self.calc, whole, float(self._alike()), mismatch)

    def _on_a(self, own: Served, mode: str) -> Value:
        """Current of one load in it while it is on; behind a converter that of the load itself."""
        load = self.electrics.proposal.loads[own.load_id]
        if load.time_share_ratio.get(mode) == 0:
            off: Value = self.calc.given(0.0, "not in use in this mode")
            return off
        if load.drive in CONVERTED_DRIVES:
            return load.driven_effective_a
        return self.electrics.worst_a[mode][own.load_id]

    def _feed_a(self, mode: str) -> Value:
        """Current of the module behind its reverse-battery protection: electronics, and loads of what is behind it."""
        keys = ["electronics"]
        currents: list[Value] = [self.electrics.trees[self.module_id][mode].worst.battery_a]
        for own in self.electrics.serving.per_module[self.module_id]:
            load = self.electrics.proposal.loads[own.load_id]
            if load.time_share_ratio.get(mode) == 0 or not own.devices:
                continue
            behind = {
                self.module.devices[ref].behind_reverse_fet for ref, _ in own.devices if ref in self.module.devices
            }
            if behind == {False}:
                continue
            current = self._drawn_a(own, mode)
            keys.append(own.load_id)
            if behind != {True} and current is not None:
                current = at_most(ends(current)[1], frozenset((f"whether {own.load_id} passes it",)))
            currents.append(current)
        return self.calc.total(keys, currents)

    def _drawn_a(self, own: Served, mode: str) -> Value:
        """Effective battery current of one load."""
        current = self.electrics.worst_a[mode][own.load_id]
        return drawn_a(self.calc, self.electrics.proposal, own.load_id, mode, current, has_stage=bool(own.stage))

    def _loss(self, own: Served, mode: str, resistance: Value) -> tuple[Value, Value]:
        """Conduction and switching of one load in it."""
        calc, load = self.calc, self.electrics.proposal.loads[own.load_id]
        nothing: Value = calc.given(0.0, "no such loss here")
        share = load.time_share_ratio.get(mode)
        if share == 0:
            return nothing, nothing
        if load.drive in CONVERTED_DRIVES:
            # The battery current says nothing of the shape of the current behind a converter.
            whole = calc.given(1.0, "an effective value holds for pulses and pauses together")
            conduction = self._conducted(load.driven_effective_a, resistance, whole)
            return self._in_a_short_mode(mode, conduction), nothing
        current = self.electrics.worst_a[mode][own.load_id]
        duty = duty_of(calc, load, mode)
        conduction = self._conducted(current, resistance, self._square(load, duty))
        switching = nothing
        if self.device.carries == "load" and load.pwm_duty_ratio and load.pwm_duty_ratio.get(mode) != 1:
            switching = self._switched(own, load, mode, current)
        return self._lasting(own.load_id, mode, conduction), self._lasting(own.load_id, mode, switching)

    def _lasting(self, load_id: str, mode: str, loss: Value) -> Value:
        proposal = self.electrics.proposal
        mode_time_s, thermal_s = proposal.modes[mode].duration_s, proposal.settings.limits.thermal_time_s
        return lasting(self.calc, loss, load_id, proposal.loads[load_id], mode, mode_time_s, thermal_s)

    def _in_a_short_mode(self, mode: str, loss: Value) -> Value:
        """What goes on all the time in a mode that soon ends."""
        mode_time_s = self.electrics.proposal.modes[mode].duration_s
        if mode_time_s is None:
            return loss
        return self.calc(
            lasting_w,
            power_w=loss,
            on_time_s=mode_time_s,
            thermal_time_s=self.electrics.proposal.settings.limits.thermal_time_s,
            time_share_ratio=self.calc.given(0.0, "nothing of it lasts longer than the mode"),
        )

    def _square(self, load: Load, duty: Value) -> Value:
        """Share of a period by which the square of the current counts."""
        if self.device.carries == "freewheel":
            law_off = (
                fan_freewheel_ratio
                if load.kind == "fan"
                else coil_freewheel_ratio
                if load.kind in COIL_KINDS
                else off_ratio
            )
            return self.calc(law_off, duty_ratio=duty)
        law = law_of(load)
        if law is None:
            return duty
        return self.calc(law.square, time_share_ratio=self.calc.given(1.0, "while it is on"), duty_ratio=duty)

    def _conducted(self, current: Value, resistance: Value, ratio: Value) -> Value:
        return self.calc(conduction_w, current_a=current, path_resistance_ohm=resistance, mean_ratio=ratio)

    def _switched(self, own: Served, load: Load, mode: str, current: Value) -> Value:
        edge = self._edge(own)
        law = inductive_switching_w if load.kind in INDUCTIVE_KINDS else resistive_switching_w
        return self.calc(
            law,
            supply_v=supply_high_v(self.electrics.proposal.modes[mode]),
            current_a=current,
            paths=self.calc.given(1.0, "one path"),
            parallel=self.parallel,
            rise_time_s=edge,
            fall_time_s=edge,
            frequency_hz=load.pwm_frequency_hz,
            time_share_ratio=self.calc.given(1.0, "while it is on"),
        )

    def _edge(self, own: Served) -> Value:
        """Edge that the pre-driver of a load gives the FET."""
        drivers = [self.module.devices[ref].part for ref, _ in own.devices if ref in self.module.devices]
        parts = [self.electrics.snapshot.parts.get(key) for key in drivers]
        gate_a = next((part.gate_current_a for part in parts if part is not None), None)
        return self.calc(gate_edge_s, gate_charge_c=self.part.gate_charge_c, gate_current_a=gate_a)
