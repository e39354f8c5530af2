"""All channels of a driver taken together: the current that, on every channel alike, would heat it as its loads do."""

from collections.abc import Mapping

from bomtui.engine.calc import formula
from bomtui.engine.converting import has_on_resistance
from bomtui.engine.driver_columns import BRIDGE_KINDS
from bomtui.engine.electrics import Electrics
from bomtui.model.bound import Value
from bomtui.model.part import Part


@formula(
    "(conduction_w / (rds_on_ohm * channels)) ** 0.5",
    "A",
    "Joule's law: equal currents on all channels that make the same conduction loss (derivation)",
)
def alike_current_a(conduction_w: float, rds_on_ohm: float, channels: float) -> float:
    """Current on every channel of a driver that makes the same conduction loss as the currents of its loads.

    Args:
        conduction_w: Conduction loss with all loads on, as if the chip were at 25 degC [W].
        rds_on_ohm: On-resistance of one channel at 25 degC [ohm], above 0.
        channels: Its channels, or paths through its bridges, above 0.

    Source: Joule's law.
    """
    alike: float = (conduction_w / (rds_on_ohm * channels)) ** 0.5
    return alike


def is_rated(part: Part) -> bool:
    """Tell whether the channels of a driver have an on-resistance, which the current on all of them together heats."""
    return has_on_resistance(part)


def alike_currents(electrics: Electrics, module_id: str, ref: str, part: Part) -> Mapping[str, Value]:
    """Return that current of a driver [A] per mode, with all loads on that may be on.

    Args:
        electrics: Figures beyond the rollup.
        module_id: Its module.
        ref: Its reference.
        part: Its part.
    """
    calc = electrics.calc
    channels: Value = None
    if part.channels is not None and part.kind in BRIDGE_KINDS:
        channels = calc.given(part.channels / 2, "paths through the bridges: a path takes two half bridges")
    elif part.channels is not None:
        channels = calc.given(float(part.channels), "channels of the part")
    return {
        heat.mode: calc(
            alike_current_a,
            conduction_w=heat.conduction_w,
            rds_on_ohm=part.rds_on_ohm.upper,
            channels=channels,
        )
        for heat in electrics.heat_max[module_id][ref]
    }
