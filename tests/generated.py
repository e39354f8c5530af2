"""Large vehicles made by rule, for benchmarks and properties over size: every load is placed, everything is known."""

from decimal import Decimal

from bomtui.model.load import Load
from bomtui.model.money import Money
from bomtui.model.parameter import Parameter
from bomtui.model.part import Part, PinGroup, PriceBreak, SupplyNeed
from bomtui.model.proposal import Info, Proposal, Snapshot
from bomtui.model.settings import Rates, Settings
from bomtui.model.variant import Amount, Device, Item, Module, Placement, Rail, Variant
from bomtui.model.vehicle import Mode, Subsystem, Vehicle, Zone

CHANNELS = 4
BEHAVIOURS = ("resistive", "filament", "constant_power", "constant_current")
MODES = {"PARK": 12.6, "IDLE": 13.0, "DRIVE": 13.8, "NIGHT": 13.2, "CRANK": 8.0}
SUBSYSTEM_COUNT = 10
ZONE_COUNT = 6


def generated_parts() -> dict[str, Part]:
    """Return a controller, a supply, a switch in eight sizes, a header, a board and a case."""
    parts = {
        f"switch-{size}": _part(
            "high_side",
            Decimal("0.80") + Decimal(size) / 10,
            channels=CHANNELS,
            sides=("HS",),
            nets=("12",),
            current_all_a=5.0,
            pwm_max_hz=400.0,
            rds_on_ohm=Parameter(typ=0.016 + 0.01 * size, max=0.02 + 0.0125 * size),
            hot_rds_on_ratio=1.9,
            rise_time_s=Parameter(typ=5e-5),
            fall_time_s=Parameter(typ=5e-5),
            theta_ja_k_per_w=28.0,
            supplies={"main": SupplyNeed(current_a=Parameter(typ=0.008, max=0.01))},
            standby_current_a=Parameter(typ=1e-6, max=2e-6),
            pin_needs={"channel": CHANNELS, "adc": 1},
            control_pins=CHANNELS,
            analog_pins=1,
        )
        for size in range(8)
    }
    parts["controller"] = _part(
        "controller",
        Decimal("6.90"),
        theta_ja_k_per_w=30.0,
        gpio_pins=400,
        pin_groups={
            "A": PinGroup(pins=300, functions=("gpio", "pwm")),
            "B": PinGroup(pins=100, functions=("gpio", "adc", "spi")),
        },
        supplies={"main": SupplyNeed(voltage_v=5.0, current_a=Parameter(typ=0.085, max=0.11))},
        standby_current_a=Parameter(typ=5e-5, max=1e-4),
    )
    parts["supply"] = _part(
        "sbc",
        Decimal("1.24"),
        theta_ja_k_per_w=34.0,
        converter="linear",
        output_v=5.0,
        output_current_a=0.25,
        rails=1,
        supplies={"input": SupplyNeed(current_a=Parameter(typ=3e-5, max=6e-5))},
        standby_current_a=Parameter(typ=3e-5, max=6e-5),
        pin_needs={"gpio": 3},
        control_pins=3,
    )
    parts["header"] = _part("connector", Decimal("2.60"), ways=120, contact_current_a=7.0)
    parts["board"] = _part("board", Decimal("3.80"), sale_unit="dm2", placements=0)
    parts["case"] = _part("housing", Decimal("2.70"), placements=0)
    return parts


