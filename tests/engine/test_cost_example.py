"""The worked cost example of one body box: every cell of its table (invented, recomputed with decimals)."""

from decimal import Decimal
from typing import Any

import msgspec
import pytest

from bomtui.engine.rollup import rollup
from bomtui.model.load import Load
from bomtui.model.money import LINE_DIGITS, Money, Proportion, round_half_up
from bomtui.model.part import Part, PriceBreak
from bomtui.model.proposal import Info, Proposal, Snapshot
from bomtui.model.rollup import CostRollup
from bomtui.model.settings import Counting, DriveHabit, Rates, Settings
from bomtui.model.variant import Amount, Device, Item, Module, Placement, Variant
from bomtui.model.vehicle import Subsystem, Vehicle, Zone

BOX = "BOX"
SUBSYSTEMS = ("LIGHT", "HVAC", "WIPE")

# Per part: total, LIGHT, HVAC, WIPE, common, reserve.
CELLS = {
    "parts": "17.0300",
    "attrition": "0.1362",
    "freight": "0.5150",
    "placement": "2.4860",
    "test": "1.9000",
    "wire": "9.6100",
    "wire_ends": "12.1600",
    "one_off": "11.2500",
}
TOTALS = {"LIGHT": "22.5178", "HVAC": "21.9066", "WIPE": "9.5711"}
SHARES = {
    "controller": ("4.1500", {"LIGHT": "1.5563", "HVAC": "1.8156", "WIPE": "0.7781"}),
    "quad": ("2.2000", {"LIGHT": "1.3750", "WIPE": "0.5500", "reserve": "0.2750"}),
    "flap": ("0.9600", {"HVAC": "0.9600"}),
    "sbc": ("1.1900", {"LIGHT": "0.4463", "HVAC": "0.5206", "WIPE": "0.2231"}),
    "header": (
        "2.4500",
        {"LIGHT": "0.6125", "HVAC": "0.7146", "WIPE": "0.3062", "common": "0.3063", "reserve": "0.5104"},
    ),
    "board": ("2.4600", {"LIGHT": "0.9225", "HVAC": "1.0763", "WIPE": "0.4612"}),
    "case": ("2.7000", {"LIGHT": "1.0125", "HVAC": "1.1813", "WIPE": "0.5062"}),
    "passives": ("0.9200", {"LIGHT": "0.3450", "HVAC": "0.4025", "WIPE": "0.1725"}),
}
ELEMENT_SHARES = {
    "attrition": {"LIGHT": "0.0511", "HVAC": "0.0596", "WIPE": "0.0255"},
    "placement": {"LIGHT": "0.9323", "HVAC": "1.0876", "WIPE": "0.4661"},
    "test": {"LIGHT": "0.7125", "HVAC": "0.8313", "WIPE": "0.3562"},
    "freight": {"LIGHT": "0.1931", "HVAC": "0.2253", "WIPE": "0.0966"},
    "wire": {"LIGHT": "5.5800", "HVAC": "2.7900", "WIPE": "1.2400"},
    "wire_ends": {"LIGHT": "4.5600", "HVAC": "5.3200", "WIPE": "2.2800"},
    "one_off": {"LIGHT": "4.2187", "HVAC": "4.9219", "WIPE": "2.1094"},
}


def _part(kind: str, price: str, placements: int = 0, **fields: object) -> Part:
    known: dict[str, object] = {
        "moq": 1,
        "multiple": 1,
        "currency": "EUR",
        "breaks": (PriceBreak(quantity=1, price=Decimal(price)),),
        "placements": placements,
        **fields,
    }
    return Part(kind=kind, **known)  # type: ignore[arg-type]


def _parts() -> dict[str, Part]:
    rungs = tuple(
        PriceBreak(quantity=quantity, price=Decimal(price)) for quantity, price in ((1000, "1.3200"), (4000, "1.1000"))
    )
    return {
        "controller": _part("controller", "4.1500", placements=226),
        "quad": _part("high_side", "0", channels=4, breaks=rungs, moq=2500, multiple=2500),
        "flap": _part("half_bridge", "0.9600", channels=14),
        "sbc": _part("sbc", "1.1900"),
        "header": _part("connector", "2.4500", ways=48, contact_current_a=7.0),
        "board": _part("board", "2.0500", sale_unit="dm2"),
        "case": _part("housing", "2.7000"),
        "passives": _part("passive", "0.4600"),
    }


