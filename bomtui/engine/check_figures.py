"""Figures that checks hold against limits, by the names under which they can be explained."""

from collections.abc import Iterator

from bomtui.engine.battery_drain import drains
from bomtui.engine.battery_side import on_battery, reversed_degc
from bomtui.engine.box_heat import box_heat
from bomtui.engine.circuits import load_circuits, proposed_area
from bomtui.engine.crank import cranked_supplies
from bomtui.engine.diagnosis_coverage import coverages
from bomtui.engine.electrics import Electrics
from bomtui.engine.feed_contacts import fed_through
from bomtui.engine.feed_low import low_currents
from bomtui.engine.feed_start import worst_start
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
        **dict(_chips(electrics)),
        **dict(_boxes(electrics)),
        **dict(_turn_offs(electrics)),
        **dict(_starts(electrics)),
        **dict(_supplies(electrics)),
        **dict(_feeds(electrics, rollup)),
        **dict(_circuits(electrics, rollup)),
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


def _chips(electrics: Electrics) -> Iterator[tuple[str, Value]]:
    for module_id, chips in electrics.chip_degc_max.items():
        for ref, junctions in chips.items():
            for mode, junction in junctions.items():
                yield f"{Address(module_id, ref)}:junction_on_degc@{mode}/max", junction


def _boxes(electrics: Electrics) -> Iterator[tuple[str, Value]]:
    for module_id, box in electrics.boxes.items():
        yield f"{module_id}:board_air_degc/max", electrics.air_degc[module_id]
        for mode, heat in box_heat(electrics.calc, box).items():
            yield f"{module_id}:box_heat_w@{mode}/max", heat


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


def _feeds(electrics: Electrics, rollup: Rollup) -> Iterator[tuple[str, Value]]:
    for feed_id, current in low_currents(electrics).items():
        yield f"feeds.{feed_id}:low_current_a/max", current
    for feed in rollup.feeds.values():
        start = worst_start(electrics, feed)
        if start is not None:
            unit = "a2s" if start.unit == "A2s" else "a"
            yield f"feeds.{feed.id}:start_{unit}@{start.mode}/max", start.measured
            yield f"feeds.{feed.id}:start_limit_{unit}@{start.mode}/max", start.limit
    protections = {feed_id: own.protection_a for feed_id, own in rollup.feeds.items()}
    for own in fed_through(electrics, rollup.modules, protections):
        for way, currents, limit in (
            ("feed", own.supply_a, own.supply_limit_a),
            ("ground", own.ground_a, own.ground_limit_a),
        ):
            yield f"{own.module}:{way}_contacts_limit_a.{own.feed}/max", limit
            for mode, current in currents.items():
                yield f"{own.module}:{way}_contacts_a.{own.feed}@{mode}/max", current


def _circuits(electrics: Electrics, rollup: Rollup) -> Iterator[tuple[str, Value]]:
    for own in load_circuits(electrics, rollup.modules):
        yield f"{own.load_id}:wire_current_a/max", own.heating_a
        yield f"{own.load_id}:contact_limit_a/max", own.contacts.contact_a
        yield f"{own.load_id}:wire_drop_v/max", own.drop_v
        yield f"{own.load_id}:wire_drop_allowed_v/max", own.allowed_v
        yield f"{own.load_id}:wire_ampacity_a/max", own.ampacity_a
        yield f"{own.load_id}:proposed_wire_area_m2/max", proposed_area(electrics.calc, own)
