"""Currents of single loads: the terms that the currents of a module are the sums of."""

from collections.abc import Iterable, Mapping

from bomtui.engine.calc import PLAIN, Gate
from bomtui.engine.load_current import (
    LoadColumns,
    load_columns,
    mean_current_a,
    typical_currents,
    worst_currents,
)
from bomtui.engine.mean_ratios import MeanRatios, dimmed_on_currents, mean_ratios
from bomtui.engine.pulse_energy import with_pulses
from bomtui.engine.standby import sleeping_currents
from bomtui.engine.supply_range import supply_low_v
from bomtui.model.bound import Value
from bomtui.model.proposal import Proposal
from bomtui.model.rollup import Figure
from bomtui.model.vehicle import Mode


def load_figures(proposal: Proposal, calc: Gate = PLAIN) -> dict[str, Value]:
    """Return the currents of every load by name: `L24:on_current_a@WORK_DAY/max`, `L24:mean_current_a@WORK_DAY/typ`.

    The on-current is that of the load switched on, at the usual supply voltage or the worst one, of a dimmed filament
    that within a PWM period; the mean one is over the mode. Modes in which the electronics sleep have no such figure:
    standby current is counted otherwise.

    Args:
        proposal: The proposal.
        calc: Gate; a recorder explains every figure.
    """
    columns = load_columns(calc, proposal.loads, proposal.vehicle)
    figures: dict[str, Value] = {}
    for mode, data in proposal.modes.items():
        if data.electronics == "asleep":
            continue
        ratios = mean_ratios(calc, columns, mode)
        steady = _on_currents(calc, columns, data)
        on = {corner: dimmed_on_currents(calc, columns, ratios, currents) for corner, currents in steady.items()}
        mean = _mean_currents(calc, columns, ratios, steady, mode, data)
        for row, load_id in enumerate(columns.ids):
            for name, corners in (("on_current_a", on), ("mean_current_a", mean)):
                for corner, currents in corners.items():
                    figures[f"{load_id}:{name}@{mode}/{corner}"] = currents[row]
    return figures


def mean_load_currents(proposal: Proposal, mode: str, load_ids: Iterable[str]) -> dict[str, Figure]:
    """Return the mean current of some loads over one mode, at its own voltage [A]; what they draw parked while asleep.

    Args:
        proposal: The proposal.
        mode: Id of the mode.
        load_ids: The loads.
    """
    columns = load_columns(PLAIN, {load_id: proposal.loads[load_id] for load_id in load_ids}, proposal.vehicle)
    data = proposal.modes[mode]
    steady = _on_currents(PLAIN, columns, data)
    if data.electronics == "asleep":
        parked = proposal.vehicle.parked_mode
        off: dict[str, Value] = dict.fromkeys(columns.ids, PLAIN.given(0.0, "off while parked"))
        typ, largest = (
            off | sleeping_currents(PLAIN, columns.ids, columns.loads, currents, parked) for currents in steady.values()
        )
        return {load_id: Figure(typ=typ[load_id], max=largest[load_id]) for load_id in columns.ids}
    mean = _mean_currents(PLAIN, columns, mean_ratios(PLAIN, columns, mode), steady, mode, data)
    return {load_id: Figure(typ=mean["typ"][row], max=mean["max"][row]) for row, load_id in enumerate(columns.ids)}


def current_of(currents: Mapping[str, Figure], load_ids: Iterable[str]) -> Value:
    """Return the typical mean current of some loads together [A]."""
    ids = list(load_ids)
    return PLAIN.total(ids, [currents[load_id].typ for load_id in ids])


def _on_currents(calc: Gate, columns: LoadColumns, mode: Mode) -> dict[str, list[Value]]:
    return {"typ": typical_currents(calc, columns, mode), "max": worst_currents(calc, columns, mode)}


def _mean_currents(
    calc: Gate, columns: LoadColumns, ratios: MeanRatios, steady: Mapping[str, list[Value]], mode: str, data: Mode
) -> dict[str, list[Value]]:
    supply_v: dict[str, Value] = {"typ": data.supply_nominal_v, "max": supply_low_v(data)}
    found = {}
    for corner, currents in steady.items():
        means = calc.each(mean_current_a, columns.ids, current_a=currents, mean_ratio=ratios.mean)
        pulsed = with_pulses(calc, columns, columns.ids, means, mode, supply_v[corner])
        off = calc.given(0.0, "off in this mode")
        found[corner] = [off if share == 0 else mean for share, mean in zip(ratios.time_share, pulsed, strict=True)]
    return found