def _load(subsystem: str, zone: str, drive: str = "RF") -> Load:
    return Load(subsystem=subsystem, zone=zone, drive=drive, test_current_a=0.1)


def _example() -> Snapshot:
    """One box with 12, 14 and 6 points; the wire runs are such that the wires take 18, 9 and 4 m."""
    loads: dict[str, Load] = {}
    placements: dict[str, Placement] = {}

    def place(load_id: str, load: Load, *on: str) -> None:
        loads[load_id] = load
        placements[load_id] = Placement(on=on)

    for number in range(12):
        channel = (f"{BOX}.U{2 + number // 4}.{number % 4 + 1}",) if number < 5 else (BOX,)
        place(f"LI{number}", _load("LIGHT", "far", "HS" if number < 5 else "RF"), *channel)
    for number in range(14):
        place(f"HV{number}", _load("HVAC", "far" if number < 4 else "near", "HB2"), f"{BOX}.U4.{number + 1}")
    for number in range(6):
        channel = (f"{BOX}.U3.{number + 2}",) if number < 2 else (BOX,)
        place(f"WI{number}", _load("WIPE", "mid" if number < 4 else "six", "HS" if number < 2 else "RF"), *channel)
    parts = {"U1": "controller", "U2": "quad", "U3": "quad", "U4": "flap", "U5": "sbc"}
    items = {"header": "1", "board": "1.2", "case": "1", "passives": "2"}
    module = Module(
        zone="box",
        devices={ref: Device(part=part) for ref, part in parts.items()},
        items={key: Item(quantity=Amount(quantity=Decimal(amount))) for key, amount in items.items()},
    )
    one_way = DriveHabit(channels=1, wires=1, ways=1)
    settings = Settings(
        counting=Counting(feed_wires=0, bus_wires=0, common_ways=6),
        rates=Rates(
            placement=_euros("0.0110"),
            test_per_module=_euros("1.90"),
            test_per_way=_euros("0"),
            assembly_per_module=_euros("0"),
            wire_per_metre=_euros("0.31"),
            wire_end=_euros("0.19"),
            bus_node=_euros("0"),
            one_off=_euros("90000"),
            freight_ratio=0.03,
            duty_ratio=0.0,
            attrition_ratio=0.008,
        ),
        drives={"HS": one_way, "RF": one_way, "HB2": one_way},
    )
    proposal = Proposal(
        proposal=Info(name="body box", currency="EUR"),
        vehicle=Vehicle(supply="12 V", test_voltage_v=13.5, volume_per_year=2000, years=4),
        zones={"box": Zone(distance_m={"far": 1.5, "near": 0.3, "mid": 0.7, "six": 0.6})},
        subsystems={subsystem: Subsystem() for subsystem in SUBSYSTEMS},
        loads=loads,
        settings=settings,
        variants={"one": Variant(modules={BOX: module}, placements=placements)},
    )
    return Snapshot(proposal=proposal, parts=_parts())


def _euros(amount: str) -> Money:
    return Money(amount=Decimal(amount), currency="EUR")


@pytest.fixture(scope="module")
def cost() -> CostRollup:
    """Cost of the example."""
    return rollup(_example(), "one").result.cost


def test_total_of_the_worked_example(cost: CostRollup) -> None:
    """The box costs 55.0872 a vehicle, and nothing in it is unknown."""
    assert (cost.total.amount, cost.total.unknown) == (Decimal("55.0872"), 0)


@pytest.mark.parametrize("element", CELLS)
def test_elements_of_the_worked_example(cost: CostRollup, element: str) -> None:
    """Each cost element is the one of the table."""
    assert cost.elements[element].amount == Decimal(CELLS[element])


def test_columns_of_the_worked_example(cost: CostRollup) -> None:
    """Subsystems, common and reserve are the column totals of the table."""
    found = {subsystem: total.amount for subsystem, total in cost.subsystems.items()}
    assert found == {subsystem: Decimal(amount) for subsystem, amount in TOTALS.items()}
    assert cost.common.amount == Decimal("0.3063")
    assert cost.reserve.amount == Decimal("0.7854")


