"""Wires, their length, and connector ways of a module."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import NamedTuple

from bomtui.engine.calc import Gate, exact_of, formula
from bomtui.engine.quantities import LoadWiring, ModuleWiring
from bomtui.model.bound import Value, exceeds
from bomtui.model.load import Load
from bomtui.model.proposal import Proposal
from bomtui.model.settings import DriveHabit, Settings
from bomtui.model.vehicle import Zone


@formula("wires * run_m", "m", "length of a bundle of equal runs (definition)")
def wire_length_m(wires: int, run_m: Decimal) -> Decimal:
    """Length of the wires of one load or feed.

    Args:
        wires: How many wires run together.
        run_m: Length of one [m], exact.

    Source: definition.
    """
    return wires * run_m


def module_wiring(
    calc: Gate, zone: str, loads: Sequence[Load], test_a: Sequence[Value], proposal: Proposal
) -> ModuleWiring:
    """Count wires, metres and ways of a module.

    Args:
        calc: Gate.
        zone: Zone of the module.
        loads: Its loads.
        test_a: Their currents at the test voltage [A], which decide on power contacts.
        proposal: For settings, zones and vehicle.
    """
    settings, vehicle, zones = proposal.settings, proposal.vehicle, proposal.zones
    counting = settings.counting
    runs = {far: run_m(calc, zones, zone, far) for far in {load.zone for load in loads}}
    # Most loads of a module are alike in all that their wires depend on.
    known: dict[tuple[object, ...], LoadWiring] = {}
    rows = []
    above_a = counting.power_contact_above_a
    for load, current in zip(loads, test_a, strict=True):
        powered = current > above_a if isinstance(current, float) else exceeds(current, above_a)
        alike = (load.drive, load.zone, load.contacts, load.wire_count, powered)
        own = known.get(alike)
        if own is None:
            own = known[alike] = _load_wiring(calc, load, settings, runs[load.zone], powered=powered)
        rows.append(own)
    feeds = ((counting.feed_wires, vehicle.battery_zone), (counting.bus_wires, vehicle.gateway_zone))
    lengths = [_length_m(calc, wires, run_m(calc, zones, zone, far)) for wires, far in feeds]
    common = calc.money(("feed", "bus"), lengths)
    return ModuleWiring(
        loads=tuple(rows),
        common_wires=counting.feed_wires + counting.bus_wires,
        common_length_m=common.amount,
        common_ways=counting.common_ways,
        unknown=common.unknown + sum(row.length_m is None for row in rows),
        unknown_contacts=sum(not row.contacts_known for row in rows),
    )


def run_m(calc: Gate, zones: Mapping[str, Zone], one: str, other: str) -> Decimal | None:
    """Return the wire run between two zones [m], exact; None where nobody has given it."""
    run = given_run(zones, one, other)
    return None if run is None else exact_of(calc, run.length_m, run.place)


class Run(NamedTuple):
    """A wire run between two zones, and the field that holds it."""

    place: str
    length_m: float


def given_run(zones: Mapping[str, Zone], one: str, other: str) -> Run | None:
    """Return the wire run between two zones, whichever of them says it; None where nobody has given it."""
    for here, there in ((one, other), (other, one)):
        zone = zones.get(here)
        length_m = None if zone is None else zone.distance_m.get(there)
        if length_m is not None:
            return Run(f"zones.{here}.distance.{there}", length_m)
    return None


def _length_m(calc: Gate, wires: int, run: Decimal | None) -> Decimal | None:
    if not wires:
        none: Decimal = calc.given(Decimal(0), "no wire, wherever it would run to")
        return none
    return calc.exact(wire_length_m, wires=wires, run_m=run)


def _load_wiring(
    calc: Gate, load: Load, settings: Settings, run: Decimal | None, *, powered: bool | None
) -> LoadWiring:
    habit = settings.habit(load.drive)
    wires = wires_of(load, habit)
    if load.wire_count is None:
        wires = calc.given(wires, "wires that its drive code asks for its contacts")
    ways = habit.ways + habit.ways_per_contact * load.contacts
    points = settings.counting.power_header_ways if powered else ways
    return LoadWiring(
        wires=wires,
        length_m=_length_m(calc, wires, run),
        ways=0 if powered else ways,
        power_headers=1 if powered else 0,
        points=max(points, habit.least_points),
        contacts_known=powered is not None or not ways,
    )


def wires_of(load: Load, habit: DriveHabit) -> int:
    """Return the wires of a load: its own count, or what its drive code asks."""
    if load.wire_count is not None:
        return load.wire_count
    return habit.wires + habit.wires_per_contact * load.contacts
