"""Current that supplies give to their rails, against what they can give."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from bomtui.engine.calc import formula
from bomtui.engine.electrics import Electrics
from bomtui.engine.load_through import fed_loads, with_load_currents
from bomtui.engine.supply import SupplyTree
from bomtui.engine.supply_range import supply_low_v
from bomtui.model.bound import Value
from bomtui.model.ids import Address, natural_key
from bomtui.model.part import SUPPLY_KINDS, Part


@formula("output_current_a * load_ratio", "A", "reserve of a supply (common practice, no source)")
def usable_output_a(output_current_a: float, load_ratio: float) -> float:
    """Current that may be drawn from a supply with a reserve left.

    Args:
        output_current_a: Current that it can give [A].
        load_ratio: Share of it that may be used.

    Source: common practice, no source.
    """
    return output_current_a * load_ratio


@dataclass(frozen=True, slots=True)
class LoadedSupply:
    """A supply with what is drawn from its rails.

    Attributes:
        address: Its address.
        part: Its part.
        output_a: Current of its rails together, per mode, at the largest currents.
    """

    address: Address
    part: Part
    output_a: Mapping[str, Value]


def loaded_supplies(electrics: Electrics) -> Iterator[LoadedSupply]:
    """Yield every supply with rails and what is drawn from them at most: all buses dominant, all loads on them on."""
    for module_id in sorted(electrics.variant.modules, key=natural_key):
        module = electrics.variant.modules[module_id]
        trees = _trees(electrics, module_id)
        for ref in sorted(module.devices, key=natural_key):
            part = electrics.snapshot.parts.get(module.devices[ref].part)
            if part is None or part.kind not in SUPPLY_KINDS:
                continue
            drawn = {mode: tree.output_a[ref] for mode, tree in trees.items() if ref in tree.output_a}
            if drawn:
                yield LoadedSupply(Address(module_id, ref), part, drawn)


def _trees(electrics: Electrics, module_id: str) -> dict[str, SupplyTree]:
    stage = electrics.load_stages[module_id]
    fed = fed_loads(electrics.inputs(module_id), stage.columns.row_of)
    found = {}
    for mode, trees in electrics.trees[module_id].items():
        whole = electrics.calc.given(1.0, "while it is on")
        sums = replace(stage.sums[mode], mean_ratios=[whole] * len(stage.columns.ids))
        low_v = supply_low_v(electrics.proposal.modes[mode])
        found[mode] = with_load_currents(electrics.calc, trees.heat_worst, fed, sums, mode, low_v)
    return found
