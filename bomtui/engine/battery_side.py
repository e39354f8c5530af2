"""Parts that hang on the vehicle's supply, and its extremes: load dump, jump start, reversed battery."""

from collections.abc import Iterator
from dataclasses import dataclass

from bomtui.engine.calc import formula
from bomtui.engine.electrics import Electrics
from bomtui.engine.heat import plain_junction_degc
from bomtui.engine.on_losses import lasting_w
from bomtui.model.bound import Value, at_least, exceeds
from bomtui.model.ids import Address, natural_key
from bomtui.model.limits import Levels, levels_of
from bomtui.model.part import Part
from bomtui.model.variant import BATTERY, Device


@formula("body_diode_v * current_a", "W", "P = V I")
def body_diode_w(body_diode_v: float, current_a: float) -> float:
    """Heat of a switch whose body diodes carry its loads' current backwards.

    Args:
        body_diode_v: Voltage across a body diode [V].
        current_a: Current of all its loads together [A].

    Source: P = V I.
    """
    return body_diode_v * current_a


@dataclass(frozen=True, slots=True)
class OnBattery:
    """A device on the vehicle's supply.

    Attributes:
        address: Its address.
        device: The device.
        part: Its part.
        protected: Whether its current passes the reverse-battery FET of its module; None where that is not said.
    """

    address: Address
    device: Device
    part: Part
    protected: bool | None


def on_battery(electrics: Electrics) -> Iterator[OnBattery]:
    """Yield every device of which a supply input hangs on the battery, and every FET, in natural order."""
    parts = electrics.snapshot.parts
    for module_id in sorted(electrics.variant.modules, key=natural_key):
        module = electrics.variant.modules[module_id]
        has_protection = any(
            parts[device.part].kind == "reverse" for device in module.devices.values() if device.part in parts
        )
        for ref in sorted(module.devices, key=natural_key):
            device = module.devices[ref]
            part = parts.get(device.part)
            if part is None or not (part.kind == "fet" or BATTERY in device.supply.values()):
                continue
            protected = device.behind_reverse_fet if has_protection else False
            yield OnBattery(Address(module_id, ref), device, part, protected)


def stands_v(part: Part) -> Value:
    """Return the voltage that a part survives [V]; at least its highest operating voltage where no maximum is given."""
    given = part.drain_source_v if part.kind == "fet" else part.absolute_max_v
    if given is not None or part.operating_max_v is None:
        return given
    return at_least(part.operating_max_v, frozenset(("absolute maximum",)))


def levels(electrics: Electrics) -> Levels:
    """Return the test voltages of the vehicle."""
    return levels_of(electrics.proposal.settings.levels, electrics.proposal.vehicle.supply)


def dump_v(electrics: Electrics, module_id: str) -> float | None:
    """Return the highest voltage of a load dump at the parts of a module [V], which its suppressor may clamp."""
    level = levels(electrics).load_dump_v
    for key in electrics.variant.modules[module_id].items:
        part = electrics.snapshot.parts.get(key)
        clamp = None if part is None else part.suppressor_clamp_v
        if exceeds(level, clamp):
            level = clamp
    return level


def reversed_degc(electrics: Electrics, own: OnBattery) -> Value:
    """Return the junction of a switch at the end of a reversed battery [degC], its body diodes carrying all its loads.

    Every load counts with its largest current while it is on: that of a reversed battery is no larger.
    """
    calc, limits = electrics.calc, electrics.proposal.settings.limits
    loads: list[str] = []
    currents: list[Value] = []
    for served in electrics.serving.per_module[own.address.module]:
        if own.address.device in dict(served.devices) and not served.stage:
            loads.append(served.load_id)
            per_mode = [electrics.worst_a[mode][served.load_id] for mode in electrics.worst_a]
            currents.append(calc.largest(list(electrics.worst_a), per_mode))
    heat = calc(body_diode_w, body_diode_v=limits.body_diode_v, current_a=calc.total(loads, currents))
    lasting = calc(
        lasting_w,
        power_w=heat,
        on_time_s=limits.reverse_time_s,
        thermal_time_s=limits.thermal_time_s,
        time_share_ratio=calc.given(0.0, "once, not again and again"),
    )
    return calc(
        plain_junction_degc,
        air_degc=limits.reverse_ambient_degc,
        theta_k_per_w=own.part.theta_ja_k_per_w,
        power_w=lasting,
    )
