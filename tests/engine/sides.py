"""A small vehicle with two lamps in one module, to be changed in one thing at a time, and comparisons of its cost."""

import datetime
from decimal import Decimal
from typing import Any

import msgspec

from bomtui.engine.difference_by_cause import compared
from bomtui.engine.rollup import Computed, rollup
from bomtui.model.comparison import Difference
from bomtui.model.load import Load
from bomtui.model.money import Money, exact_sum
from bomtui.model.part import Part, PriceBreak
from bomtui.model.programme import Exchange, Programme
from bomtui.model.proposal import Info, Proposal, Snapshot
from bomtui.model.settings import Rates, Settings
from bomtui.model.variant import Amount, Device, Item, Module, Placement, Variant
from bomtui.model.vehicle import Subsystem, Vehicle, Zone

VARIANT = "one"


def money(amount: str, currency: str = "EUR") -> Money:
    """An exact amount."""
    return Money(amount=Decimal(amount), currency=currency)


def ladder(*rungs: tuple[int, str]) -> tuple[PriceBreak, ...]:
    """Price rungs."""
    return tuple(PriceBreak(quantity=quantity, price=Decimal(price)) for quantity, price in rungs)


def part(kind: str, *rungs: tuple[int, str], currency: str = "EUR", **fields: Any) -> Part:  # noqa: ANN401 - any field
    """A part of which each piece can be ordered by itself."""
    return Part(kind=kind, moq=1, multiple=1, currency=currency, breaks=ladder(*rungs), **fields)


def start() -> Snapshot:
    """Two lamps on a quad switch, a controller priced in dollars, a board; every rate is known."""
    parts = {
        "quad": part("high_side", (1, "1.3200"), (4000, "1.1000"), channels=4, sides=("HS",)),
        "hexa": part("high_side", (1, "1.7000"), channels=6, sides=("HS",)),
        "mcu": part("controller", (1, "4.5109"), currency="USD"),
        "board": part("board", (1, "2.0500"), placements=0),
    }
    module = Module(
        zone="cab",
        devices={"U1": Device(part="mcu"), "U2": Device(part="quad"), "U3": Device(part="quad")},
        items={"board": Item(quantity=Amount(quantity=Decimal("1.2")))},
    )
    rates = Rates(
        placement=money("0.011"),
        test_per_module=money("1.40"),
        test_per_way=money("0.02"),
        assembly_per_module=money("2.10"),
        wire_per_metre=money("0.31"),
        wire_end=money("0.19"),
        bus_node=money("0.60"),
        one_off=money("0"),
        freight_ratio=0.03,
        duty_ratio=0.01,
        attrition_ratio=0.008,
    )
    lamp = Load(subsystem="LIGHT", zone="front", drive="HS", test_current_a=0.5)
    proposal = Proposal(
        proposal=Info(name="two lamps"),
        vehicle=Vehicle(
            supply="12 V", test_voltage_v=13.5, volume_per_year=1500, years=4, battery_zone="front", gateway_zone="cab"
        ),
        zones={"front": Zone(distance_m={"front": 0.8}), "cab": Zone(distance_m={"cab": 0.8, "front": 2.5})},
        subsystems={"LIGHT": Subsystem()},
        loads={"L1": lamp, "L2": lamp},
        settings=Settings(rates=rates),
        programme=Programme(
            exchange={"USD": Exchange(worth=money("0.92"), date=datetime.date(2026, 5, 4))}, discount_ratio=0.08
        ),
        variants={
            VARIANT: Variant(
                modules={"BOX": module},
                placements={"L1": Placement(on=("BOX.U2.1",)), "L2": Placement(on=("BOX.U3.1",))},
            )
        },
    )
    return Snapshot(proposal=proposal, parts=parts)


def having(snapshot: Snapshot, **tables: object) -> Snapshot:
    """The snapshot with other tables of its proposal."""
    return Snapshot(proposal=with_(snapshot.proposal, **tables), parts=snapshot.parts)


def with_(record: Any, **changes: object) -> Any:  # noqa: ANN401 - any record
    """A record with other fields."""
    return msgspec.structs.replace(record, **changes)


def with_rates(snapshot: Snapshot, **rates: object) -> Snapshot:
    """The snapshot with other rates."""
    settings = snapshot.proposal.settings
    return having(snapshot, settings=with_(settings, rates=with_(settings.rates, **rates)))


def with_module(snapshot: Snapshot, **fields: object) -> Snapshot:
    """The snapshot with other fields of its only module."""
    variant = snapshot.proposal.variants[VARIANT]
    module = with_(variant.modules["BOX"], **fields)
    return having(snapshot, variants={VARIANT: with_(variant, modules={"BOX": module})})


def computed(snapshot: Snapshot, variant: str = VARIANT) -> Computed:
    """The rollup of the variant."""
    return rollup(snapshot, variant)


def difference(first: Snapshot, second: Snapshot) -> Difference:
    """The difference of two snapshots, held against its laws."""
    one, other = computed(first), computed(second)
    check_laws(one, other)
    return compared(one, other)[1]


def causes(first: Snapshot, second: Snapshot) -> dict[str, Decimal]:
    """The causes that are not 0."""
    return {cause: amount for cause, amount in difference(first, second).by_cause.items() if amount}


def check_laws(first: Computed, second: Computed) -> None:
    """Hold a comparison against what holds of each: it adds up to the last digit, turns its sign, and vanishes."""
    forth, back = compared(first, second)[1], compared(second, first)[1]
    total = second.result.cost.total.amount - first.result.cost.total.amount
    assert forth.total == total
    assert exact_sum(share.amount for share in forth.shares) == total
    assert exact_sum(forth.by_cause.values()) == exact_sum(forth.by_element.values()) == total
    for element, amount in forth.by_element.items():
        assert amount == (second.result.cost.elements[element].amount - first.result.cost.elements[element].amount), (
            element
        )
    turned = {(share.cause, share.element, share.what): -share.amount for share in back.shares}
    assert {(share.cause, share.element, share.what): share.amount for share in forth.shares} == turned
    for side in (first, second):
        same = compared(side, side)[1]
        assert same.total == 0
        assert same.shares == ()