def test_price_is_read_at_the_quantity_over_all_modules(cost: CostRollup) -> None:
    """Two chips in 2,000 vehicles are 4,000 a year and cost 1.10; the reel leaves 968 pieces, 0.5324 a vehicle."""
    line = next(line for line in cost.lines if line.part == "quad")
    assert (line.need, line.order_base, line.order, line.rung) == (4000, 4032, 5000, 4000)
    assert line.line_price == Decimal("2.2000")
    assert line.excess_per_year == Decimal("1064.80")
    assert round_half_up(line.excess_per_year / 2000, LINE_DIGITS) == Decimal("0.5324")


@pytest.mark.parametrize("part", SHARES)
def test_cells_of_parts(part: str) -> None:
    """A part taken out of the box takes exactly its row of the table out of each column."""
    with_part, without = _columns(_example()), _columns(_without_price(part))
    price, shares = SHARES[part]
    assert with_part["parts"] - without["parts"] == Decimal(price)
    row = {owner: Decimal(amount) for owner, amount in shares.items()}
    attrition_and_freight_free = {
        owner: with_part[owner] - without[owner] for owner in (*SUBSYSTEMS, "common", "reserve")
    }
    for owner, difference in attrition_and_freight_free.items():
        assert difference == row.get(owner, Decimal(0)), owner


def _columns(snapshot: Snapshot) -> dict[str, Decimal]:
    settings = snapshot.proposal.settings
    bare = Rates(attrition_ratio=0.0, freight_ratio=0.0, duty_ratio=0.0)
    proposal = _replaced(snapshot.proposal, settings=_replaced(settings, rates=bare))
    cost = rollup(Snapshot(proposal=proposal, parts=snapshot.parts), "one").result.cost
    columns = {subsystem: total.amount for subsystem, total in cost.subsystems.items()}
    return {
        **columns,
        "common": cost.common.amount,
        "reserve": cost.reserve.amount,
        "parts": cost.elements["parts"].amount,
    }


def _without_price(part: str) -> Snapshot:
    snapshot = _example()
    free = tuple(PriceBreak(quantity=rung.quantity, price=Decimal(0)) for rung in snapshot.parts[part].breaks)
    changed = _replaced(snapshot.parts[part], breaks=free)
    return Snapshot(proposal=snapshot.proposal, parts={**snapshot.parts, part: changed})


def _replaced(record: Any, **changes: object) -> Any:  # noqa: ANN401 - any record

    return msgspec.structs.replace(record, **changes)


@pytest.mark.parametrize("element", ELEMENT_SHARES)
def test_cells_of_other_elements(element: str) -> None:
    """Each element is split as its row of the table says: wire by metres, ends by wires, the rest by points."""
    weights = {"wire": (18, 9, 4)}.get(element, (12, 14, 6))
    named = {subsystem: Decimal(weight) for subsystem, weight in zip(SUBSYSTEMS, weights, strict=True)}
    shares = Proportion(named).largest_remainder(Decimal(CELLS[element]), LINE_DIGITS)
    assert shares == {subsystem: Decimal(amount) for subsystem, amount in ELEMENT_SHARES[element].items()}


def test_spreading_common_and_reserve(cost: CostRollup) -> None:
    """Spread by points, common and reserve leave 22.9272, 22.3842 and 9.7758, which add to the total."""
    points = {"LIGHT": Decimal(12), "HVAC": Decimal(14), "WIPE": Decimal(6)}
    spread = dict.fromkeys(SUBSYSTEMS, Decimal(0))
    for amount in (cost.common.amount, cost.reserve.amount):
        for subsystem, share in Proportion(points).largest_remainder(amount, LINE_DIGITS).items():
            spread[subsystem] += share
    found = {subsystem: cost.subsystems[subsystem].amount + spread[subsystem] for subsystem in SUBSYSTEMS}
    assert found == {"LIGHT": Decimal("22.9272"), "HVAC": Decimal("22.3842"), "WIPE": Decimal("9.7758")}
    assert sum(found.values()) == Decimal("55.0872")
