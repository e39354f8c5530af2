"""Whole valid proposals, parts and snapshots for property tests: small, quick to draw, and consistent in themselves.

`snapshots()` gives what an engine can compute: every name leads somewhere, no channel is taken twice, rails have a
source, values are of a size that occurs, and now and then something is unknown. `wide_parts()` gives parts
with any fields at all, for what has to read and write them.
"""

import dataclasses
import datetime
from collections.abc import Iterator, Mapping
from decimal import Decimal
from functools import cache
from itertools import islice
from typing import Any, TypeVar

import msgspec
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy

from bomtui.model.base import Base
from bomtui.model.constraints import Constraints
from bomtui.model.fields import FieldInfo, field_table
from bomtui.model.load import DRIVE_CODES, Load
from bomtui.model.money import Money
from bomtui.model.network import Message, Network, Node
from bomtui.model.parameter import Parameter
from bomtui.model.part import DRIVER_KINDS, Part, PinGroup, PriceBreak, SupplyNeed
from bomtui.model.programme import Exchange, Programme
from bomtui.model.proposal import Assumption, Info, Proposal, Snapshot
from bomtui.model.settings import DRIVE_HABITS, DriveHabit, Rates, Settings
from bomtui.model.variant import Acceptance, Amount, Device, Item, Module, Placement, Rail, Variant
from bomtui.model.vehicle import Decomposition, Mode, Pair, Subsystem, Vehicle, Zone

RecordT = TypeVar("RecordT", bound=Base)

CURRENCY = "EUR"

# Lowest and highest whole number, and the power of ten of its unit in the model's unit.
_SIZES: dict[str, tuple[int, int, int]] = {
    "current": (1, 9999, -3),
    "voltage": (1, 600, -1),
    "power": (1, 9999, -2),
    "resistance": (1, 9999, -4),
    "temperature": (-40, 150, 0),
    "temperature_difference": (0, 60, 0),
    "thermal_resistance": (5, 900, -1),
    "time": (1, 9999, -3),
    "frequency": (1, 9999, 0),
    "inductance": (1, 9999, -6),
    "capacitance": (1, 9999, -9),
    "charge": (1, 400, 3),
    "gate_charge": (1, 999, -9),
    "ratio": (0, 1000, -3),
    "length": (0, 120, -1),
    "area": (1, 9999, -6),
    "mass": (1, 999, -3),
    "bit_rate": (1, 999, 4),
    "data_size": (1, 64, 5),
    "energy": (1, 999, -3),
    "i2t": (1, 999, -2),
    "power_level": (-40, 10, 0),
    "attenuation": (0, 400, -1),
    "attenuation_per_length": (1, 9, -1),
    "capacitance_per_length": (1, 999, -12),
}

_SIDES_OF_KIND: dict[str, tuple[str, ...]] = {
    "high_side": ("HS", "HSP", "FEED"),
    "low_side": ("LS", "INJ"),
    "half_bridge": ("HB2", "HB3", "HB4"),
    "full_bridge": ("FB",),
    "led_driver": ("LEDB",),
}

_SPECIAL_TEXTS = ('"', "\\", "a\nb", "\t#", "=1+1", "µΩ °C", "\u202e", "[x]", "\x00\x1b", "unknown", " ", "\U0001f50c")


@cache
def quantities(dimension: str) -> SearchStrategy[float]:
    """Values of a size that occurs, with few digits, in the model's unit."""
    low, high, power = _SIZES[dimension]
    return st.integers(low, high).map(lambda number: float(f"{number}e{power}"))


@cache
def exact_numbers(max_digits: int = 4) -> SearchStrategy[Decimal]:
    """Exact numbers, zero or more, some with zeros at their end."""
    return st.builds(
        lambda number, digits: Decimal(number).scaleb(-digits), st.integers(0, 99_999), st.integers(0, max_digits)
    )


@cache
def texts() -> SearchStrategy[str]:
    """Texts that people and other people's files hold."""
    # Half a surrogate pair is no character, and no text file can hold it.
    return st.one_of(st.sampled_from(_SPECIAL_TEXTS), st.text(st.characters(codec="utf-8"), max_size=6))


