"""Heat of a device and the junction temperature that follows from it.

The figures here are means over a mode: they serve energy and the heat of a box. Whether a chip survives while its
loads are on is a different question, asked at the on-current.
"""

from bomtui.engine.calc import Gate, formula
from bomtui.model.bound import Range, Value, at_least, exceeds


@formula(
    "rds_on_ohm * paths / parallel ** 2",
    "ohm",
    "Kirchhoff's laws: resistances in series add, of equal ones in parallel each carries its share of the current",
)
def path_resistance_ohm(rds_on_ohm: float, paths: float, parallel: float) -> float:
    """Resistance by which the whole current of a load heats one device, as if the chip were at 25 degC.

    Args:
        rds_on_ohm: On-resistance at 25 degC of one channel, or one path through a bridge [ohm].
        paths: Channels or paths of this device that carry the current at one time.
        parallel: Equal shares into which the current is split.

    Source: Kirchhoff's laws.
    """
    return rds_on_ohm * paths / parallel**2


@formula("current_a ** 2 * path_resistance_ohm * mean_ratio", "W", "Joule's law, at 25 degC, mean over the mode")
def conduction_w(current_a: float, path_resistance_ohm: float, mean_ratio: float) -> float:
    """Mean conduction loss of one load in one device, as if the chip were at 25 degC.

    Args:
        current_a: On-current of the load [A].
        path_resistance_ohm: Resistance by which it heats the device [ohm].
        mean_ratio: Time share times PWM duty.

    Source: Joule's law.
    """
    return current_a * current_a * path_resistance_ohm * mean_ratio


@formula(
    "supply_v * current_a * paths / parallel * (rise_time_s + fall_time_s) * frequency_hz / 2 * time_share_ratio",
    "W",
    "linear edges of voltage and current with freewheel (derivation; both edges counted once)",
)
def inductive_switching_w(
    supply_v: float,
    current_a: float,
    paths: float,
    parallel: float,
    rise_time_s: float,
    fall_time_s: float,
    frequency_hz: float,
    time_share_ratio: float,
) -> float:
    """Switching loss of an inductive load with freewheel under PWM.

    Args:
        supply_v: Supply voltage [V].
        current_a: On-current [A].
        paths: Channels or paths of this device that switch the current.
        parallel: Equal shares into which the current is split.
        rise_time_s: Switch-on edge [s].
        fall_time_s: Switch-off edge [s].
        frequency_hz: PWM frequency [Hz].
        time_share_ratio: Share of the mode's time in which it is on.

    Source: linear edges, current constant while the voltage moves (derivation).
    """
    return supply_v * current_a * paths / parallel * (rise_time_s + fall_time_s) * frequency_hz / 2 * time_share_ratio


@formula(
    "supply_v * current_a * paths / parallel * (rise_time_s + fall_time_s) * frequency_hz / 6 * time_share_ratio",
    "W",
    "linear edges of voltage and current together: integral of V (1 - s) I s over the edge is V I t / 6 (derivation)",
)
def resistive_switching_w(
    supply_v: float,
    current_a: float,
    paths: float,
    parallel: float,
    rise_time_s: float,
    fall_time_s: float,
    frequency_hz: float,
    time_share_ratio: float,
) -> float:
    """Switching loss of a resistive load under PWM.

    Args:
        supply_v: Supply voltage [V].
        current_a: On-current [A].
        paths: Channels or paths of this device that switch the current.
        parallel: Equal shares into which the current is split.
        rise_time_s: Switch-on edge [s].
        fall_time_s: Switch-off edge [s].
        frequency_hz: PWM frequency [Hz].
        time_share_ratio: Share of the mode's time in which it is on.

    Source: linear edges, voltage and current moving together (derivation).
    """
    return supply_v * current_a * paths / parallel * (rise_time_s + fall_time_s) * frequency_hz / 6 * time_share_ratio


