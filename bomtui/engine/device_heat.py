"""Heat and junction temperature of parts that load currents do not drive: controllers, supplies, transceivers."""

from bomtui.engine.calc import Gate
from bomtui.engine.driver_heat import Heat
from bomtui.engine.heat import consumed_w, linear_loss_w, local_air_degc, plain_junction_degc, switching_loss_w
from bomtui.engine.supply import SupplyTree
from bomtui.model.bound import Value
from bomtui.model.part import SUPPLY_KINDS, Part


def air_in(calc: Gate, ambient_degc: float | None, rise_k: Value) -> Value:
    """Return the air temperature at the boards of a module [degC]."""
    return calc(local_air_degc, ambient_degc=ambient_degc, rise_k=rise_k)


def device_heat(calc: Gate, place: str, ref: str, part: Part, tree: SupplyTree, air_degc: Value) -> Heat:
    """Return the heat of one device from what it takes at its supply inputs, less what a source gives to its rails.

    A heat that does not depend on the junction always has a balance. The heat of a part without a supply input (a FET,
    a passive) depends on the circuit around it and is not known here.

    Args:
        calc: Gate.
        place: Address of the device.
        ref: Its reference.
        part: Its part.
        tree: Supply currents of its module.
        air_degc: Air at the boards [degC].
    """
    power = _consumed(calc, place, ref, part, tree) if part.supplies else None
    junction = calc(plain_junction_degc, air_degc=air_degc, theta_k_per_w=part.theta_ja_k_per_w, power_w=power)
    return power, junction, False


def _consumed(calc: Gate, place: str, ref: str, part: Part, tree: SupplyTree) -> Value:
    names = list(part.supplies)
    if part.kind in SUPPLY_KINDS and ref in tree.output_a and len(names) == 1:
        return _conversion_loss(calc, ref, names[0], part, tree)
    powers = [calc(consumed_w, supply_v=tree.input_v(ref, name), current_a=tree.input_a(ref, name)) for name in names]
    return calc.total([f"{place} supply.{name}" for name in names], powers)


def _conversion_loss(calc: Gate, ref: str, name: str, part: Part, tree: SupplyTree) -> Value:
    input_v = tree.input_v(ref, name)
    quiescent = tree.plan.own_a[ref, name]
    if part.converter is None:
        return None
    if part.converter == "linear":
        return calc(
            linear_loss_w,
            input_v=input_v,
            output_v=part.output_v,
            output_a=tree.output_a[ref],
            quiescent_a=quiescent,
        )
    efficiency = part.efficiency_ratio.lower if tree.plan.worst else part.efficiency_ratio.middle
    return calc(
        switching_loss_w,
        input_v=input_v,
        output_v=part.output_v,
        output_a=tree.output_a[ref],
        efficiency_ratio=efficiency,
        quiescent_a=quiescent,
    )