def generated_snapshot(load_count: int, loads_per_module: int) -> Snapshot:
    """Return a vehicle with so many loads, spread over modules of one size.

    Args:
        load_count: Loads of the vehicle.
        loads_per_module: Loads that one module serves.
    """
    loads = {f"L{number}": _load(number) for number in range(load_count)}
    modules = {}
    placements = {}
    for number, first in enumerate(range(0, load_count, loads_per_module)):
        module_id = f"M{number}"
        served = list(loads)[first : first + loads_per_module]
        modules[module_id] = _module(number, len(served))
        for row, load_id in enumerate(served):
            address = f"{module_id}.U{row // CHANNELS + 3}.{row % CHANNELS + 1}"
            placements[load_id] = Placement(on=(address,))
    proposal = Proposal(
        proposal=Info(name="generated", default_variant="only"),
        vehicle=Vehicle(
            supply="12 V",
            test_voltage_v=13.5,
            volume_per_year=12000,
            years=5,
            battery_capacity_as=252000.0,
            other_standby_a=0.0075,
            battery_zone="Z0",
            gateway_zone="Z1",
            parked_mode="PARK",
        ),
        zones={f"Z{zone}": _zone(zone) for zone in range(ZONE_COUNT)},
        modes={
            mode: Mode(
                supply_low_v=volts - 0.5,
                supply_nominal_v=volts,
                supply_high_v=volts + 0.5,
                electronics="asleep" if mode == "PARK" else "awake",
            )
            for mode, volts in MODES.items()
        },
        subsystems={f"S{number}": Subsystem() for number in range(SUBSYSTEM_COUNT)},
        loads=loads,
        settings=Settings(rates=_rates()),
        variants={"only": Variant(modules=modules, placements=placements)},
    )
    return Snapshot(proposal=proposal, parts=generated_parts())


def _part(kind: str, price: Decimal, **fields: object) -> Part:
    breaks = tuple(
        PriceBreak(quantity=quantity, price=price * factor)
        for quantity, factor in ((1000, Decimal("1.2")), (10_000, Decimal(1)), (100_000, Decimal("0.9")))
    )
    known: dict[str, object] = {"moq": 1000, "multiple": 500, "currency": "EUR", "breaks": breaks, **fields}
    return Part(kind=kind, **known)  # type: ignore[arg-type]


def _load(number: int) -> Load:
    behaviour = BEHAVIOURS[number % len(BEHAVIOURS)]
    return Load(
        subsystem=f"S{number // 7 % SUBSYSTEM_COUNT}",
        zone=f"Z{number % ZONE_COUNT}",
        drive="HS",
        kind="filament" if behaviour == "filament" else "heater",
        behaviour=behaviour,
        test_current_a=0.2 + number % 17 / 10,
        peak_current_a=1.0 + number % 5,
        pwm_frequency_hz=100.0 if number % 5 == 0 else None,
        time_share_ratio={mode: 0.0 if mode == "PARK" else number % 10 / 10 for mode in MODES},
        pwm_duty_ratio=dict.fromkeys(MODES, 0.6) if number % 5 == 0 else {},
        sleep_share_ratio=0.02,
    )


def _module(number: int, load_count: int) -> Module:
    devices = {
        "U1": Device(part="controller", supply={"main": "V5"}),
        "U2": Device(part="supply", supply={"input": "battery"}, commanded_by="U1"),
    }
    for chip in range((load_count + CHANNELS - 1) // CHANNELS):
        devices[f"U{chip + 3}"] = Device(
            part=f"switch-{(number + chip) % 8}", supply={"main": "battery"}, commanded_by="U1"
        )
    return Module(
        zone=f"Z{number % ZONE_COUNT}",
        rails={"V5": Rail(voltage_v=5.0, source="U2")},
        devices=devices,
        items={
            "header": Item(quantity=Amount(quantity=Decimal(2))),
            "board": Item(quantity=Amount(quantity=Decimal("1.8"), unit="dm2")),
            "case": Item(quantity=Amount(quantity=Decimal(1))),
        },
    )


def _zone(zone: int) -> Zone:
    distances = {f"Z{other}": 0.8 + 0.7 * (other - zone) for other in range(zone, ZONE_COUNT)}
    return Zone(ambient_degc=65.0 + 5 * zone, distance_m=distances)


def _rates() -> Rates:
    def euros(amount: str) -> Money:
        return Money(amount=Decimal(amount), currency="EUR")

    return Rates(
        placement=euros("0.011"),
        test_per_module=euros("1.40"),
        test_per_way=euros("0.02"),
        assembly_per_module=euros("2.10"),
        wire_per_metre=euros("0.31"),
        wire_end=euros("0.19"),
        bus_node=euros("0.60"),
        one_off=euros("90000"),
        freight_ratio=0.03,
        duty_ratio=0.0,
    )
