"""Room of one chip for its loads: heat and conduction loss that it may have.

The same balance as `engine.on_heat` and the same ratings as the rules, solved for what loads may add, so that loads can
be summed up chip by chip.
"""

from bomtui.engine.calc import formula


@formula("(limit_degc - air_degc) / theta_k_per_w", "W", "definition of thermal resistance as in JESD51")
def heat_room_w(limit_degc: float, air_degc: float, theta_k_per_w: float) -> float:
    """Heat of a chip at which its junction just reaches a temperature.

    Args:
        limit_degc: Junction temperature that it may reach [degC].
        air_degc: Air at the board [degC].
        theta_k_per_w: Thermal resistance from junction to air [K/W], above 0.

    Source: definition of thermal resistance as in JESD51.
    """
    return (limit_degc - air_degc) / theta_k_per_w


@formula("rds_on_ohm * channels * current_a ** 2", "W", "Joule's law with equal currents on all channels (derivation)")
def conduction_room_w(current_a: float, rds_on_ohm: float, channels: float) -> float:
    """Conduction loss of a chip with the same current on each of its channels.

    Args:
        current_a: Current of each channel [A].
        rds_on_ohm: On-resistance of one channel at 25 degC [ohm].
        channels: Its channels, or paths through its bridges.

    Source: Joule's law.
    """
    return rds_on_ohm * channels * current_a**2


@formula("gain_ratio / (theta_k_per_w * slope_per_k)", "W", "loop gain solved for the conduction loss (derivation)")
def gain_room_w(gain_ratio: float, theta_k_per_w: float, slope_per_k: float) -> float:
    """Conduction loss at 25 degC at which a chip has a loop gain of heat and on-resistance.

    Args:
        gain_ratio: Loop gain that it may have.
        theta_k_per_w: Thermal resistance from junction to air [K/W], above 0.
        slope_per_k: Rise of its on-resistance per kelvin [1/K], above 0.

    Source: derivation from the loop gain of `engine.heat`.
    """
    return gain_ratio / (theta_k_per_w * slope_per_k)