@cache
def ids(prefix: str, *, most: int) -> SearchStrategy[list[str]]:
    """Lists of different ids; their numbers are not in the order of their text."""
    return st.lists(st.integers(1, 120), max_size=most, unique=True).map(
        lambda numbers: [f"{prefix}{number}" for number in numbers]
    )


@cache
def some(prefix: str, *, most: int) -> SearchStrategy[list[str]]:
    """Lists of different ids with at least one."""
    return ids(prefix, most=most).map(lambda names: names or [f"{prefix}1"])


@st.composite
def records(draw: DrawFn, record: type[RecordT], given: Mapping[str, Any], *, most: int = 6) -> RecordT:
    """Draw a record with some of its fields set by their shape, and others fixed; what names something stays absent."""
    required, optional = _free_fields(record, frozenset(given))
    # One list chooses the fields: asking each of a hundred apart would be slow.
    chosen = draw(_choices(optional, most)) if optional else []
    values: dict[str, Any] = {name: draw(_values(record, name)) for name in (*required, *chosen)}
    return record(**values, **given)


@cache
def _free_fields(record: type[Base], given: frozenset[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Required and optional fields that can be set without naming anything."""
    free = [
        info
        for info in field_table(record)
        if info.name not in given and not info.refers_to and info.shape not in {"record", "records"}
    ]
    return tuple(i.name for i in free if i.required), tuple(i.name for i in free if not i.required)


# Strategies are kept: building one costs more than drawing from it.
@cache
def _choices(names: tuple[str, ...], most: int) -> SearchStrategy[list[str]]:
    return st.lists(st.sampled_from(names), max_size=most, unique=True)


@cache
def _values(record: type[Base], name: str) -> SearchStrategy[Any]:
    return values_of(next(info for info in field_table(record) if info.name == name))


def values_of(info: FieldInfo) -> SearchStrategy[Any]:
    """Lawful values of one field."""
    if info.choices and info.shape in {"choice", "text"}:
        return st.sampled_from(info.choices)
    if info.key == "currency":
        return st.sampled_from(["", CURRENCY, "USD"])
    if info.shape == "quantity":
        return quantities(info.dimension)
    if info.shape == "parameter":
        return parameters(info.dimension)
    if info.shape in {"quantities", "words"}:
        inner = dataclasses.replace(info, shape=info.values or "text")
        return st.dictionaries(st.sampled_from(["A", "b-2", "X_10", "x_9"]), values_of(inner), max_size=2)
    if info.shape == "texts":
        return st.lists(st.sampled_from(info.choices) if info.choices else texts(), max_size=3).map(tuple)
    plain: dict[str, SearchStrategy[Any]] = {
        "count": st.integers(0, 5000),
        "decimal": exact_numbers(),
        "amount": st.builds(lambda number, unit: Amount(quantity=number, unit=unit), exact_numbers(), sale_units()),
        "money": money(),
        "flag": st.booleans(),
        "text": texts(),
        "date": st.dates(datetime.date(1990, 1, 1), datetime.date(2060, 12, 31)),
        "breaks": ladders(),
    }
    return plain[info.shape]


@cache
def sale_units() -> SearchStrategy[str]:
    """Units in which parts are sold."""
    return st.sampled_from(["piece", "dm2"])


@cache
def money() -> SearchStrategy[Money]:
    """Exact amounts of the proposal's currency."""
    return st.builds(lambda amount: Money(amount=amount, currency=CURRENCY), exact_numbers())


@cache
def ladders() -> SearchStrategy[tuple[PriceBreak, ...]]:
    """Price ladders, some without any rung."""
    rungs = st.dictionaries(st.sampled_from([1, 10, 500, 1000, 25_000]), exact_numbers(), max_size=3)
    return rungs.map(lambda prices: tuple(PriceBreak(quantity=least, price=prices[least]) for least in sorted(prices)))


@cache
def parameters(dimension: str) -> SearchStrategy[Parameter]:
    """Parameters with none to three values, in order."""

    def build(values: list[float], sides: list[str]) -> Parameter:
        ordered = sorted(sides, key=("min", "typ", "max").index)
        return Parameter(**dict(zip(ordered, sorted(values), strict=False)))

    sides = st.sampled_from([["typ"], ["max"], ["typ", "max"], ["min", "typ", "max"], []])
    return st.builds(build, st.lists(quantities(dimension), min_size=3, max_size=3), sides)


@st.composite
def parts(draw: DrawFn, kind: str | None = None) -> Part:
    """Draw a part that does its job: a driver has channels, a supply an output, a controller pins."""
    kinds = ["controller", *_SIDES_OF_KIND, "fet", "ldo", "dcdc", "transceiver_can", "sensor", "connector", "board"]
    chosen = draw(st.sampled_from(kinds)) if kind is None else kind
    given = {
        "kind": chosen,
        "mpn": draw(st.sampled_from(["0710370001", "KX-1E10", "2-1"])),
        "currency": CURRENCY,
        "breaks": draw(ladders()),
        "moq": draw(st.none() | st.sampled_from([1, 2500])),
        "multiple": draw(st.none() | st.sampled_from([1, 500])),
        "sale_unit": "dm2" if chosen == "board" else "piece",
        **draw(_by_kind(chosen)),
    }
    # A value that nobody knows is a case of its own everywhere.
    known = [name for name in given if name not in {"kind", "currency", "sale_unit"}]
    for name in draw(st.lists(st.sampled_from(known), max_size=1)):
        del given[name]
    return Part(**given)


@st.composite
def _by_kind(draw: DrawFn, kind: str) -> dict[str, Any]:
    """Draw the fields that belong to a kind of part."""
    fields: dict[str, Any] = {"standby_current_a": draw(parameters("current"))}
    if kind == "controller":
        pins = draw(st.integers(1, 40))
        fields |= {
            "gpio_pins": pins + 4,
            "pwm_pins": pins,
            "adc_pins": 4,
            "pin_groups": {
                "A": PinGroup(pins=pins, functions=("gpio", "pwm", "capture")),
                "B": PinGroup(pins=4, functions=("gpio", "adc", "spi")),
            },
            "supplies": {"vdd": SupplyNeed(voltage_v=5.0, current_a=draw(parameters("current")))},
        }
    elif kind in DRIVER_KINDS:
        channels = 4 if kind == "half_bridge" else 2 * draw(st.integers(1, 4))
        fields |= {
            "channels": channels,
            "sides": _SIDES_OF_KIND[kind],
            "rds_on_ohm": draw(parameters("resistance")),
            "hot_rds_on_ratio": 1.9,
            "current_all_a": draw(quantities("current")),
            "theta_ja_k_per_w": draw(quantities("thermal_resistance")),
            "junction_max_degc": 150.0,
            "pin_needs": {"channel": channels},
            "control_pins": channels,
            "supplies": {"vbat": SupplyNeed(current_a=draw(parameters("current")))},
        }
    elif kind in {"ldo", "dcdc"}:
        fields |= {
            "output_v": 5.0,
            "output_current_a": draw(quantities("current")),
            "rails": 1,
            "converter": "linear" if kind == "ldo" else "switching",
            "efficiency_ratio": Parameter() if kind == "ldo" else Parameter(min=0.8, typ=0.9),
            "supplies": {"vin": SupplyNeed(current_a=draw(parameters("current")))},
        }
    return fields


@cache
def wide_parts() -> SearchStrategy[Part]:
    """Parts with any fields, whether their kind has them or not."""
    needs = st.dictionaries(st.sampled_from(["vdd", "vio"]), records(SupplyNeed, {}), max_size=2)
    groups = st.dictionaries(st.sampled_from(["A", "B10"]), records(PinGroup, {}), max_size=2)
    nested = st.fixed_dictionaries({"supplies": needs, "pin_groups": groups})
    return nested.flatmap(lambda given: records(Part, given, most=12))


@st.composite
def loads(draw: DrawFn, subsystems: list[str], zones: list[str], modes: list[str]) -> Load:
    """Draw a load of a vehicle; a mode without a time share is one of which nobody knows it."""
    shares = st.dictionaries(st.sampled_from(modes), quantities("ratio"))
    given = {
        "subsystem": draw(st.sampled_from(subsystems)),
        "zone": draw(st.sampled_from(["", *zones])),
        "time_share_ratio": draw(shares),
        "pwm_duty_ratio": draw(shares),
        "pulse_rate_hz": draw(st.dictionaries(st.sampled_from(modes), quantities("frequency"), max_size=1)),
        "test_current_a": draw(st.none() | quantities("current")),
        "drive": draw(st.sampled_from(DRIVE_CODES)),
    }
    return draw(records(Load, given, most=4))


@st.composite
def proposal_of_parts(draw: DrawFn, catalog: Mapping[str, Part]) -> Proposal:
    """Draw a proposal whose devices and items are parts of a catalog."""
    zones, modes, subsystems = draw(some("Z", most=3)), draw(some("M", most=3)), draw(some("S", most=2))
    names = draw(ids("L", most=6))
    vehicle_loads = {name: draw(loads(subsystems, zones, modes)) for name in names}
    variants = {name: draw(_variants(catalog, vehicle_loads, zones)) for name in draw(some("V", most=2))}
    pairs = {}
    if len(names) > 1 and draw(st.booleans()):
        given = {"primary": names[0], "stand_in": names[1]}
        pairs["P1"] = draw(records(Pair, given, most=2))
    decompositions = {}
    if len(names) > 1 and draw(st.booleans()):
        both = {"one": names[0], "other": names[1], "independence": ""}
        decompositions["D1"] = draw(records(Decomposition, both, most=2))
    info = {"currency": CURRENCY, "default_variant": draw(st.sampled_from(["", *variants]))}
    places = {"battery_zone": draw(st.sampled_from(zones)), "gateway_zone": draw(st.sampled_from(zones))}
    return Proposal(
        proposal=draw(records(Info, info, most=3)),
        vehicle=draw(records(Vehicle, places)),
        zones=draw(_zones(zones)),
        modes={name: draw(records(Mode, {})) for name in modes},
        subsystems={name: draw(records(Subsystem, {}, most=1)) for name in subsystems},
        loads=vehicle_loads,
        pairs=pairs,
        decompositions=decompositions,
        constraints=draw(records(Constraints, {})),
        settings=draw(_settings()),
        programme=draw(_programmes()),
        assumptions={name: draw(records(Assumption, {}, most=3)) for name in draw(ids("A", most=1))},
        variants=variants,
    )


@st.composite
def _zones(draw: DrawFn, names: list[str]) -> dict[str, Zone]:
    """Draw zones with one distance per pair."""
    zones: dict[str, Zone] = {}
    for number, name in enumerate(names):
        others = draw(st.lists(st.sampled_from(names[number:]), unique=True))
        zones[name] = draw(
            records(Zone, {"distance_m": {other: draw(quantities("length")) for other in others}}, most=2)
        )
    return zones


@st.composite
def _settings(draw: DrawFn) -> Settings:
    """Draw settings: mostly those of the trade, some of the proposal's own."""
    drives: dict[str, DriveHabit] = {}
    for code in draw(st.lists(st.sampled_from(DRIVE_CODES), max_size=1)):
        drives[code] = msgspec.structs.replace(DRIVE_HABITS[code], wires=draw(st.integers(0, 4)))
    return Settings(rates=draw(records(Rates, {})), drives=drives)


@st.composite
def _programmes(draw: DrawFn) -> Programme:
    """Draw a programme; now and then it says what a dollar is worth, on a known day or not."""
    exchange = {"USD": draw(records(Exchange, {}))} if draw(st.integers(0, 3)) == 0 else {}
    return draw(records(Programme, {"exchange": exchange}, most=3))


@st.composite
def _variants(
    draw: DrawFn, catalog: Mapping[str, Part], vehicle_loads: Mapping[str, Load], zones: list[str]
) -> Variant:
    """Draw an architecture: modules with a supply, a controller and drivers, and loads on free channels."""
    modules = {name: draw(_modules(catalog, zones)) for name in draw(ids("B", most=2))}
    free = {
        name: [
            (ref, iter(range(1, (catalog[device.part].channels or 0) + 1)), catalog[device.part].sides)
            for ref, device in module.devices.items()
        ]
        for name, module in modules.items()
    }
    placements: dict[str, Placement] = {}
    for name, load in vehicle_loads.items():
        if not modules or not draw(st.integers(0, 3)):
            continue
        module = draw(st.sampled_from(list(modules)))
        on = _channels(module, load, free[module])
        if on:
            placed = {
                "on": on,
                "stage": (),
                "joined": None,
                "rail": draw(st.sampled_from(["", *modules[module].rails])),
                "fail_safe": "",
            }
            placements[name] = draw(records(Placement, placed, most=1))
    accepted = {name: draw(records(Acceptance, {}, most=2)) for name in draw(ids("A", most=1))}
    places = [f"{name}.{ref}" for name, module in modules.items() for ref in module.devices]
    networks = {name: draw(_networks([*places, *vehicle_loads])) for name in draw(ids("N", most=1))}
    made = {"modules": modules, "placements": placements, "accepted": accepted, "networks": networks, "feeds": {}}
    return draw(records(Variant, made, most=1))


@st.composite
def _networks(draw: DrawFn, places: list[str]) -> Network:
    """Draw a network of some devices and loads, of which some send something."""
    at = draw(st.lists(st.sampled_from(places), max_size=3)) if places else []
    nodes = {f"n{number}": draw(records(Node, {"at": place}, most=2)) for number, place in enumerate(at)}
    messages = {f"m{number}": draw(records(Message, {"sender": sender}, most=3)) for number, sender in enumerate(nodes)}
    return draw(records(Network, {"nodes": nodes, "messages": messages}, most=2))


def _channels(module: str, load: Load, devices: list[tuple[str, Iterator[int], tuple[str, ...]]]) -> tuple[str, ...]:
    """Take the free channels that a load needs from a device of its side; only the module where it needs none."""
    needed = DRIVE_HABITS[load.drive].channels
    if not needed:
        return (module,)
    for ref, numbers, sides in devices:
        if load.drive in sides:
            taken = list(islice(numbers, needed))
            if len(taken) == needed:
                return tuple(f"{module}.{ref}.{number}" for number in taken)
    return ()


@st.composite
def _modules(draw: DrawFn, catalog: Mapping[str, Part], zones: list[str]) -> Module:
    """Draw a module: U1 makes the rail V5, U2 is the controller, drivers follow."""
    by_kind: dict[str, list[str]] = {}
    for key, part in catalog.items():
        by_kind.setdefault(part.kind, []).append(key)
    devices: dict[str, Device] = {}
    rails: dict[str, Rail] = {}
    supplies = [*by_kind.get("ldo", ()), *by_kind.get("dcdc", ())]
    if supplies:
        devices["U1"] = Device(part=draw(st.sampled_from(supplies)), supply={"vin": "battery"})
        rails["V5"] = draw(records(Rail, {"voltage_v": 5.0, "source": "U1"}, most=1))
    if by_kind.get("controller"):
        given = {"part": draw(st.sampled_from(by_kind["controller"])), "supply": {"vdd": "V5"} if rails else {}}
        devices["U2"] = draw(records(Device, given, most=1))
    drivers = [key for key, part in catalog.items() if part.kind in DRIVER_KINDS]
    for number, key in enumerate(draw(st.lists(st.sampled_from(drivers), max_size=3)) if drivers else (), start=3):
        commander = "U2" if "U2" in devices else ""
        devices[f"U{number}"] = draw(records(Device, {"part": key, "commanded_by": commander, "supply": {}}, most=1))
    items = {
        key: Item(quantity=Amount(quantity=draw(exact_numbers(1)), unit=catalog[key].sale_unit))
        for key in (*by_kind.get("board", ()), *by_kind.get("connector", ()))
    }
    given = {"zone": draw(st.sampled_from(zones)), "rails": rails, "devices": devices, "items": items}
    return draw(records(Module, given, most=2))


@st.composite
def snapshots(draw: DrawFn) -> Snapshot:
    """Draw a proposal with the parts that it uses."""
    kinds = ("ldo", "controller", "high_side", draw(st.sampled_from(["low_side", "half_bridge", "board", "dcdc"])))
    catalog = {f"{kind.replace('_', '-')}-{number}": draw(parts(kind)) for number, kind in enumerate(kinds)}
    return Snapshot(proposal=draw(proposal_of_parts(catalog)), parts=catalog)


def proposals() -> SearchStrategy[Proposal]:
    """Whole valid proposals."""
    return snapshots().map(lambda snapshot: snapshot.proposal)
