"""Figures that checks hold against limits, by the names under which they can be explained."""

from collections.abc import Iterator

from bomtui.engine.battery_drain import drains
from bomtui.engine.battery_side import on_battery, reversed_degc
from bomtui.engine.crank import cranked_supplies
from bomtui.engine.diagnosis_coverage import coverages
from bomtui.engine.electrics import Electrics
from bomtui.engine.inrush import starts
from bomtui.engine.on_heat import OnHeat
from bomtui.engine.on_time import dimmed
from bomtui.engine.parking import parked_in_the_cold
from bomtui.engine.rail_load import loaded_supplies
from bomtui.engine.standing_in import standing_in
from bomtui.engine.turn_off import energies, times, turn_offs
from bomtui.model.bound import Value
from bomtui.model.ids import Address
from bomtui.model.rollup import Rollup


def check_figures(electrics: Electrics, rollup: Rollup) -> dict[str, Value]:
    """Return the figures beyond the rollup by name: `ZENG.U1:junction_on_degc@WORK_DAY/max`.

    Args:
        electrics: Figures beyond the rollup, computed with the gate that is to explain them.
        rollup: The rollup, computed with the same gate.
    """
    return {
        **dict(_heats(electrics)),
        **dict(_turn_offs(electrics)),
        **dict(_starts(electrics)),
        **dict(_supplies(electrics)),
        **dict(_stand_ins(electrics)),
        **{
            f"vehicle:diagnosis_{'safety' if own.is_safety else 'comfort'}_ratio/typ": own.ratio
            for own in coverages(electrics)
        },
        **{
            f"vehicle:engine_off_charge_as@{mode}/typ": taken
            for mode, _, taken in drains(electrics.calc, electrics.proposal, rollup)
        },
        "vehicle:parking_cold_s/max": parked_in_the_cold(
            electrics.calc, rollup.standby_a.max, electrics.proposal.vehicle, electrics.proposal.settings
        ),
    }


def _heats(electrics: Electrics) -> Iterator[tuple[str, Value]]:
    for corner, heats in (("typ", electrics.heat_typ), ("max", electrics.heat_max)):
        for module_id, devices in heats.items():
            for ref, modes in devices.items():
                for heat in modes:
                    yield from _heat(str(Address(module_id, ref)), corner, heat)
    for module_id, fets in electrics.fet_heat_max.items():
        for ref, modes in fets.items():
            for heat in modes:
                yield from _heat(str(Address(module_id, ref)), "max", heat)
    for own in on_battery(electrics):
        if own.part.reverse_behaviour == "conducts":
            yield f"{own.address}:junction_reversed_degc/max", reversed_degc(electrics, own)


def _heat(place: str, corner: str, heat: OnHeat) -> Iterator[tuple[str, Value]]:
    yield f"{place}:power_on_w@{heat.mode}/{corner}", heat.power_w
    yield f"{place}:junction_on_degc@{heat.mode}/{corner}", heat.junction_degc
    yield f"{place}:switching_on_w@{heat.mode}/{corner}", heat.switching_w
    yield f"{place}:loop_gain_ratio@{heat.mode}/{corner}", heat.gain_ratio


def _turn_offs(electrics: Electrics) -> Iterator[tuple[str, Value]]:
    for own in turn_offs(electrics):
        if not own.freewheel:
            for corner, worst in (("typ", False), ("max", True)):
                for mode, energy in energies(electrics, own, worst=worst).items():
                    yield f"{own.load_id}:clamp_energy_j@{mode}/{corner}", energy
                for mode, time in times(electrics, own, worst=worst).items():
                    yield f"{own.load_id}:clamp_time_s@{mode}/{corner}", time


def _starts(electrics: Electrics) -> Iterator[tuple[str, Value]]:
    for start in starts(electrics):
        for mode, peak in start.peak_a.items():
            yield f"{start.load_id}:peak_a@{mode}/max", peak
    for own in dimmed(electrics):
        for mode, on_s in own.on_s.items():
            yield f"{own.load_id}:pwm_on_s@{mode.replace(' ', '_')}/typ", on_s


def _stand_ins(electrics: Electrics) -> Iterator[tuple[str, Value]]:
    for pair_id, pair in electrics.proposal.pairs.items():
        if pair.stand_in in electrics.serving.module_of and pair.stand_in_duty_ratio:
            for own in standing_in(electrics, pair_id, pair):
                yield from (
                    (f"{pair.stand_in}:stand_in_current_a.{pair_id}/max", found.measured)
                    for found in own.comparisons
                    if found.check == "current" and not isinstance(found.measured, str)
                )
                yield from (
                    (f"{pair.stand_in}:stand_in_peak_a.{pair_id}@{mode}/max", peak) for mode, peak in own.peak_a.items()
                )


def _supplies(electrics: Electrics) -> Iterator[tuple[str, Value]]:
    for own in loaded_supplies(electrics):
        for mode, output in own.output_a.items():
            yield f"{own.address}:output_a@{mode}/max", output
    for supply in cranked_supplies(electrics):
        yield f"{supply.address}:input_v@{supply.mode}/max", supply.input_v
        yield f"{supply.address}:needed_input_v@{supply.mode}/max", supply.needed_v
