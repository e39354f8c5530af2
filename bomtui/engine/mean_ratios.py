"""Share of a mode by which each load's current counts in the mean, as columns over loads."""

from collections.abc import Sequence
from dataclasses import dataclass

from bomtui.engine.calc import Gate
from bomtui.engine.load_current import LoadColumns
from bomtui.engine.mean_laws import DIMMED_FILAMENT, filament_on_current_a, mean_on_ratio
from bomtui.model.bound import Value


@dataclass(frozen=True, slots=True)
class MeanRatios:
    """Per load, the share of a mode by which its current counts; None where it is not known.

    Attributes:
        time_share: Share of the mode's time in which it is on.
        duty: PWM duty while on, 1 where it has none.
        listed: Time share times duty, the arithmetic of a load list.
        mean: By the law of its kind.
        square: The same of the square of its current.
    """

    time_share: list[Value]
    duty: list[Value]
    listed: list[Value]
    mean: list[Value]
    square: list[Value]


def mean_ratios(calc: Gate, columns: LoadColumns, mode: str) -> MeanRatios:
    """Return the ratios of loads in one mode.

    A load without any PWM duty is fully on while it is on; one that has a duty in other modes only is not known here,
    unless it is off.

    Args:
        calc: Gate.
        columns: Loads as columns.
        mode: Id of the mode.
    """
    shares: list[Value] = [load.time_share_ratio.get(mode) for load in columns.loads]
    duties: list[Value] = [calc.given(1.0, "no PWM duty given: fully on")] * len(shares)
    for row in columns.pulsed:
        if shares[row] != 0:
            duties[row] = columns.loads[row].pwm_duty_ratio.get(mode)
    listed = calc.each(mean_on_ratio, columns.ids, time_share_ratio=shares, duty_ratio=duties)
    if not columns.by_law:
        return MeanRatios(shares, duties, listed, listed, listed)
    means, squares = list(listed), list(listed)
    for laws, rows in columns.by_law.items():
        ids = [columns.ids[row] for row in rows]
        own_shares, own_duties = _at(shares, rows), _at(duties, rows)
        found = [calc.each(law, ids, time_share_ratio=own_shares, duty_ratio=own_duties) for law in laws]
        for row, mean, square in zip(rows, *found, strict=True):
            means[row], squares[row] = mean, square
    return MeanRatios(shares, duties, listed, means, squares)


def dimmed_on_currents(
    calc: Gate, columns: LoadColumns, ratios: MeanRatios, currents: Sequence[Value]
) -> Sequence[Value]:
    """Return on-currents with those of dimmed filaments as they flow inside the on-time of a PWM period.

    Args:
        calc: Gate.
        columns: Loads as columns.
        ratios: `mean_ratios` of the mode.
        currents: Steady on-current of each load [A].
    """
    rows = [row for row in columns.by_law.get(DIMMED_FILAMENT, ()) if ratios.time_share[row] != 0]
    if not rows:
        return currents
    dimmed = list(currents)
    ids = [columns.ids[row] for row in rows]
    own = calc.each(filament_on_current_a, ids, on_current_a=_at(currents, rows), duty_ratio=_at(ratios.duty, rows))
    for row, current in zip(rows, own, strict=True):
        dimmed[row] = current
    return dimmed


def _at(values: Sequence[Value], rows: Sequence[int]) -> list[Value]:
    return [values[row] for row in rows]
