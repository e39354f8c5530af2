"""Fitment rates in need and cost; every number worked by hand from an invented vehicle of two boxes.

Box M is in half of the vehicles, box N in all. M holds two drivers, the second in 40 % of the vehicles with M; N holds
one. Load LA is in a quarter of the vehicles with M; LB (in M) and LC (in N) are in all. Every load has one wire of 2 m
and one way; a box has two ways of its own.
"""

from decimal import Decimal
from typing import Any

import msgspec
import pytest

from bomtui.engine.rollup import rollup
from bomtui.model.load import Load
from bomtui.model.money import Money, Total
from bomtui.model.part import Part, PriceBreak
from bomtui.model.proposal import Info, Proposal, Snapshot
from bomtui.model.rollup import CostRollup, Rollup
from bomtui.model.settings import Counting, DriveHabit, Rates, Settings
from bomtui.model.variant import Amount, Device, Item, Module, Placement, Variant
from bomtui.model.vehicle import Subsystem, Vehicle, Zone

RATES = {
    "placement": "0.01",
    "test_per_module": "1.00",
    "test_per_way": "0.10",
    "assembly_per_module": "2.00",
    "wire_per_metre": "1.00",
    "wire_end": "0.10",
    "bus_node": "0.50",
    "one_off": "4000",
}
RUNGS = (PriceBreak(quantity=1000, price=Decimal("2.00")), PriceBreak(quantity=3000, price=Decimal("1.50")))


def rates(**changed: str) -> Rates:
    """The rates of the example, some of them changed; attrition and duty are none, freight is 10 %."""
    amounts = {name: Money(amount=Decimal(text), currency="EUR") for name, text in {**RATES, **changed}.items()}
    return Rates(**amounts, attrition_ratio=0.0, freight_ratio=0.1, duty_ratio=0.0)  # type: ignore[arg-type]


def driver(**fields: Any) -> Part:  # noqa: ANN401 - any field
    """A driver with one channel, ordered in packs of 500."""
    known = {"moq": 1000, "multiple": 500, "currency": "EUR", "breaks": RUNGS, "channels": 1, "sides": ("HS",)}
    return Part(kind="high_side", **{**known, **fields})


def load(subsystem: str, fitment: float | None = None) -> Load:
    """A load with one wire of 2 m."""
    return Load(subsystem=subsystem, zone="far", drive="HS", test_current_a=0.1, fitment_ratio=fitment)


def example(m_ratio: float | None = 0.5, u2_ratio: float | None = 0.4, la_ratio: float | None = 0.25) -> Snapshot:
    """The vehicle of two boxes."""
    first, second = Device(part="driver"), Device(part="driver", fitment_ratio=u2_ratio)
    modules = {
        "M": Module(zone="box", fitment_ratio=m_ratio, devices={"U1": first, "U2": second}),
        "N": Module(zone="box", devices={"U1": first}),
    }
    on = {"LA": "M.U2.1", "LB": "M.U1.1", "LC": "N.U1.1"}
    proposal = Proposal(
        proposal=Info(name="fitment", currency="EUR"),
        vehicle=Vehicle(supply="12 V", test_voltage_v=12.0, volume_per_year=1000, years=4),
        zones={"box": Zone(distance_m={"far": 2.0})},
        subsystems={name: Subsystem() for name in ("S1", "S2", "S3")},
        loads={"LA": load("S1", la_ratio), "LB": load("S2"), "LC": load("S3")},
        settings=Settings(
            counting=Counting(feed_wires=0, bus_wires=0, common_ways=2, wire_ends=2),
            rates=rates(),
            drives={"HS": DriveHabit(channels=1, wires=1, ways=1)},
        ),
        variants={
            "one": Variant(modules=modules, placements={key: Placement(on=(place,)) for key, place in on.items()})
        },
    )
    return Snapshot(proposal=proposal, parts={"driver": driver()})


def computed(snapshot: Snapshot) -> Rollup:
    """The rollup of the one variant."""
    return rollup(snapshot, "one").result


def changed(snapshot: Snapshot, **fields: Any) -> Snapshot:  # noqa: ANN401 - any field
    """The vehicle with other fields of its proposal."""
    return Snapshot(proposal=msgspec.structs.replace(snapshot.proposal, **fields), parts=snapshot.parts)


def with_rates(snapshot: Snapshot, own: Rates) -> Snapshot:
    """The vehicle with other rates."""
    return changed(snapshot, settings=msgspec.structs.replace(snapshot.proposal.settings, rates=own))


@pytest.fixture(scope="module")
def cost() -> CostRollup:
    """Cost of the example."""
    return computed(example()).cost