@formula("supply_v * current_a", "W", "P = V I")
def consumed_w(supply_v: float, current_a: float) -> float:
    """Power that a chip takes from one supply input and turns into heat.

    Args:
        supply_v: Voltage of the input [V].
        current_a: Current of the input [A].

    Source: P = V I; what a bus driver sends onto its bus counts as its own heat, an upper bound.
    """
    return supply_v * current_a


@formula("(input_v - output_v) * output_a + input_v * quiescent_a", "W", "power balance of a linear supply")
def linear_loss_w(input_v: float, output_v: float, output_a: float, quiescent_a: float) -> float:
    """Heat of a linear supply.

    Args:
        input_v: Input voltage [V].
        output_v: Rail voltage [V].
        output_a: Current of its rails [A].
        quiescent_a: Its own current [A].

    Source: power balance.
    """
    return (input_v - output_v) * output_a + input_v * quiescent_a


@formula(
    "output_v * output_a * (1 / efficiency_ratio - 1) + input_v * quiescent_a", "W", "power balance of a converter"
)
def switching_loss_w(
    input_v: float, output_v: float, output_a: float, efficiency_ratio: float, quiescent_a: float
) -> float:
    """Heat of a switching supply.

    Args:
        input_v: Input voltage [V].
        output_v: Rail voltage [V].
        output_a: Current of its rails [A].
        efficiency_ratio: Output power over input power, above 0.
        quiescent_a: Its own current [A].

    Source: power balance with the definition of efficiency.
    """
    return output_v * output_a * (1 / efficiency_ratio - 1) + input_v * quiescent_a


@formula("cold_ohm * hot_ratio", "ohm", "definition of the hot factor, 150 degC over 25 degC")
def hot_resistance_ohm(cold_ohm: float, hot_ratio: float) -> float:
    """On-resistance at 150 degC.

    Args:
        cold_ohm: On-resistance at 25 degC [ohm].
        hot_ratio: On-resistance at 150 degC over that at 25 degC.

    Source: definition of the ratio.
    """
    return cold_ohm * hot_ratio


@formula("(hot_ratio - 1) / 125", "1/K", "straight line from 25 to 150 degC (common practice)")
def resistance_slope_per_k(hot_ratio: float) -> float:
    """Rise of the on-resistance per kelvin, over its value at 25 degC.

    Args:
        hot_ratio: On-resistance at 150 degC over that at 25 degC.

    Source: straight line between the two values (common practice).
    """
    return (hot_ratio - 1) / 125


@formula("ambient_degc + rise_k", "degC", "local air at the board (common practice)")
def local_air_degc(ambient_degc: float, rise_k: float) -> float:
    """Air temperature at the board.

    Args:
        ambient_degc: Air outside the module [degC].
        rise_k: Rise inside [K].

    Source: common practice.
    """
    return ambient_degc + rise_k


@formula(
    "theta_k_per_w * cold_conduction_w * slope_per_k", "", "loop gain of heat and on-resistance; 1 and above is runaway"
)
def loop_gain_ratio(theta_k_per_w: float, cold_conduction_w: float, slope_per_k: float) -> float:
    """Loop gain of heating and rising on-resistance.

    Args:
        theta_k_per_w: Junction to air [K/W].
        cold_conduction_w: Conduction loss at 25 degC [W].
        slope_per_k: Rise of the on-resistance per kelvin [1/K].

    Returns:
        Below 1 there is a balance; from 1 upwards there is none.

    Source: derivation from Tj = Ta + theta P(Tj).
    """
    return theta_k_per_w * cold_conduction_w * slope_per_k


