"""What is left of the supply while the engine is cranked, for supplies and for drivers."""

from collections.abc import Iterator
from dataclasses import dataclass

from bomtui.engine.calc import formula
from bomtui.engine.electrics import Electrics
from bomtui.engine.supply import INPUT
from bomtui.engine.supply_range import supply_low_v
from bomtui.model.bound import Value, at_most, ends, exceeds
from bomtui.model.ids import Address, natural_key
from bomtui.model.load import Load
from bomtui.model.part import SUPPLY_KINDS, Part
from bomtui.model.variant import BATTERY, Device, Module

CRANKING = "cranking"
STEP_UP = frozenset(("boost", "buck-boost", "boost-buck"))
"""Topologies whose output may lie above their input."""


@formula("supply_v - drop_v", "V", "Kirchhoff's voltage law")
def behind_diode_v(supply_v: float, drop_v: float) -> float:
    """Voltage behind the reverse-battery protection.

    Args:
        supply_v: Supply voltage [V].
        drop_v: Voltage across the protection [V].

    Source: Kirchhoff's voltage law.
    """
    return supply_v - drop_v


@formula("output_v * (1 - tolerance_ratio) + dropout_v", "V", "definition of drop-out")
def least_input_v(output_v: float, tolerance_ratio: float, dropout_v: float) -> float:
    """Input voltage below which a supply that steps down leaves its tolerance.

    Args:
        output_v: Nominal output voltage [V].
        tolerance_ratio: Tolerance of the output.
        dropout_v: Input over output voltage that it needs [V].

    Source: definition.
    """
    return output_v * (1 - tolerance_ratio) + dropout_v


@dataclass(frozen=True, slots=True)
class CrankedSupply:
    """A supply of a module that is needed while the engine is cranked, in one mode.

    Attributes:
        address: Its address.
        part: Its part.
        mode: The mode.
        input_v: Lowest voltage at its input.
        needed_v: Lowest input voltage at which its output is good.
    """

    address: Address
    part: Part
    mode: str
    input_v: Value
    needed_v: Value


def cranking_modes(electrics: Electrics) -> list[str]:
    """Return the modes in which the engine is cranked and the electronics are awake."""
    return [mode for mode in electrics.awake if electrics.proposal.modes[mode].engine == CRANKING]


def lowest_v(electrics: Electrics, mode: str) -> Value:
    """Return the lowest supply voltage of a mode [V]: its dip, or the low end of its range.

    Every cranking dips: without a dip it is at most that low end.
    """
    data = electrics.proposal.modes[mode]
    if data.supply_dip_v is not None:
        return data.supply_dip_v
    low_v = supply_low_v(data)
    if low_v is None or data.engine != CRANKING:
        return low_v
    return at_most(ends(low_v)[1], frozenset(("dip of the supply",)))


def is_needed(load: Load, mode: str) -> bool:
    """Tell whether a load is, or may be, in use while the engine is cranked."""
    return load.needed_in_crank or load.time_share_ratio.get(mode) != 0


def cranked_supplies(electrics: Electrics) -> Iterator[CrankedSupply]:
    """Yield every supply that makes a rail, for every mode in which the engine is cranked and its module is needed."""
    for module_id in sorted(electrics.variant.modules, key=natural_key):
        module = electrics.variant.modules[module_id]
        served = [electrics.proposal.loads[own.load_id] for own in electrics.serving.per_module[module_id]]
        sources = {rail.source for rail in module.rails.values()}
        for mode in cranking_modes(electrics):
            if not any(is_needed(load, mode) for load in served):
                continue
            for ref in sorted(sources & module.devices.keys(), key=natural_key):
                part = electrics.snapshot.parts.get(module.devices[ref].part)
                if part is not None and part.kind in SUPPLY_KINDS:
                    given_v = _input_v(electrics, module, module.devices[ref], mode)
                    yield CrankedSupply(
                        Address(module_id, ref), part, mode, given_v, _needed_v(electrics, part, given_v)
                    )


def _input_v(electrics: Electrics, module: Module, device: Device, mode: str) -> Value:
    rail = device.supply.get(INPUT, "")
    if rail != BATTERY:
        found = module.rails.get(rail)
        return None if found is None else found.voltage_v
    low_v = lowest_v(electrics, mode)
    if device.behind_reverse_fet is False:
        return low_v
    for other in module.devices.values():
        part = electrics.snapshot.parts.get(other.part)
        if part is not None and part.kind == "reverse":
            return electrics.calc(behind_diode_v, supply_v=low_v, drop_v=part.dropout_v)
    return low_v


def _needed_v(electrics: Electrics, part: Part, given_v: Value) -> Value:
    least_v = part.operating_min_v
    if part.topology in STEP_UP:
        return least_v
    tolerance = part.output_tolerance_ratio
    dropout: Value = part.dropout_v
    if part.converter == "switching":
        if not part.topology and exceeds(part.output_v, given_v):
            return None  # whether it steps down or up decides
        if dropout is None:
            dropout = electrics.calc.given(0.0, "a converter that stays fully on drops next to nothing")
    passed_v = electrics.calc(
        least_input_v,
        output_v=part.output_v,
        tolerance_ratio=electrics.proposal.settings.limits.output_tolerance_ratio if tolerance is None else tolerance,
        dropout_v=dropout,
    )
    if least_v is None or passed_v is None:
        return None
    return passed_v if exceeds(passed_v, least_v) else least_v