def test_the_need_is_that_of_the_average_vehicle(cost: CostRollup) -> None:
    """0.5 + 0.5 * 0.4 + 1 = 1.7 drivers: 1,700 a year, four packs of 500, at 2.00; 300 are left: 600.

    The full-fit vehicle has 3, and 3,000 a year would be the next rung; that is not what is bought.
    """
    (line,) = cost.lines
    assert (line.lean, line.quantity, line.full) == (Decimal(1), Decimal("1.7"), Decimal(3))
    assert (line.need, line.order, line.rung, line.unit_price) == (1700, 2000, 1000, Decimal("2.00"))
    assert (line.line_price, line.excess_per_year) == (Decimal("3.4000"), Decimal(600))
    assert line.quantities == {"M": Decimal("0.7"), "N": 1}
    assert line.per_module == {"M": Decimal("1.4"), "N": Decimal(2)}


ELEMENTS = {
    # Drivers 1, 1.7 and 3 at 2.00; freight a tenth of it; each placed once at 0.01.
    "parts": ("2", "3.4", "6"),
    "attrition": ("0", "0", "0"),
    "freight": ("0.2", "0.34", "0.6"),
    "duty": ("0", "0", "0"),
    "placement": ("0.01", "0.017", "0.03"),
    # Boxes 1, 1.5 and 2; ways 2 + 1, 0.5 * 2 + 2 + 0.125 + 0.5 + 1 = 4.625, and 4 + 3.
    "test": ("1.3", "1.9625", "2.7"),
    "assembly": ("2", "3", "4"),
    # Metres 2, 2 * (0.125 + 0.5 + 1) = 3.25, and 6; two ends a wire at 0.10.
    "wire": ("2", "3.25", "6"),
    "wire_ends": ("0.2", "0.325", "0.6"),
    "network": ("0.5", "0.75", "1"),
    # 4,000 over 1,000 vehicles a year and 4 years, whatever a vehicle carries.
    "one_off": ("1", "1", "1"),
}


@pytest.mark.parametrize("element", ELEMENTS)
def test_elements_of_lean_average_and_full(cost: CostRollup, element: str) -> None:
    """Each cost element of the three vehicles is the one of the table."""
    found = tuple(own.elements[element] for own in (cost.lean, cost, cost.full))
    assert found == tuple(Total(amount=Decimal(text)) for text in ELEMENTS[element])


def test_totals_of_lean_average_and_full(cost: CostRollup) -> None:
    """The columns of the table add to 9.21, 14.0445 and 21.93."""
    totals = [own.total for own in (cost.lean, cost, cost.full)]
    assert totals == [Total(amount=Decimal(text)) for text in ("9.21", "14.0445", "21.93")]
    assert cost.is_partly_fitted


def test_the_average_adds_up_each_way(cost: CostRollup) -> None:
    """Modules, and subsystems with common and reserve, add to the average cost to the last digit."""
    assert sum(module.total.amount for module in cost.modules.values()) == Decimal("14.0445")
    owners = sum(owner.amount for owner in cost.subsystems.values())
    assert owners + cost.common.amount + cost.reserve.amount == Decimal("14.0445")


def test_wire_is_shared_by_what_is_fitted() -> None:
    """Of 3.25 m at 1.00 LA takes 2 * 0.125 and LB 2 * 0.5: its own 0.25 and 1.00, and LC 2.00."""
    free = dict.fromkeys(RATES, "0")
    bare = with_rates(_without_price(example()), rates(**{**free, "wire_per_metre": "1.00"}))
    found = {owner: total.amount for owner, total in computed(bare).cost.subsystems.items()}
    assert found == {"S1": Decimal("0.25"), "S2": Decimal("1.00"), "S3": Decimal("2.00")}


def test_a_driver_is_shared_by_the_channels_that_are_there() -> None:
    """Of the 1.40 in M the driver of LA, in 40 %, is 0.40 and that of LB 1.00; freight is none here."""
    free = msgspec.structs.replace(rates(**dict.fromkeys(RATES, "0")), freight_ratio=0.0)
    found = {owner: total.amount for owner, total in computed(with_rates(example(), free)).cost.subsystems.items()}
    assert found == {"S1": Decimal("0.4"), "S2": Decimal(1), "S3": Decimal(2)}


def _without_price(snapshot: Snapshot) -> Snapshot:
    free = tuple(PriceBreak(quantity=rung.quantity, price=Decimal(0)) for rung in RUNGS)
    return Snapshot(proposal=snapshot.proposal, parts={"driver": driver(breaks=free)})