@formula(
    "(air_degc + theta_k_per_w * (constant_w + cold_conduction_w * (1 - 25 * slope_per_k)))"
    " / (1 - theta_k_per_w * cold_conduction_w * slope_per_k)",
    "degC",
    "closed form of Tj = Ta + theta P(Tj) with on-resistance rising in a straight line (derivation); single chip on the"
    " reference board (JESD51 theta)",
)
def junction_degc(
    air_degc: float, theta_k_per_w: float, constant_w: float, cold_conduction_w: float, slope_per_k: float
) -> float:
    """Junction temperature in balance.

    Args:
        air_degc: Air at the board [degC].
        theta_k_per_w: Junction to air [K/W].
        constant_w: Heat that does not depend on the junction [W].
        cold_conduction_w: Conduction loss at 25 degC [W].
        slope_per_k: Rise of the on-resistance per kelvin [1/K].

    Returns:
        Temperature [degC], meaningful only where the loop gain is below 1.

    Source: derivation; theta as defined in JESD51.
    """
    return (air_degc + theta_k_per_w * (constant_w + cold_conduction_w * (1 - 25 * slope_per_k))) / (
        1 - theta_k_per_w * cold_conduction_w * slope_per_k
    )


@formula(
    "air_degc + theta_k_per_w * power_w", "degC", "definition of theta (JESD51); single chip on the reference board"
)
def plain_junction_degc(air_degc: float, theta_k_per_w: float, power_w: float) -> float:
    """Junction temperature of a chip whose heat does not depend on it.

    Args:
        air_degc: Air at the board [degC].
        theta_k_per_w: Junction to air [K/W].
        power_w: Heat [W].

    Source: definition of theta (JESD51).
    """
    return air_degc + theta_k_per_w * power_w


@formula(
    "constant_w + cold_conduction_w * (1 + slope_per_k * (junction_degc - 25))", "W", "heat at the balanced junction"
)
def hot_power_w(constant_w: float, cold_conduction_w: float, slope_per_k: float, junction_degc: float) -> float:
    """Heat of a switch at its own junction temperature.

    Args:
        constant_w: Heat that does not depend on the junction [W].
        cold_conduction_w: Conduction loss at 25 degC [W].
        slope_per_k: Rise of the on-resistance per kelvin [1/K].
        junction_degc: Junction temperature [degC].

    Source: straight line of the on-resistance over temperature (common practice).
    """
    return constant_w + cold_conduction_w * (1 + slope_per_k * (junction_degc - 25))


@formula("limit_degc - junction_degc", "K", "definition")
def junction_margin_k(limit_degc: float, junction_degc: float) -> float:
    """How far a junction is below its maximum; below 0 where it is above.

    Args:
        limit_degc: Highest junction temperature that the part stands [degC].
        junction_degc: Junction temperature [degC].

    Source: definition.
    """
    return limit_degc - junction_degc


def balance(
    calc: Gate, air_degc: Value, theta_k_per_w: Value, constant_w: Value, cold_w: Value, slope_per_k: Value
) -> tuple[Value, Value, bool]:
    """Return heat [W] and junction temperature [degC] of a switch in balance, and whether it runs away.

    A switch that runs away has neither. Where the unknown part decides whether it does, both are lower bounds.
    """
    gain = calc(loop_gain_ratio, theta_k_per_w=theta_k_per_w, cold_conduction_w=cold_w, slope_per_k=slope_per_k)
    stable = exceeds(calc.given(1.0, "loop gain at which heat runs away"), gain)
    if stable is False:
        return None, None, True
    if stable is None and isinstance(gain, Range):
        low_w, low_degc, _ = balance(
            calc, _least(air_degc), theta_k_per_w, _least(constant_w), _least(cold_w), _least(slope_per_k)
        )
        return _from(calc, low_w, gain.unknown), _from(calc, low_degc, gain.unknown), False
    junction = calc(
        junction_degc,
        air_degc=air_degc,
        theta_k_per_w=theta_k_per_w,
        constant_w=constant_w,
        cold_conduction_w=cold_w,
        slope_per_k=slope_per_k,
    )
    power = calc(
        hot_power_w,
        constant_w=constant_w,
        cold_conduction_w=cold_w,
        slope_per_k=slope_per_k,
        junction_degc=junction,
    )
    return power, junction, False


def _least(value: Value) -> Value:
    return value.low if isinstance(value, Range) else value


def _from(calc: Gate, lowest: Value, unknown: frozenset[str]) -> Value:
    if not isinstance(lowest, float):
        return None
    least: Value = calc.given(at_least(lowest, unknown), "at least what the lowest values give")
    return least
