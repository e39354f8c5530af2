"""A small vehicle made by hand for choosing places and parts: two zones, a module in each, invented parts."""

from decimal import Decimal
from pathlib import Path
from typing import Any

from bomtui.edit.edit import Edit, apply
from bomtui.engine.rollup import Computed as Memo
from bomtui.engine.rollup import rollup
from bomtui.model.load import Load
from bomtui.model.money import Money
from bomtui.model.parameter import Parameter
from bomtui.model.part import Part, PriceBreak, SupplyNeed
from bomtui.model.proposal import Info, Proposal, Snapshot
from bomtui.model.settings import Rates, Settings
from bomtui.model.variant import Device, Module, Placement, Variant
from bomtui.model.vehicle import Mode, Subsystem, Vehicle, Zone
from bomtui.services.open import Opened
from bomtui.services.rollup import Computed, compute
from tests.samples.rollups import sample_path, snapshot

VARIANT = "V"


def euros(amount: str) -> Money:
    """An amount of the proposal's currency."""
    return Money(amount=Decimal(amount), currency="EUR")


def switch(*breaks: tuple[int, str], **fields: Any) -> Part:  # noqa: ANN401 - fields of a part
    """A high-side switch with two channels, everything known."""
    known: dict[str, Any] = {
        "kind": "high_side",
        "channels": 2,
        "sides": ("HS",),
        "nets": ("12",),
        "current_all_a": 5.0,
        "pwm_max_hz": 400.0,
        "rds_on_ohm": Parameter(typ=0.05, max=0.06),
        "hot_rds_on_ratio": 1.8,
        "theta_ja_k_per_w": 40.0,
        "junction_max_degc": 150.0,
        "safety": "B",
        "supplies": {"main": SupplyNeed(current_a=Parameter(typ=0.004, max=0.006))},
        "standby_current_a": Parameter(typ=1e-6, max=2e-6),
        "control_pins": 0,
        "moq": 1,
        "multiple": 1,
        "currency": "EUR",
        "breaks": tuple(PriceBreak(quantity=quantity, price=Decimal(price)) for quantity, price in breaks),
        **fields,
    }
    return Part(**known)


def load(**fields: Any) -> Load:  # noqa: ANN401 - fields of a load
    """A heater of 2 A at 13.5 V in the first zone."""
    known: dict[str, Any] = {
        "subsystem": "S",
        "kind": "heater",
        "zone": "Z1",
        "drive": "HS",
        "test_current_a": 2.0,
        "peak_current_a": 2.0,
        "time_share_ratio": {"PARK": 0.0, "RUN": 1.0},
        "sleep_share_ratio": 0.0,
        **fields,
    }
    return Load(**known)


def vehicle(
    loads: dict[str, Load],
    placements: dict[str, str],
    devices: dict[str, dict[str, str]] | None = None,
    parts: dict[str, Part] | None = None,
    **changes: Any,  # noqa: ANN401 - what a test varies
) -> Snapshot:
    """The vehicle.

    Args:
        loads: Loads by id.
        placements: Channel of each placed load.
        devices: Part of each device, per module.
        parts: Frozen parts.
        changes: volume: vehicles a year; ambient_degc: air in the first zone; proposal: further fields.
    """
    modules = {
        module_id: Module(
            zone=zone,
            devices={
                ref: Device(part=key, supply={"main": "battery"})
                for ref, key in (devices or {}).get(module_id, {}).items()
            },
        )
        for module_id, zone in (("M1", "Z1"), ("M2", "Z2"))
    }
    proposal = Proposal(
        proposal=Info(name="placing", default_variant=VARIANT),
        vehicle=Vehicle(
            supply="12 V",
            test_voltage_v=13.5,
            volume_per_year=changes.get("volume", 1000),
            years=5,
            battery_capacity_as=252000.0,
            other_standby_a=0.002,
            battery_zone="Z1",
            gateway_zone="Z1",
            parked_mode="PARK",
        ),
        zones={
            "Z1": Zone(ambient_degc=changes.get("ambient_degc", 60.0), distance_m={"Z1": 0.5, "Z2": 3.0}),
            "Z2": Zone(ambient_degc=60.0, distance_m={"Z2": 0.5}),
        },
        modes={
            "PARK": Mode(supply_low_v=12.0, supply_nominal_v=12.6, supply_high_v=13.0, electronics="asleep"),
            "RUN": Mode(supply_low_v=12.5, supply_nominal_v=13.5, supply_high_v=14.5),
        },
        subsystems={"S": Subsystem()},
        loads=loads,
        settings=Settings(
            rates=Rates(
                placement=euros("0.01"),
                test_per_module=euros("1"),
                test_per_way=euros("0.02"),
                assembly_per_module=euros("1"),
                wire_per_metre=euros("0.30"),
                wire_end=euros("0.20"),
                bus_node=euros("0.50"),
                one_off=euros("0"),
                freight_ratio=0.0,
                duty_ratio=0.0,
                attrition_ratio=0.0,
            )
        ),
        variants={
            VARIANT: Variant(
                modules=modules,
                placements={load_id: Placement(on=(channel,)) for load_id, channel in placements.items()},
            )
        },
        **changes.get("proposal", {}),
    )
    return Snapshot(proposal=proposal, parts=parts or {})


def computed(state: Snapshot, variant: str = VARIANT) -> Computed:
    """A snapshot, computed as an open proposal is."""
    return compute(Opened(Path("case.toml"), state, (), ""), variant)


def sample(vehicle_name: str, variant: str) -> Computed:
    """A variant of a committed sample, computed."""
    return compute(Opened(sample_path(vehicle_name), snapshot(vehicle_name), (), ""), variant)


def done(edit: Edit, state: Snapshot) -> Snapshot:
    """The snapshot after an edit that must not be refused."""
    after = apply(edit, state)
    assert isinstance(after, Snapshot), after
    return after


def full(state: Snapshot, variant: str) -> Memo:
    """A rollup that reuses nothing."""
    return rollup(state, variant)
