"""The small worked example of three architectures: metres, ends, cost and break-even (invented figures, by hand)."""

from decimal import Decimal

import pytest

from bomtui.engine.rollup import rollup
from bomtui.model.load import Load
from bomtui.model.money import Money, ceiling
from bomtui.model.part import Part, PriceBreak
from bomtui.model.proposal import Info, Proposal, Snapshot
from bomtui.model.rollup import Rollup
from bomtui.model.settings import DriveHabit, Rates, Settings
from bomtui.model.variant import Amount, Item, Module, Placement, Variant
from bomtui.model.vehicle import Subsystem, Vehicle, Zone

GROUPS = {"front lamps": (8, "F"), "rear lamps": (6, "R"), "hvac": (14, "C"), "wiper": (4, "F")}
BOX_PRICES = {"small": "14.00", "central": "22.00", "zone": "16.50"}
# Per variant: its boxes as zone, price and the groups that each serves.
VARIANTS = {
    "distributed": {
        "F1": ("F", "small", ("front lamps", "rear lamps")),
        "C1": ("C", "small", ("hvac",)),
        "F2": ("F", "small", ("wiper",)),
    },
    "central": {"C1": ("C", "central", tuple(GROUPS))},
    "zone": {
        "F1": ("F", "zone", ("front lamps", "wiper")),
        "C1": ("C", "zone", ("hvac",)),
        "R1": ("R", "zone", ("rear lamps",)),
    },
}
EXPECTED = {
    "distributed": ("70.6", 44, "42.00", "21.886", "16.72", "80.606"),
    "central": ("64.8", 36, "22.00", "20.088", "13.68", "55.768"),
    "zone": ("55.8", 44, "49.50", "17.298", "16.72", "83.518"),
}


def _euros(amount: str) -> Money:
    return Money(amount=Decimal(amount), currency="EUR")


def _snapshot() -> Snapshot:
    loads, members = {}, {}
    for group, (wires, zone) in GROUPS.items():
        members[group] = [f"{group[0].upper()}{zone}{number}" for number in range(wires)]
        for load_id in members[group]:
            loads[load_id] = Load(subsystem="ALL", zone=zone, drive="HS", test_current_a=0.5)
    variants = {}
    for name, boxes in VARIANTS.items():
        modules = {
            box: Module(zone=zone, items={price: Item(quantity=Amount(quantity=Decimal(1)))})
            for box, (zone, price, _) in boxes.items()
        }
        placements = {
            load_id: Placement(on=(box,))
            for box, (_, _, groups) in boxes.items()
            for group in groups
            for load_id in members[group]
        }
        variants[name] = Variant(modules=modules, placements=placements)
    parts = {
        key: Part(
            kind="housing",
            moq=1,
            multiple=1,
            currency="EUR",
            breaks=(PriceBreak(quantity=1, price=Decimal(price)),),
            placements=0,
        )
        for key, price in BOX_PRICES.items()
    }
    rates = Rates(
        placement=_euros("0"),
        test_per_module=_euros("0"),
        test_per_way=_euros("0"),
        assembly_per_module=_euros("0"),
        wire_per_metre=_euros("0.31"),
        wire_end=_euros("0.19"),
        bus_node=_euros("0"),
        one_off=_euros("0"),
        freight_ratio=0.0,
        duty_ratio=0.0,
        attrition_ratio=0.0,
    )
    proposal = Proposal(
        proposal=Info(name="three architectures"),
        vehicle=Vehicle(supply="12 V", volume_per_year=1000, years=1, battery_zone="F", gateway_zone="C"),
        zones={
            "F": Zone(distance_m={"F": 0.8, "C": 2.0, "R": 5.5}),
            "C": Zone(distance_m={"C": 0.8, "R": 4.0}),
            "R": Zone(distance_m={"R": 0.8}),
        },
        subsystems={"ALL": Subsystem()},
        loads=loads,
        settings=Settings(rates=rates, drives={"HS": DriveHabit(wires=1)}),
        variants=variants,
    )
    return Snapshot(proposal=proposal, parts=parts)


def _result(variant: str) -> Rollup:
    return rollup(_snapshot(), variant).result


@pytest.mark.parametrize("variant", EXPECTED)
def test_architectures(variant: str) -> None:
    """Metres, wires, boxes, wire, ends and total are the figures of the example."""
    metres, wires, boxes, wire, ends, total = EXPECTED[variant]
    result = _result(variant)
    assert result.wire_length_m == Decimal(metres)
    assert result.wire_count == wires
    found = [result.cost.elements[name].amount for name in ("parts", "wire", "wire_ends")]
    assert found == [Decimal(boxes), Decimal(wire), Decimal(ends)]
    assert (result.cost.total.amount, result.cost.total.unknown) == (Decimal(total), 0)


def test_break_even_wires() -> None:
    """The zone boxes pay from 28 more rear wires on, or 75 more front wires: gap over saving, rounded up."""
    gap = _result("zone").cost.total.amount - _result("central").cost.total.amount
    per_metre = Decimal("0.31")
    rear, front = (Decimal("4.0") - Decimal("0.8")) * per_metre, (Decimal("2.0") - Decimal("0.8")) * per_metre
    assert gap == Decimal("27.750")
    assert (ceiling(gap / rear), 28 * rear) == (28, Decimal("27.776"))
    assert (ceiling(gap / front), 75 * front) == (75, Decimal("27.900"))
