"""What is compared: the loads that two sides serve, and what each side spends on loads that the other does not have."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

import msgspec

from bomtui.engine.calc import PLAIN
from bomtui.engine.fitment import fitment
from bomtui.engine.quantities import Weights, all_ways
from bomtui.engine.rollup import Computed
from bomtui.model.comparison import Scope
from bomtui.model.ids import natural_key
from bomtui.model.load import Load
from bomtui.model.money import without_rounding
from bomtui.model.variant import Device, Module

WORDS = ("subsystem", "name", "customer_ref", "source", "confidence", "note")
"""Fields of a load that say who it belongs to and where it comes from; no wire and no channel depends on them."""


@dataclass(frozen=True, slots=True)
class Own:
    """What a side spends on loads of its own: those that the other side does not serve, or has in another form.

    Attributes:
        modules: Modules that serve only such loads.
        parts: Quantity per part key, in these modules and of devices that carry only such loads.
        test_ways: Connector ways.
        wire_ends: Wire ends.
        length_m: Metres of wire, as far as they are known.
        places: These modules and devices: `MODULE`, `MODULE.REF`.
    """

    modules: Decimal
    parts: Weights
    test_ways: Decimal
    wire_ends: Decimal
    length_m: Decimal
    places: frozenset[str]


def scope_of(first: Computed, second: Computed) -> Scope:
    """Compare the loads that two variants serve."""
    served, others = first.serving.module_of.keys(), second.serving.module_of.keys()
    both = served & others
    loads, other_loads = first.snapshot.proposal.loads, second.snapshot.proposal.loads
    return Scope(
        only_first=_sorted(served - others),
        only_second=_sorted(others - served),
        changed=_sorted({key for key in both if not _alike(loads[key], other_loads[key])}),
        both=len(both),
    )


def _sorted(loads: set[str]) -> tuple[str, ...]:
    return tuple(sorted(loads, key=natural_key))


def _alike(one: Load, other: Load) -> bool:
    return one is other or _bare(one) == _bare(other)


def _bare(load: Load) -> Load:
    return msgspec.structs.replace(load, **dict.fromkeys(WORDS, ""))


def own_of(side: Computed, only_here: tuple[str, ...], changed: tuple[str, ...]) -> Own:
    """Add up what a side spends on loads of its own.

    A load that both have in another form keeps its module and its chips; its wires and ways are other ones.

    Args:
        side: The computed variant.
        only_here: Loads that only this side serves.
        changed: Loads that both serve in another form.
    """
    alone, other = frozenset(only_here), frozenset((*only_here, *changed))
    variant = side.snapshot.proposal.variants[side.result.variant]
    counting = side.snapshot.proposal.settings.counting
    sums = _Sums()
    places = set()
    with without_rounding():
        for module_id, output in side.modules.items():
            module, served = variant.modules[module_id], side.serving.per_module[module_id]
            ratio = fitment(PLAIN, module.fitment_ratio)
            if served and all(own.load_id in alone for own in served):
                places.add(module_id)
                sums.add_module(ratio, output.quantities.average.parts)
                wiring = output.load_stage.wiring
                sums.add_wires(
                    ratio,
                    wiring.common_ways,
                    wiring.common_wires * counting.wire_ends,
                    wiring.common_length_m,
                )
            else:
                for ref in _devices_for(side, module_id, alone):
                    places.add(f"{module_id}.{ref}")
                    sums.add_part(module.devices[ref].part, device_quantity(module, module.devices[ref]))
            columns, rows = output.load_stage.columns, output.load_stage.wiring.loads
            for load_id, load, row in zip(columns.ids, columns.loads, rows, strict=True):
                if load_id in other:
                    share = ratio * fitment(PLAIN, load.fitment_ratio)
                    sums.add_wires(share, all_ways(row, counting), row.wires * counting.wire_ends, row.length_m)
    return Own(sums.modules, sums.parts, sums.test_ways, sums.wire_ends, sums.length_m, frozenset(places))


def device_quantity(module: Module, device: Device) -> Decimal:
    """Return how often a device is in the average vehicle."""
    return fitment(PLAIN, module.fitment_ratio) * fitment(PLAIN, device.fitment_ratio)


def _devices_for(side: Computed, module_id: str, loads: frozenset[str]) -> list[str]:
    """Return the devices of a module that carry loads, and none but these."""
    carried: dict[str, set[str]] = {}
    for own in side.serving.per_module[module_id]:
        for ref in (*dict(own.devices), *own.stage):
            carried.setdefault(ref, set()).add(own.load_id)
    devices: Mapping[str, Device] = side.snapshot.proposal.variants[side.result.variant].modules[module_id].devices
    return [ref for ref, those in carried.items() if ref in devices and those <= loads]


class _Sums:
    """Amounts that grow load by load."""

    def __init__(self) -> None:
        self.modules = self.test_ways = self.wire_ends = self.length_m = Decimal(0)
        self.parts: Weights = {}

    def add_part(self, key: str, quantity: Decimal) -> None:
        self.parts[key] = self.parts.get(key, Decimal(0)) + quantity

    def add_module(self, ratio: Decimal, parts: Mapping[str, Decimal]) -> None:
        self.modules += ratio
        for key, quantity in parts.items():
            self.add_part(key, quantity)

    def add_wires(self, ratio: Decimal, ways: int, ends: int, length_m: Decimal | None) -> None:
        self.test_ways += ratio * ways
        self.wire_ends += ratio * ends
        if length_m is not None:
            # What is not known is in no total either.
            self.length_m += ratio * length_m