def test_an_item_follows_its_module() -> None:
    """1.2 dm2 of board in M are 0.6 on average, 0 in the lean and 1.2 in the full-fit vehicle."""
    snapshot = example()
    variant = snapshot.proposal.variants["one"]
    item = Item(quantity=Amount(quantity=Decimal("1.2"), unit="dm2"))
    modules = {**variant.modules, "M": msgspec.structs.replace(variant.modules["M"], items={"board": item})}
    one = msgspec.structs.replace(variant, modules=modules)
    (board,) = [line for line in computed(changed(snapshot, variants={"one": one})).cost.lines if line.part == "board"]
    assert (board.lean, board.quantity, board.full) == (Decimal(0), Decimal("0.6"), Decimal("1.2"))
    assert board.need == 600


def test_checks_look_at_the_full_fit_vehicle() -> None:
    """Currents, channels, pins, wires and pieces are those of a vehicle that has everything."""
    partly, whole = computed(example()), computed(example(None, None, None))
    assert partly.modules == whole.modules
    assert partly.modes == whole.modes
    assert partly.wire_count == whole.wire_count == 3
    assert partly.wire_length_m == whole.wire_length_m == 6


def test_without_fitment_the_three_are_one() -> None:
    """Where nothing has a fitment, lean, average and full-fit cost are the very same."""
    cost = computed(example(None, None, None)).cost
    assert cost.lean == cost.full
    assert (cost.lean.elements, cost.lean.total) == (cost.elements, cost.total)
    assert not cost.is_partly_fitted


def test_a_fitment_of_every_vehicle_is_none() -> None:
    """100 % everywhere gives the rollup of a vehicle without fitments."""
    assert computed(example(1.0, 1.0, 1.0)) == computed(example(None, None, None))


def test_what_no_vehicle_has_is_not_bought() -> None:
    """At 0 % of M its drivers and wires are in no vehicle: 1 driver is needed, and M costs its one-off share only."""
    cost = computed(example(0.0, 0.4, 0.25)).cost
    (line,) = cost.lines
    assert (line.quantity, line.full) == (Decimal(1), Decimal(3))
    assert line.need == 1000
    assert cost.modules["M"].total == Total(amount=Decimal("0.5"))
    assert cost.elements["wire"].amount == 2
    assert cost.lean.total == cost.total


def test_a_part_that_no_vehicle_has_has_no_price() -> None:
    """Where nobody buys a part, nothing says what the full-fit vehicle would pay for it: one term is missing."""
    snapshot = example(None, 0.0, None)
    variant = snapshot.proposal.variants["one"]
    rare = msgspec.structs.replace(variant.modules["M"].devices["U2"], part="rare")
    module = msgspec.structs.replace(variant.modules["M"], devices={**variant.modules["M"].devices, "U2": rare})
    one = msgspec.structs.replace(variant, modules={**variant.modules, "M": module})
    parts = {**snapshot.parts, "rare": driver()}
    cost = computed(
        Snapshot(proposal=msgspec.structs.replace(snapshot.proposal, variants={"one": one}), parts=parts)
    ).cost
    assert [line.part for line in cost.lines] == ["driver"]
    assert cost.elements["parts"] == cost.lean.elements["parts"] == Total(amount=Decimal(4))
    assert cost.full.elements["parts"] == Total(amount=Decimal(4), unknown=1)


def test_an_unknown_length_counts_where_its_wire_is() -> None:
    """Without the distance each vehicle lacks the lengths of the loads that it has: 1 lean, 3 average, 3 full-fit."""
    cost = computed(changed(example(), zones={"box": Zone()})).cost
    assert [own.elements["wire"].unknown for own in (cost.lean, cost, cost.full)] == [1, 3, 3]


def test_a_load_that_no_module_serves_counts_where_it_is() -> None:
    """A load in a quarter of the vehicles that no module serves is missing in the average and full-fit cost only."""
    snapshot = example()
    variant = snapshot.proposal.variants["one"]
    placements = {key: place for key, place in variant.placements.items() if key != "LA"}
    one = msgspec.structs.replace(variant, placements=placements)
    cost = computed(changed(snapshot, variants={"one": one})).cost
    assert [own.elements["wire"].unknown for own in (cost.lean, cost, cost.full)] == [0, 1, 1]


def test_an_unknown_price_is_missing_where_the_part_is() -> None:
    """A driver without a price is one missing term of each vehicle that has it."""
    snapshot = Snapshot(proposal=example().proposal, parts={"driver": driver(breaks=())})
    cost = computed(snapshot).cost
    assert [own.elements["parts"].unknown for own in (cost.lean, cost, cost.full)] == [1, 1, 1]
