"""Air at the boards of a module: as warm as assumed, or as the heat of the module itself makes it.

Junction temperatures are those of single chips on their reference boards; what the other chips of the housing do to
them comes in by this air alone.
"""

from bomtui.engine.box_heat import Box, at_most_on, box_heat, housing_of
from bomtui.engine.calc import Gate, formula
from bomtui.engine.driver_columns import heat_mode
from bomtui.engine.driver_heat import HeatCorner, driver_losses
from bomtui.engine.heat import loop_gain_ratio
from bomtui.engine.supply_range import supply_high_v
from bomtui.model.bound import Range, Value, at_least, ends, exceeds, is_bounded, unknown_names
from bomtui.model.part import Part
from bomtui.model.proposal import Proposal
from bomtui.model.vehicle import Mode


@formula(
    "cold_conduction_w * slope_per_k / (1 - gain_ratio)",
    "W/K",
    "derivative of the heat of a switch in balance by the air around it (derivation)",
)
def warming_w_per_k(cold_conduction_w: float, slope_per_k: float, gain_ratio: float) -> float:
    """Heat that a switch makes more for every kelvin of warmer air.

    Args:
        cold_conduction_w: Conduction loss at 25 degC [W].
        slope_per_k: Rise of its on-resistance per kelvin [1/K].
        gain_ratio: Loop gain of heat and on-resistance, below 1.

    Source: derivation from P = P0 + K (1 + a (Ta + theta P - 25)).
    """
    return cold_conduction_w * slope_per_k / (1 - gain_ratio)


@formula(
    "rated_rise_k / rated_power_w * warming_w_per_k",
    "",
    "loop gain of the air in a housing and the heat of the chips in it (derivation)",
)
def box_gain_ratio(rated_rise_k: float, rated_power_w: float, warming_w_per_k: float) -> float:
    """Loop gain of a housing; from 1 upwards air and chips drive each other up.

    Args:
        rated_rise_k: Rise of the air at the heat that the housing carries away [K].
        rated_power_w: That heat [W], above 0.
        warming_w_per_k: Heat that its chips make more for every kelvin of warmer air [W/K].

    Source: derivation from rise = P(rise) rated rise / rated power.
    """
    return rated_rise_k / rated_power_w * warming_w_per_k


@formula(
    "max(assumed_rise_k, assumed_rise_k + (rated_rise_k / rated_power_w * box_w - assumed_rise_k) / (1 - gain_ratio))",
    "K",
    "rise of the air in a housing in proportion to the heat in it, in balance with heat that follows the air"
    " (derivation; the proportion is common practice)",
)
def box_rise_k(
    assumed_rise_k: float, rated_rise_k: float, rated_power_w: float, box_w: float, gain_ratio: float
) -> float:
    """Rise of the air in a housing over the air around it, never below what is assumed.

    Args:
        assumed_rise_k: Rise at which the heat was computed, and the least that is counted with [K].
        rated_rise_k: Rise at the heat that the housing carries away [K].
        rated_power_w: That heat [W], above 0.
        box_w: Heat of all chips at the assumed rise [W].
        gain_ratio: Loop gain of air and chips, below 1.

    Source: proportion of heat and rise is common practice, no source; the balance is a derivation.
    """
    over_k = rated_rise_k / rated_power_w * box_w - assumed_rise_k
    return max(assumed_rise_k, assumed_rise_k + over_k / (1 - gain_ratio))


def air_rise(calc: Gate, box: Box, proposal: Proposal) -> Value:
    """Return the rise of the air at the boards of a module over its zone [K]: that of the mode that warms it most.

    Modes that are shorter than a setting do not warm it up. A module without a known housing has the rise that is
    assumed, and chips that hang on no rail count nothing, as they are wired.

    Args:
        calc: Gate.
        box: The module.
        proposal: For modes and settings.
    """
    assumed_k = proposal.settings.heat.case_rise_k
    housing = housing_of(box)
    if housing is None:
        return assumed_k
    long = [mode for mode in box.awake if _warms(proposal, mode)]
    heats = box_heat(calc, box, wired_only=True)
    rises = [_rise(calc, box, housing[1], proposal, mode, heats[mode]) for mode in long]
    warmest = calc.largest(long, rises)
    # Heat that at its most does not warm the air beyond what is assumed leaves nothing open.
    is_assumed = warmest is not None and ends(warmest)[1] == assumed_k
    return assumed_k if not long or is_assumed else warmest


