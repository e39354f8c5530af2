"""A small whole proposal with one of everything that edits touch."""

from decimal import Decimal

from bomtui.edit.edit import Edit, Refusal, apply
from bomtui.model.feed import Feed
from bomtui.model.load import Load
from bomtui.model.parameter import Parameter
from bomtui.model.part import Part, SupplyNeed
from bomtui.model.proposal import Info, Proposal, Snapshot
from bomtui.model.variant import Acceptance, Amount, Device, Item, Module, Placement, Rail, Variant
from bomtui.model.vehicle import Mode, Pair, Subsystem, Vehicle, Zone

PARTS = {
    "mcu": Part(kind="controller", gpio_pins=40, supplies={"vdd": SupplyNeed(voltage_v=5.0)}),
    "ldo": Part(kind="ldo", output_v=5.0, supplies={"vin": SupplyNeed()}, control_pins=1),
    "hs4": Part(
        kind="high_side",
        channels=4,
        sides=("HS", "HSP"),
        supplies={"vbat": SupplyNeed(), "vio": SupplyNeed(voltage_v=5.0, current_a=Parameter(typ=0.001))},
        control_pins=4,
    ),
    "hs2": Part(kind="high_side", channels=2, sides=("HS", "HSP"), supplies={"vbat": SupplyNeed()}, control_pins=2),
    "hs-unknown": Part(kind="high_side"),
    "predriver": Part(kind="gate_driver", channels=2, sides=("GDF",)),
    "fet": Part(kind="fet"),
    "board": Part(kind="board", sale_unit="dm2"),
}

MODULE = Module(
    name="rear",
    zone="Z1",
    feeds=("F1",),
    rails={"V5": Rail(voltage_v=5.0, source="U2")},
    devices={
        "U1": Device(part="mcu", supply={"vdd": "V5"}, commanded_by=""),
        "U2": Device(part="ldo", supply={"vin": "battery"}, feed="F1", commanded_by="U1", counted_in_load="L3"),
        "U3": Device(part="hs4", supply={"vbat": "battery", "vio": "V5"}, commanded_by="U1"),
        "U4": Device(part="predriver", commanded_by="U1"),
        "Q1": Device(part="fet"),
    },
    items={"board": Item(quantity=Amount(quantity=Decimal("1.8"), unit="dm2"))},
)

ACCEPTED = {
    "A01": Acceptance(rule="channel.twice", place="REAR.U3.1", reason="known", by="M. Example", measured="2"),
    "A02": Acceptance(rule="safety.capability", place="L1", reason="second path", by="M. Example"),
    "A03": Acceptance(rule="standin.device", place="P1", reason="same housing", by="M. Example"),
    "A04": Acceptance(rule="data.missing", place="zones.Z1.ambient", reason="asked", by="M. Example"),
}


def small(**changes: object) -> Snapshot:
    """The proposal; keyword arguments replace fields of its variant."""
    fields: dict[str, object] = {
        "name": "first",
        "feeds": {"F1": Feed(fuse_current_a=10.0, ground="G1"), "F2": Feed(switch="REAR.U3.2", fuse_zone="Z2")},
        "modules": {"REAR": MODULE},
        "placements": {
            "L1": Placement(on=("REAR.U3.1",), pinned=True, note="kept"),
            "L2": Placement(on=("REAR.U3.3", "REAR.U3.4"), joined="parallel"),
            "L4": Placement(on=("REAR.U4.1",), stage=("REAR.Q1",)),
        },
        "accepted": ACCEPTED,
        **changes,
    }
    variant = Variant(**fields)  # type: ignore[arg-type]
    proposal = Proposal(
        proposal=Info(name="small", default_variant="one"),
        vehicle=Vehicle(supply="12 V", battery_zone="Z1", gateway_zone="Z2", parked_mode="PARK"),
        zones={"Z1": Zone(ambient_degc=85.0, distance_m={"Z2": 2.5}), "Z2": Zone()},
        modes={"PARK": Mode(engine="off"), "RUN": Mode()},
        subsystems={"LIGHT": Subsystem(name="lights"), "FREE": Subsystem()},
        loads={
            "L1": Load(subsystem="LIGHT", zone="Z1", time_share_ratio={"PARK": 0.0, "RUN": 0.5}, rated_power_w=21.0),
            "L2": Load(subsystem="LIGHT", zone="Z2", pwm_duty_ratio={"RUN": 0.8}),
            "L3": Load(subsystem="LIGHT"),
            "L4": Load(subsystem="LIGHT", drive="GDF"),
        },
        pairs={"P1": Pair(primary="L1", stand_in="L2")},
        variants={"one": variant, "two": Variant(placements={})},
    )
    return Snapshot(proposal=proposal, parts=PARTS, number=4)


def done(edit: Edit, snapshot: Snapshot) -> Snapshot:
    """The snapshot after an edit that must not be refused."""
    after = apply(edit, snapshot)
    assert isinstance(after, Snapshot), after
    return after


def refused(edit: Edit, snapshot: Snapshot) -> Refusal:
    """The refusal of an edit that must not be done."""
    refusal = apply(edit, snapshot)
    assert isinstance(refusal, Refusal)
    return refusal
