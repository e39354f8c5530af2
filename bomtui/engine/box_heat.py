"""Heat of a whole module against what its housing carries away."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bomtui.engine.calc import Gate, formula
from bomtui.engine.heat import switching_loss_w
from bomtui.engine.module import ModuleOutput
from bomtui.engine.on_heat import OnHeat, own_w
from bomtui.engine.unfed import Unfed, unfed_efficiency, unfed_quiescent
from bomtui.model.bound import Value, at_most, ends, is_bounded
from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.model.settings import Settings
from bomtui.model.variant import Module

KINDS_WITHOUT_HEAT = frozenset(("passive", "connector", "board", "housing"))
"""Kinds whose own heat is left out (common practice, no source)."""


@formula(
    "case_power_w * assumed_rise_k / case_rise_k * load_ratio",
    "W",
    "heat through a housing in proportion to the rise of the air in it (common practice)",
)
def allowed_box_w(case_power_w: float, case_rise_k: float, assumed_rise_k: float, load_ratio: float) -> float:
    """Heat that may be in a housing for the air in it to rise no more than assumed.

    Args:
        case_power_w: Heat that the housing carries away [W].
        case_rise_k: Rise of the air at that heat [K], above 0.
        assumed_rise_k: Rise that is assumed [K].
        load_ratio: Share of it that may be used.

    Source: common practice, no source.
    """
    return case_power_w * assumed_rise_k / case_rise_k * load_ratio


@dataclass(frozen=True, slots=True)
class Box:
    """One module as a source of heat.

    Attributes:
        id: The module.
        module: What is in it.
        parts: Frozen parts.
        output: What the rollup says of it.
        fets: Heat of its FETs with all their loads on, by reference.
        awake: Modes in which the electronics are awake.
    """

    id: str
    module: Module
    parts: Mapping[str, Part]
    output: ModuleOutput
    fets: Mapping[str, tuple[OnHeat, ...]]
    awake: Sequence[str]


def box_heat(calc: Gate, box: Box, *, wired_only: bool = False) -> Mapping[str, Value]:
    """Return the heat of all chips of a module [W] per mode, by the mean heat of each at its worst.

    Of the mean heat of a FET it is known that it is at most the heat with all its loads on.

    Args:
        calc: Gate.
        box: The module.
        wired_only: Leave out chips of which a supply input hangs on nothing.
    """
    return {mode: _in_mode(calc, box, mode, wired_only=wired_only) for mode in box.awake}


def _in_mode(calc: Gate, box: Box, mode: str, *, wired_only: bool) -> Value:
    keys: list[str] = []
    heats: list[Value] = []
    tree = box.output.supply_stage.trees[mode].heat_worst
    carrying = frozenset(box.output.drivers.refs)
    for device in box.output.result.devices:
        part, wiring = box.parts.get(device.part), box.module.devices[device.ref]
        if part is not None and (part.kind in KINDS_WITHOUT_HEAT or wiring.carries == "converter"):
            continue
        if wired_only and part is not None and not all(wiring.supply.get(name) for name in part.supplies):
            continue
        keys.append(f"{box.id}.{device.ref} power")
        if device.ref in box.fets:
            most = next(heat.power_w for heat in box.fets[device.ref] if heat.mode == mode)
            heats.append(at_most_on(calc, most, f"{box.id}.{device.ref} mean power", wired_only=wired_only))
            continue
        own = next((heat for heat in device.modes if heat.mode == mode), None)
        # A driver without loads, and every other chip, is heated by its supply inputs alone: they are in its heat.
        heats.append(None if own is None or own.runaway else own.power_w.max)
        if part is not None and part.kind in DRIVER_KINDS and device.ref in carrying:
            keys.append(f"{box.id}.{device.ref} own supply")
            heats.append(own_w(calc, device.ref, part, tree))
    if not wired_only:
        for unfed in tree.plan.unfed.values():
            keys.append(f"supply of {unfed.name}")
            heats.append(_missing_supply_w(calc, unfed, tree.battery_v))
    return calc.total(keys, heats)


def _missing_supply_w(calc: Gate, unfed: Unfed, battery_v: Value) -> Value:
    """Return the heat of the supply that an input lacks [W], wherever it is mounted: in this housing at most."""
    return calc(
        switching_loss_w,
        input_v=battery_v,
        output_v=unfed.voltage_v,
        output_a=unfed.current_a,
        efficiency_ratio=unfed_efficiency(calc, unfed, battery_v),
        quiescent_a=unfed_quiescent(calc, unfed),
    )


def at_most_on(calc: Gate, most: Value, name: str, *, wired_only: bool) -> Value:
    """Return what is known of a mean: it is at most what it is with all loads on.

    Args:
        calc: Gate.
        most: The figure with all loads on.
        name: Name of the mean.
        wired_only: What unwired chips may add to it counts as little as their own heat.
    """
    if most is None:
        return None
    low, high = ends(most)
    end = low if wired_only and not is_bounded(most) else high
    bounded: Value = calc.given(at_most(end, frozenset((name,))), "at most its heat with all its loads on")
    return bounded


def housing_of(box: Box) -> tuple[str, Part] | None:
    """Return key and part of the housing of a module; None where it has none that is known, or several."""
    found = [(key, box.parts[key]) for key in box.module.items if key in box.parts and box.parts[key].kind == "housing"]
    return found[0] if len(found) == 1 else None


def allowed(calc: Gate, housing: Part, settings: Settings) -> Value:
    """Return the heat that may be in a housing [W] for the air in it to rise no more than assumed.

    Args:
        calc: Gate.
        housing: The housing.
        settings: For the assumed rise, and the share of the heat that may be used.
    """
    return calc(
        allowed_box_w,
        case_power_w=housing.case_power_w,
        case_rise_k=housing.case_rise_k,
        assumed_rise_k=settings.heat.case_rise_k,
        load_ratio=settings.limits.box_load_ratio,
    )