def _warms(proposal: Proposal, mode: str) -> bool:
    time_s = proposal.modes[mode].duration_s
    return time_s is None or time_s >= proposal.settings.limits.box_time_s


def _rise(calc: Gate, box: Box, housing: Part, proposal: Proposal, mode: str, box_w: Value) -> Value:
    def risen(gain_ratio: Value) -> Value:
        return calc(
            box_rise_k,
            assumed_rise_k=proposal.settings.heat.case_rise_k,
            rated_rise_k=housing.case_rise_k,
            rated_power_w=housing.case_power_w,
            box_w=box_w,
            gain_ratio=gain_ratio,
        )

    gain = calc(
        box_gain_ratio,
        rated_rise_k=housing.case_rise_k,
        rated_power_w=housing.case_power_w,
        warming_w_per_k=_warming(calc, box, proposal.modes[mode], mode),
    )
    if exceeds(calc.given(1.0, "loop gain at which air and chips drive each other up"), gain) is True:
        return risen(gain)
    # Without a balance, or where nobody knows whether there is one, the chips alone warm the air at least.
    alone = risen(calc.given(0.0, "at least the heat at the assumed rise"))
    if alone is None:
        return None
    missing = unknown_names(gain) | frozenset((f"whether the air in {box.id} has a balance",))
    least: Value = calc.given(at_least(ends(alone)[0], missing), "at least what the heat at the assumed rise makes")
    return least


def _warming(calc: Gate, box: Box, data: Mode, mode: str) -> Value:
    """Return the heat that the drivers and FETs of a module make more for every kelvin of warmer air [W/K]."""
    drivers, sums = box.output.drivers, box.output.load_stage.sums[mode]
    corner = HeatCorner(sums.max, supply_high_v(data), worst=True)
    doing = heat_mode(drivers, mode, sums.heat_ratios, sums.mean_ratios)
    cold_w, _ = driver_losses(calc, drivers, doing, corner)
    gains = calc.each(
        loop_gain_ratio,
        drivers.refs,
        theta_k_per_w=drivers.theta,
        cold_conduction_w=cold_w,
        slope_per_k=drivers.slope,
    )
    warming = [_warmer(calc, cold, slope, gain) for cold, slope, gain in zip(cold_w, drivers.slope, gains, strict=True)]
    names = [f"{box.id}.{ref} warming" for ref in drivers.refs]
    for ref, heats in box.fets.items():
        own = next(heat for heat in heats if heat.mode == mode)
        most = _warmer(calc, _as_wired(own.conduction_w), own.slope_per_k, _as_wired(own.gain_ratio))
        names.append(f"{box.id}.{ref} warming")
        warming.append(at_most_on(calc, most, f"{box.id}.{ref} mean power", wired_only=True))
    return calc.total(names, warming)


def _as_wired(value: Value) -> Value:
    """Return a figure of a FET without what unwired chips may add to it."""
    return value.low if isinstance(value, Range) and not is_bounded(value) else value


def _warmer(calc: Gate, cold_w: Value, slope_per_k: Value, gain_ratio: Value) -> Value:
    """Return the heat that one switch makes more for every kelvin of warmer air [W/K]; None where it may run away."""
    if exceeds(calc.given(1.0, "loop gain at which heat runs away"), gain_ratio) is not True:
        return None
    return calc(warming_w_per_k, cold_conduction_w=cold_w, slope_per_k=slope_per_k, gain_ratio=gain_ratio)
