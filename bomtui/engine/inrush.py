"""Inrush of cold filaments and empty capacitors, start and stall of motors: what one channel has to give."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from bomtui.engine.calc import formula
from bomtui.engine.channel_current import CONVERTED_DRIVES, channel_share, shares_of
from bomtui.engine.electrics import Electrics
from bomtui.engine.load_current import PEAK_FOLLOWS_VOLTAGE, resistive_current_a
from bomtui.engine.supply_range import supply_high_v
from bomtui.model.bound import Value
from bomtui.model.ids import Address, natural_key
from bomtui.model.load import Load
from bomtui.model.part import Part

MOTOR_KINDS = frozenset(("motor", "fan", "stepper"))
"""Load kinds that stand still when they are switched on: their peak is the current of start and stall."""
LIMITING_KINDS = frozenset(("high_side", "low_side", "half_bridge", "full_bridge", "injector_driver"))
"""Kinds whose channels limit the current of a load or trip."""


@formula(
    "supply_v / (supply_v / (inrush_ratio * on_current_a) + loop_ohm)",
    "A",
    "cold filament in series with the loop; 10 to 15 times the steady current in an installation guide, 13 to 15 times"
    " at 2500 to 2800 K by the resistivity of tungsten (Forsythe and Worthing 1925), both seen second-hand",
)
def filament_inrush_a(supply_v: float, on_current_a: float, inrush_ratio: float, loop_ohm: float) -> float:
    """Current of a cold filament at the moment in which it is switched on.

    Args:
        supply_v: Supply voltage [V].
        on_current_a: Steady current at that voltage [A], above 0.
        inrush_ratio: Hot over cold resistance.
        loop_ohm: Resistance of battery, fuse, wires and contacts [ohm].

    Source: Ohm's law; the ratio is from an installation guide (10 to 15) and from the resistivity of tungsten by
    Forsythe and Worthing 1925 (13 to 15), both seen second-hand.
    """
    return supply_v / (supply_v / (inrush_ratio * on_current_a) + loop_ohm)


@formula("capacitance_f * supply_v / rise_time_s", "A", "I = C dV/dt over a straight edge")
def capacitor_inrush_a(capacitance_f: float, supply_v: float, rise_time_s: float) -> float:
    """Current into an empty capacitor behind a switch.

    Args:
        capacitance_f: Capacitance [F].
        supply_v: Supply voltage [V].
        rise_time_s: Switch-on edge [s], above 0.

    Source: I = C dV/dt over a straight edge; what the load draws besides is in its steady current.
    """
    return capacitance_f * supply_v / rise_time_s


@formula("peak_a * share_ratio", "A", "share of a peak that a channel must give (common practice, no source)")
def needed_limit_a(peak_a: float, share_ratio: float) -> float:
    """Current limit that a channel must have for a load to start.

    Args:
        peak_a: Largest inrush of the load [A].
        share_ratio: Share of it without which the load starts late, or never.

    Source: common practice, no source.
    """
    return peak_a * share_ratio


@dataclass(frozen=True, slots=True)
class Start:
    """A load that is switched on by a channel.

    Attributes:
        load_id: The load.
        device: Address of the device of the channel.
        part: Its part; None where nothing is known of it.
        peak_a: Largest current that the channel has to give, per mode in which the load is, or may be, on.
    """

    load_id: str
    device: Address
    part: Part | None
    peak_a: Mapping[str, Value]


def starts(electrics: Electrics) -> Iterator[Start]:
    """Yield every load on every device whose channels limit its current, with its largest peak at the highest supply.

    A cold filament counts with the peak of the list or, if that is more, with the largest ratio of cold to hot; an
    input capacitor where the list gives no peak.
    """
    for module_id in sorted(electrics.variant.modules, key=natural_key):
        for own in electrics.serving.per_module[module_id]:
            load = electrics.proposal.loads[own.load_id]
            if own.stage or load.drive in CONVERTED_DRIVES:
                continue
            habit = electrics.proposal.settings.habit(load.drive)
            parallel = shares_of(habit, own.joined, len(own.channels))
            for ref, _ in own.devices:
                device = electrics.variant.modules[module_id].devices.get(ref)
                part = None if device is None else electrics.snapshot.parts.get(device.part)
                if part is None or part.kind in LIMITING_KINDS:
                    modes = [mode for mode in electrics.awake if load.time_share_ratio.get(mode) != 0]
                    mismatch = electrics.proposal.settings.limits.parallel_mismatch_ratio
                    peaks = {
                        mode: channel_share(
                            electrics.calc, _peak(electrics, own.load_id, load, mode, part), parallel, mismatch
                        )
                        for mode in modes
                    }
                    yield Start(own.load_id, Address(module_id, ref), part, peaks)


def _peak(electrics: Electrics, load_id: str, load: Load, mode: str, part: Part | None) -> Value:
    calc, limits = electrics.calc, electrics.proposal.settings.limits
    high_v = supply_high_v(electrics.proposal.modes[mode])
    listed: Value = load.peak_current_a
    if load.behaviour in PEAK_FOLLOWS_VOLTAGE:
        listed = calc(
            resistive_current_a,
            reference_current_a=load.peak_current_a,
            reference_v=electrics.proposal.vehicle.test_voltage_v,
            supply_v=high_v,
        )
    if load.behaviour == "filament":
        cold = calc(
            filament_inrush_a,
            supply_v=high_v,
            on_current_a=electrics.worst_a[mode][load_id],
            inrush_ratio=limits.inrush_filament_max_ratio,
            loop_ohm=limits.inrush_loop_ohm,
        )
        return cold if listed is None else calc.largest(("list", "cold filament"), (listed, cold))
    if listed is None and load.input_capacitance_f is not None and part is not None:
        return calc(
            capacitor_inrush_a,
            capacitance_f=load.input_capacitance_f,
            supply_v=high_v,
            rise_time_s=part.rise_time_s.lower,
        )
    return listed
