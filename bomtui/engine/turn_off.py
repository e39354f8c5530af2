"""Coils on switches: which of them are turned off against a clamp, how often, and with how much energy."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from bomtui.engine.clamp import allowed_energy_j, clamp_energy_j, clamp_time_s, is_coil, turned_off
from bomtui.engine.electrics import Electrics
from bomtui.engine.supply_range import supply_high_v
from bomtui.model.bound import Value, exceeds
from bomtui.model.ids import Address, natural_key
from bomtui.model.load import Load
from bomtui.model.part import Part

CLAMPING_KINDS = frozenset(("high_side", "low_side", "injector_driver", "ignition_driver"))
"""Kinds of switches that clamp where they have no freewheel path; a bridge has one in its other switch."""
CYCLIC_KINDS = frozenset(("injector", "coil"))
"""Load kinds that are turned off at every working cycle of the engine, PWM or not."""


@dataclass(frozen=True, slots=True)
class TurnOff:
    """A coil on a switch.

    Attributes:
        load_id: The coil.
        device: Address of the switch.
        part: Its part; None where nothing is known of it.
        modes: Modes in which the coil is, or may be, on.
        every_cycle: Whether it is turned off again and again.
        freewheel: Whether its current finds another path than the clamp; None where that is not known.
    """

    load_id: str
    device: Address
    part: Part | None
    modes: tuple[str, ...]
    every_cycle: bool
    freewheel: bool | None


def turn_offs(electrics: Electrics) -> Iterator[TurnOff]:
    """Yield every coil on every switch that carries its current."""
    for module_id in sorted(electrics.variant.modules, key=natural_key):
        for own in electrics.serving.per_module[module_id]:
            load = electrics.proposal.loads[own.load_id]
            if own.stage or not is_coil(load):
                continue
            for ref, _ in own.devices:
                address = Address(own.channels[0].module, ref)
                device = electrics.variant.modules[module_id].devices.get(ref)
                part = None if device is None else electrics.snapshot.parts.get(device.part)
                if part is None or part.kind in CLAMPING_KINDS:
                    yield _turn_off(electrics, own.load_id, load, address, part)


def _turn_off(electrics: Electrics, load_id: str, load: Load, address: Address, part: Part | None) -> TurnOff:
    own = None if part is None else part.freewheel
    return TurnOff(
        load_id=load_id,
        device=address,
        part=part,
        modes=tuple(mode for mode in electrics.awake if load.time_share_ratio.get(mode) != 0),
        every_cycle=load.kind in CYCLIC_KINDS or is_pulsed(load),
        freewheel=True if load.freewheel else own,
    )


def is_pulsed(load: Load) -> bool:
    """Tell whether a load is switched off inside a PWM period in any mode."""
    return any(duty < 1 for duty in load.pwm_duty_ratio.values())


def energies(electrics: Electrics, own: TurnOff, *, worst: bool) -> Mapping[str, Value]:
    """Return the energy of one turn-off [J] per mode; of channels in parallel one may take all of it.

    Args:
        electrics: Figures beyond the rollup.
        own: Coil and switch.
        worst: Take highest supply, largest current and lowest clamp, else the usual ones.
    """
    return _per_mode(electrics, clamp_energy_j, own, worst=worst)


def times(electrics: Electrics, own: TurnOff, *, worst: bool) -> Mapping[str, Value]:
    """Return how long the coil takes to empty [s] per mode; for the arguments see `energies`."""
    return _per_mode(electrics, clamp_time_s, own, worst=worst)


def _per_mode(electrics: Electrics, law: Callable[..., float], own: TurnOff, *, worst: bool) -> Mapping[str, Value]:
    if own.part is None:
        return dict.fromkeys(own.modes)
    load = electrics.proposal.loads[own.load_id]
    clamp = own.part.clamp_v
    currents = electrics.worst_a if worst else electrics.typical_a
    modes = electrics.proposal.modes
    return {
        mode: turned_off(
            electrics.calc,
            law,
            load,
            clamp.lower if worst else clamp.middle,
            supply_high_v(modes[mode]) if worst else modes[mode].supply_nominal_v,
            currents[mode][own.load_id],
            electrics.proposal.vehicle.test_voltage_v,
        )
        for mode in own.modes
    }


def allowed(electrics: Electrics, own: TurnOff) -> Value:
    """Return the energy that one turn-off may take [J]: a share by setting, or what the part stands at every cycle."""
    if own.part is None:
        return None
    single = electrics.calc(
        allowed_energy_j,
        clamp_energy_j=own.part.clamp_energy_j,
        share_ratio=electrics.proposal.settings.limits.clamp_single_ratio,
    )
    if not own.every_cycle:
        return single
    every = electrics.calc(
        allowed_energy_j, clamp_energy_j=own.part.clamp_energy_j, share_ratio=own.part.clamp_repetitive_ratio
    )
    return single if exceeds(every, single) else every
