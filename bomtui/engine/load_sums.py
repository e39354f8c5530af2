"""Currents of the loads of one module, or of those that no module serves, in one mode."""

from dataclasses import dataclass
from itertools import compress

from bomtui.engine.calc import Gate
from bomtui.engine.load_current import (
    LoadColumns,
    inrush_a,
    mean_current_a,
    peak_currents,
    typical_currents,
    worst_currents,
)
from bomtui.engine.load_groups import Grouped, OnCurrents
from bomtui.engine.mean_ratios import dimmed_on_currents, mean_ratios
from bomtui.engine.pulse_energy import with_pulses
from bomtui.engine.supply_range import supply_low_v
from bomtui.model.bound import Value
from bomtui.model.vehicle import Mode


@dataclass(frozen=True, slots=True)
class OnLoads:
    """The loads that are, or may be, on in a mode, one by one.

    Attributes:
        ids: Their ids.
        mean_typ_a: Mean at the usual voltage.
        on_a: On-current at the worst voltage.
        inrush_a: Inrush above that.
    """

    ids: list[str]
    mean_typ_a: list[Value]
    on_a: list[Value]
    inrush_a: list[Value]


@dataclass(frozen=True, slots=True)
class LoadSums:
    """Load currents of one mode; per load its mean on-ratio and, per corner, its on-current.

    Attributes:
        test_a: Mean of all loads together, by the currents at the test voltage and the arithmetic of a load list.
        mean_typ_a: Mean of all loads together at the usual voltage of the mode, by the law of each kind.
        mean_max_a: The same at its worst voltage.
        on: What is on at the worst voltage, and the inrush above it.
        each: The same load by load.
        mean_ratios: Per load, the share of the mode by which its current counts in the mean.
        heat_ratios: Per load, the share of the mode by which the square of its current counts in the mean.
        typ: Per load, its on-current at the usual voltage.
        max: Per load, its on-current at the worst voltage.
    """

    test_a: Value
    mean_typ_a: Value
    mean_max_a: Value
    on: OnCurrents
    each: OnLoads
    mean_ratios: list[Value]
    heat_ratios: list[Value]
    typ: list[Value]
    max: list[Value]


def load_sums(calc: Gate, columns: LoadColumns, mode: str, data: Mode) -> LoadSums:
    """Add up the currents of loads in one mode.

    Args:
        calc: Gate.
        columns: Loads as columns.
        mode: Id of the mode.
        data: The mode.
    """
    ratios = mean_ratios(calc, columns, mode)
    shares = ratios.time_share
    # What is off in a mode adds nothing, whatever its current; a load of unknown time share may be on.
    on = [share != 0 for share in shares]
    nothing: list[Value] = [None] * len(shares)
    typ = typical_currents(calc, columns, data) if any(on) else nothing
    largest = worst_currents(calc, columns, data) if any(on) else nothing
    highest = peak_currents(calc, columns, data) if any(on) else nothing
    ids = list(compress(columns.ids, on))
    listed, by_law = list(compress(ratios.listed, on)), list(compress(ratios.mean, on))
    means = [
        calc.each(mean_current_a, ids, current_a=list(compress(currents, on)), mean_ratio=own)
        for currents, own in ((columns.test_a, listed), (typ, by_law), (largest, by_law))
    ]
    on_currents = list(compress(dimmed_on_currents(calc, columns, ratios, largest), on))
    if None in shares:
        on_currents = [
            None if share is None else current for share, current in zip(compress(shares, on), on_currents, strict=True)
        ]
    peaks = calc.each(inrush_a, ids, peak_a=list(compress(highest, on)), on_current_a=on_currents)
    mean_typ_a = with_pulses(calc, columns, ids, means[1], mode, data.supply_nominal_v)
    return LoadSums(
        test_a=calc.total(ids, means[0]),
        mean_typ_a=calc.total(ids, mean_typ_a),
        mean_max_a=calc.total(ids, with_pulses(calc, columns, ids, means[2], mode, supply_low_v(data))),
        on=_on_currents(calc, columns, ids, on_currents, peaks),
        each=OnLoads(ids, mean_typ_a, on_currents, peaks),
        mean_ratios=ratios.mean,
        heat_ratios=ratios.square,
        typ=typ,
        max=largest,
    )


def _on_currents(
    calc: Gate, columns: LoadColumns, ids: list[str], on_a: list[Value], inrush: list[Value]
) -> OnCurrents:
    if not columns.grouped:
        return OnCurrents(calc.total(ids, on_a), calc.largest(ids, inrush))
    alone = [load_id not in columns.grouped for load_id in ids]
    names = list(compress(ids, alone))
    return OnCurrents(
        calc.total(names, list(compress(on_a, alone))),
        calc.largest(names, list(compress(inrush, alone))),
        tuple(
            Grouped(load_id, columns.loads[columns.row_of[load_id]], own_a, own_inrush)
            for load_id, own_a, own_inrush in zip(ids, on_a, inrush, strict=True)
            if load_id in columns.grouped
        ),
    )
