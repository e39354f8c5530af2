"""References of the parts in a module: drivers as the allocation tables name them, all others in a fixed order."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from bomtui.model.part import Part
from bomtui.model.variant import Amount, Item
from tests.samples.tables import Row, part_counts

ITEM_KINDS = frozenset(("passive", "connector", "board", "housing"))
"""Kinds that are counted without a reference."""

ORDER = (
    "controller", "sbc", "dcdc", "ldo", "reverse", "transceiver_can", "transceiver_lin", "transceiver_eth",
    "transceiver_optical", "transceiver_rf", "memory", "sensor", "display", "amplifier", "high_side", "low_side",
    "half_bridge", "full_bridge", "gate_driver", "led_driver", "ignition_driver", "injector_driver",
)  # fmt: skip
"""Order in which parts without an allocated load get the next references."""


@dataclass(slots=True)
class Contents:
    """What lies in a module.

    Attributes:
        parts: Part key per reference, in the order of the references.
        items: Parts without a reference.
    """

    parts: dict[str, str] = field(default_factory=dict)
    items: dict[str, Item] = field(default_factory=dict)

    def refs_of(self, key: str) -> list[str]:
        """Return the references that hold a part."""
        return [ref for ref, part in self.parts.items() if part == key]

    def refs_of_kind(self, kind: str, catalog: Mapping[str, Part]) -> list[str]:
        """Return the references that hold parts of a kind."""
        return [ref for ref, part in self.parts.items() if catalog[part].kind == kind]


def contents_of(row: Row, allocation: list[Row], catalog: Mapping[str, Part]) -> Contents:
    """Give every part of a module its reference, or its quantity.

    Args:
        row: The module's row.
        allocation: Rows of the allocation table for this module.
        catalog: Parts by key.

    Raises:
        ValueError: The allocation names a part that the module does not hold, or holds fewer of.
    """
    contents = Contents({chip["chip"].partition(".")[2]: chip["part_key"] for chip in allocation})
    left: Counter[str] = Counter()
    for key, quantity in part_counts(row["parts"]):
        if catalog[key].kind in ITEM_KINDS:
            amount = Amount(quantity=_plain(quantity), unit=catalog[key].sale_unit)
            contents.items[key] = Item(quantity=amount)
        else:
            left[key] += int(quantity)
    left.subtract(contents.parts.values())
    if min(left.values()) < 0:
        raise ValueError(f"the allocation of {row['module']} has more devices than the module: {left}")
    for kind in ORDER:
        for key in [key for key in left if catalog[key].kind == kind]:
            for _ in range(left[key]):
                contents.parts[f"U{len(contents.parts) + 1}"] = key
    fets = [key for key in left if catalog[key].kind == "fet" for _ in range(left[key])]
    contents.parts |= {f"Q{place}": key for place, key in enumerate(fets, 1)}
    return contents


def _plain(quantity: Decimal) -> Decimal:
    return quantity.normalize() if quantity % 1 else quantity.to_integral_value()
