"""Values of vehicle, zones, modes, modules and rates that figures read."""

from collections.abc import Iterator

from bomtui.engine.calc import PLAIN
from bomtui.engine.exchange import own_amount, worth_of
from bomtui.engine.supply_range import given_high_v, given_low_v
from bomtui.engine.wiring import run_m
from bomtui.model.feed import Feed
from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.model.load import Load
from bomtui.model.money import Money
from bomtui.model.settings import Rates
from bomtui.model.variant import Module
from bomtui.model.vehicle import Mode, Vehicle, Zone
from bomtui.rules.context import Context
from bomtui.rules.data_missing.values import COST, CURRENTS, HEAT, PARTS_COST, STANDBY, WIRES, fact, value, values

GROUNDS = "what returns through ground points and what fails with them"


def vehicle_values(context: Context) -> Iterator[Verdict]:
    """Ask for what the figures read of the vehicle, its zones and modes, and for the rates."""
    vehicle, modules = context.proposal.vehicle, context.variant.modules
    if any(_reads_test_voltage(load) for load in context.loads.values()):
        present = vehicle.test_voltage_v is not None
        yield value(Vehicle, "test_voltage_v", "vehicle", CURRENTS, present=present)
    if context.variant.feeds:
        yield value(Vehicle, "supply", "vehicle", "the drop of wires", present=vehicle.supply is not None)
        yield from _grounds(context)
    if context.loads:
        yield value(Vehicle, "parked_mode", "vehicle", STANDBY, present=bool(vehicle.parked_mode))
    parked = {
        "battery_capacity_as": vehicle.battery_capacity_as is not None,
        "other_standby_a": vehicle.other_standby_a is not None,
    }
    yield from values(Vehicle, "vehicle", "parking days", parked)
    yield from _modes(context)
    if modules:
        volumes = {"volume_per_year": vehicle.volume_per_year is not None, "years": vehicle.years is not None}
        yield from values(Vehicle, "vehicle", PARTS_COST, volumes)
        ends = {"battery_zone": bool(vehicle.battery_zone), "gateway_zone": bool(vehicle.gateway_zone)}
        yield from values(Vehicle, "vehicle", WIRES, ends)
        yield from _zones(context)
        yield from _rates(context)
        yield from _exchange(context)


def _grounds(context: Context) -> Iterator[Verdict]:
    used = {feed for module in context.variant.modules.values() for feed in module.feeds}
    for feed_id in sorted(used & context.variant.feeds.keys(), key=natural_key):
        present = bool(context.variant.feeds[feed_id].ground)
        yield value(Feed, "ground", f"feeds.{feed_id}", GROUNDS, present=present)


def _reads_test_voltage(load: Load) -> bool:
    rated = load.rated_power_w is not None and load.rated_voltage_v is not None
    return load.test_current_a is None or load.behaviour != "filament" or not rated


def _modes(context: Context) -> Iterator[Verdict]:
    sources = {rail.source for module in context.variant.modules.values() for rail in module.rails.values()}
    low = bool(sources) or any(load.behaviour == "constant_power" for load in context.loads.values())
    high = any(load.behaviour != "constant_power" for load in context.loads.values())
    for mode_id, mode in context.proposal.modes.items():
        given = {"supply_nominal_v": mode.supply_nominal_v is not None}
        if low:
            given["supply_low_v"] = given_low_v(mode) is not None
        if high:
            given["supply_high_v"] = given_high_v(mode) is not None
        yield from values(Mode, f"modes.{mode_id}", f"currents in {mode_id}", given)


def _zones(context: Context) -> Iterator[Verdict]:
    vehicle, zones = context.proposal.vehicle, context.proposal.zones
    pairs: set[tuple[str, str]] = set()
    for module_id in sorted(context.variant.modules, key=natural_key):
        zone = context.variant.modules[module_id].zone
        yield value(Module, "zone", module_id, f"{WIRES}, {HEAT}", present=bool(zone))
        served = [context.loads[own.load_id].zone for own in context.serving.per_module[module_id]]
        for far in (vehicle.battery_zone, vehicle.gateway_zone, *served):
            pair = sorted((zone, far), key=natural_key)
            pairs.add((pair[0], pair[1]))
    for one, other in sorted(pairs, key=lambda pair: natural_key(".".join(pair))):
        if one in zones and other in zones:
            sentence = f"the wire run between {one} and {other} is not given"
            present = run_m(PLAIN, zones, one, other) is not None
            yield fact(f"zones.{one}.distance.{other}", sentence, WIRES, present=present)
    for zone in sorted({module.zone for module in context.variant.modules.values()} & zones.keys(), key=natural_key):
        yield value(Zone, "ambient_degc", f"zones.{zone}", HEAT, present=zones[zone].ambient_degc is not None)


def _rates(context: Context) -> Iterator[Verdict]:
    currency = context.proposal.proposal.currency
    own = context.variant.one_off
    for name in Rates.__struct_fields__:
        rate = own if name == "one_off" and own is not None else getattr(context.settings.rates, name)
        if isinstance(rate, Money) and own_amount(PLAIN, rate, context.proposal.programme, currency) is None:
            sentence = f"the rate is in {rate.currency} and the proposal in {currency}, with no rate between"
            place = f"settings.rates.{name}" if rate is not own else f"variants.{context.variant_id}.one_off"
            yield fact(place, sentence, COST, present=False)
        else:
            yield value(Rates, name, "settings.rates", COST, present=rate is not None)


def _exchange(context: Context) -> Iterator[Verdict]:
    programme, currency = context.proposal.programme, context.proposal.proposal.currency
    for name, rate in programme.exchange.items():
        place = f"programme.exchange.{name}"
        sentence = f"what one {name} is worth in {currency} is not given"
        yield fact(f"{place}.worth", sentence, COST, present=worth_of(programme, name, currency) is not None)
        yield fact(f"{place}.date", f"the day of the rate of {name} is not given", COST, present=rate.date is not None)
