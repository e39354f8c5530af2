"""Heat of a whole module against what its housing carries away."""

from collections.abc import Mapping

from bomtui.engine.calc import formula
from bomtui.engine.electrics import Electrics
from bomtui.engine.on_heat import OnHeat, own_w
from bomtui.model.bound import Value, at_most, ends
from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.model.rollup import ModuleResult

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
        assumed_rise_k: Rise that junction temperatures count with [K].
        load_ratio: Share of it that may be used.

    Source: common practice, no source.
    """
    return case_power_w * assumed_rise_k / case_rise_k * load_ratio


def box_heat(electrics: Electrics, result: ModuleResult) -> Mapping[str, Value]:
    """Return the heat of all chips of a module [W] per mode, by the mean heat of each at its worst.

    Of the mean heat of a FET it is known that it is at most the heat with all its loads on.

    Args:
        electrics: Figures beyond the rollup.
        result: What the rollup says of the module.
    """
    calc, parts = electrics.calc, electrics.snapshot.parts
    fets = electrics.fet_heat_max[result.id]
    found: dict[str, Value] = {}
    for mode in electrics.awake:
        keys: list[str] = []
        heats: list[Value] = []
        for device in result.devices:
            part = parts.get(device.part)
            if part is not None and part.kind in KINDS_WITHOUT_HEAT:
                continue
            if electrics.variant.modules[result.id].devices[device.ref].carries == "converter":
                continue
            if device.ref in fets:
                keys.append(f"{result.id}.{device.ref} power")
                heats.append(_at_most_on(fets[device.ref], mode, f"{result.id}.{device.ref} mean power"))
                continue
            own = next((heat for heat in device.modes if heat.mode == mode), None)
            keys.append(f"{result.id}.{device.ref} power")
            # A driver without loads, and every other chip, is heated by its supply inputs alone: they are in its heat.
            heats.append(None if own is None or own.runaway else own.power_w.max)
            if part is not None and part.kind in DRIVER_KINDS and device.ref in electrics.drivers[result.id].refs:
                keys.append(f"{result.id}.{device.ref} own supply")
                heats.append(own_w(calc, device.ref, part, electrics.trees[result.id][mode].heat_worst))
        found[mode] = calc.total(keys, heats)
    return found


def _at_most_on(heats: tuple[OnHeat, ...], mode: str, name: str) -> Value:
    power = next(heat.power_w for heat in heats if heat.mode == mode)
    return None if power is None else at_most(ends(power)[1], frozenset((name,)))


def housing_of(electrics: Electrics, module_id: str) -> tuple[str, Part] | None:
    """Return key and part of the housing of a module; None where it has none that is known, or several."""
    items = electrics.variant.modules[module_id].items
    parts = electrics.snapshot.parts
    found = [(key, parts[key]) for key in items if key in parts and parts[key].kind == "housing"]
    return found[0] if len(found) == 1 else None


def allowed(electrics: Electrics, housing: Part) -> Value:
    """Return the heat that may be in a housing [W] for the air in it to rise no more than junctions count with."""
    settings = electrics.proposal.settings
    return electrics.calc(
        allowed_box_w,
        case_power_w=housing.case_power_w,
        case_rise_k=housing.case_rise_k,
        assumed_rise_k=settings.heat.case_rise_k,
        load_ratio=settings.limits.box_load_ratio,
    )
