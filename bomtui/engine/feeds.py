"""Feeds and ground points of a variant: their currents, and what fuse and wire make of them."""

from collections.abc import Mapping
from dataclasses import dataclass

from bomtui.engine.calc import Gate
from bomtui.engine.changes import are_the_same, electrical
from bomtui.engine.feed_current import FeedDraw, FeedDraws, feed_of_device, up_to
from bomtui.engine.fuse import (
    blade_rated_v,
    fuse_load_ratio,
    fuse_used_ratio,
    needed_fuse_a,
    next_fuse,
    short_circuit_a,
    usable_fuse_a,
)
from bomtui.engine.load_groups import largest_on
from bomtui.engine.supply_range import supply_high_v
from bomtui.engine.wire import (
    Laying,
    allowed_drop_v,
    ampacity,
    copper_kg,
    drop_ratio,
    drop_v,
    hot_resistance,
    loop_m,
    size_of,
    smallest_area,
    wire_heat_w,
    wire_ohm,
)
from bomtui.engine.wiring import given_run
from bomtui.model.bound import Value
from bomtui.model.feed import Feed
from bomtui.model.ids import Address, natural_key, parse_address
from bomtui.model.limits import NOMINAL_V
from bomtui.model.part import Part
from bomtui.model.proposal import Proposal, Snapshot
from bomtui.model.rollup import FeedMode, FeedResult, Figure, GroundResult
from bomtui.model.settings import Settings
from bomtui.model.variant import Variant

ModuleDraws = Mapping[str, FeedDraws]
"""What each module draws from each of its feeds."""


@dataclass(frozen=True, slots=True)
class FeedMemo:
    """Feeds with all that they were made from.

    Attributes:
        results: Every feed, in natural order.
        made_of: Per feed, every object that its result depends on.
    """

    results: dict[str, FeedResult]
    made_of: Mapping[str, tuple[object, ...]]


def feed_memo(
    calc: Gate, snapshot: Snapshot, variant_id: str, draws: ModuleDraws, former: FeedMemo | None = None
) -> FeedMemo:
    """Return every feed of a variant; one of which everything is the very same object as before keeps its result.

    Args:
        calc: Gate.
        snapshot: Proposal and frozen parts.
        variant_id: Id of the variant.
        draws: What each module draws from each of its feeds.
        former: The feeds of a former snapshot of the variant.
    """
    variant = snapshot.proposal.variants[variant_id]
    made = _Feeds(calc, snapshot, variant_id, draws)
    made_of = {feed_id: made.made_of(feed_id) for feed_id in sorted(variant.feeds, key=natural_key)}
    results = {}
    for feed_id, objects in made_of.items():
        then = None if former is None else former.made_of.get(feed_id)
        same = then is not None and are_the_same(objects, then)
        results[feed_id] = former.results[feed_id] if same and former is not None else made.result(feed_id)
    return FeedMemo(results, made_of)


def ground_results(calc: Gate, proposal: Proposal, variant_id: str, draws: ModuleDraws) -> dict[str, GroundResult]:
    """Return every ground point that feeds of a variant name, in natural order.

    What returns from a feed that names none may return to each of them.

    Args:
        calc: Gate.
        proposal: The proposal.
        variant_id: Id of the variant.
        draws: What each module draws from each of its feeds.
    """
    feeds_at: dict[str, list[str]] = {}
    for feed_id, feed in proposal.variants[variant_id].feeds.items():
        feeds_at.setdefault(feed.ground, []).append(feed_id)
    open_feeds = {feed_id: _by_mode(draws, [feed_id]) for feed_id in feeds_at.pop("", [])}
    found = {}
    for ground in sorted(feeds_at, key=natural_key):
        feeds = sorted(feeds_at[ground], key=natural_key)
        found[ground] = GroundResult(
            id=ground,
            feeds=tuple(feeds),
            returned_a={
                mode: _with_open(
                    calc, returned_a(calc, own), {key: draw.get(mode, {}) for key, draw in open_feeds.items()}
                )
                for mode, own in _by_mode(draws, feeds).items()
            },
        )
    return found


def _with_open(calc: Gate, returned: Value, anywhere: Mapping[str, Mapping[str, FeedDraw]]) -> Value:
    """Return what comes back to a ground, with all that may from feeds that name none [A]."""
    if not any(anywhere.values()):
        return returned
    keys, values = ["feeds that name it"], [returned]
    for feed_id in sorted(anywhere, key=natural_key):
        own = returned_a(calc, anywhere[feed_id])
        keys.append(f"feed {feed_id}")
        values.append(None if own is None else up_to(calc, own, f"ground of {feed_id}"))
    return calc.total(keys, values)


def _by_mode(draws: ModuleDraws, feeds: list[str]) -> dict[str, dict[str, FeedDraw]]:
    """Return what modules draw from some feeds, per mode."""
    found: dict[str, dict[str, FeedDraw]] = {}
    for module_id, own in draws.items():
        for feed_id in feeds:
            for mode, draw in own.get(feed_id, {}).items():
                found.setdefault(mode, {})[f"{module_id} from {feed_id}"] = draw
    return found


def returned_a(calc: Gate, draws: Mapping[str, FeedDraw]) -> Value:
    """Return the steady current that comes back through modules to the ground of what they draw from [A]."""
    loads, _ = largest_on(calc, list(draws), [draw.returned for draw in draws.values()])
    own = calc.total(list(draws), [draw.electronics_a for draw in draws.values()])
    return calc.total(("loads", "electronics"), (loads, own))


@dataclass(frozen=True, slots=True)
class _Sum:
    """What a feed carries in one mode."""

    typ_a: Value
    max_a: Value
    heating_a: Value
    peak_a: Value


class _Feeds:
    """The feeds of one variant."""

    def __init__(self, calc: Gate, snapshot: Snapshot, variant_id: str, draws: ModuleDraws) -> None:
        self.calc = calc
        self.proposal = snapshot.proposal
        self.parts = snapshot.parts
        self.variant = snapshot.proposal.variants[variant_id]
        self.draws = draws
        self.modes = [mode for mode, data in self.proposal.modes.items() if data.electronics != "asleep"]
        self.sums: dict[tuple[str, str], _Sum] = {}
        self.fed_through = _fed_through(self.variant)

    def made_of(self, feed_id: str) -> tuple[object, ...]:
        """Everything that its result depends on; what another feed switches, or may, depends on all of them."""
        proposal, variant = self.proposal, self.variant
        own_settings = (proposal.modes, proposal.zones, proposal.settings)
        common = (variant.feeds[feed_id], *electrical(proposal.vehicle), *own_settings)
        if any(feed.switch for feed in variant.feeds.values()):
            return (*common, self.parts, *variant.feeds.values(), *variant.modules.values(), *self.draws.values())
        own = [module_id for module_id, module in variant.modules.items() if feed_id in module.feeds]
        return (*common, *own, *map(variant.modules.get, own), *map(self.draws.get, own))

    def result(self, feed_id: str) -> FeedResult:
        """Everything of one feed."""
        calc, feed = self.calc, self.variant.feeds[feed_id]
        sums = {mode: self._sum(feed_id, mode, ()) for mode in self.modes}
        modes = tuple(
            FeedMode(mode=mode, current_a=Figure(own.typ_a, own.max_a), heating_a=own.heating_a, peak_a=own.peak_a)
            for mode, own in sums.items()
        )
        heating = calc.largest(self.modes, [own.heating_a for own in sums.values()])
        largest = calc.largest(self.modes, [own.max_a for own in sums.values()])
        mean = calc.largest(self.modes, [own.typ_a for own in sums.values()])
        protection, rated, usable = self._protection(feed)
        lying = laying(calc, self.proposal, self.variant, feed_id)
        size = size_of(calc, lying.conductor, feed.wire_area_m2)
        hot, warm = (
            calc(wire_ohm, resistance_ohm_per_m=hot_resistance(calc, size, degc), length_m=lying.length_m)
            for degc in (lying.conductor_degc, lying.ambient_degc)
        )
        drop = Figure(
            calc(drop_v, current_a=mean, resistance_ohm=warm), calc(drop_v, current_a=largest, resistance_ohm=hot)
        )
        nominal = nominal_v(calc, self.proposal)
        fuse = self._proposed_fuse(feed, heating)
        cut_off = protection if feed.switch or feed.fuse_current_a is not None else fuse
        allowed = calc(allowed_drop_v, nominal_v=nominal, limit_ratio=self.proposal.settings.limits.drop_ratio)
        return FeedResult(
            id=feed_id,
            modules=tuple(
                sorted(
                    (own for own, module in self.variant.modules.items() if feed_id in module.feeds), key=natural_key
                )
            ),
            modes=modes,
            heating_a=heating,
            protection_a=protection,
            usable_a=usable,
            load_ratio=calc(fuse_used_ratio, current_a=heating, fuse_current_a=rated),
            length_m=lying.length_m,
            resistance_ohm=hot,
            drop_v=drop,
            drop_ratio=calc(drop_ratio, drop_v=drop.max, nominal_v=nominal),
            wire_heat_w=calc(wire_heat_w, current_a=heating, resistance_ohm=hot),
            ampacity_a=ampacity(calc, size, lying),
            copper_kg=calc(copper_kg, area_m2=feed.wire_area_m2, length_m=lying.length_m),
            proposed_fuse_a=fuse,
            proposed_area_m2=smallest_area(calc, lying, cut_off, largest, allowed),
        )

    def _sum(self, feed_id: str, mode: str, above: tuple[str, ...]) -> _Sum:
        """What modules draw from a feed, and the feeds that channels on it switch."""
        if feed_id in above:
            # Feeds that switch each other: nothing can be said of their current.
            return _Sum(None, None, None, None)
        if (feed_id, mode) not in self.sums:
            calc = self.calc
            draws = {
                module_id: own[feed_id][mode]
                for module_id, own in self.draws.items()
                if feed_id in own and mode in own[feed_id]
            }
            below = {own: self._sum(own, mode, (*above, feed_id)) for own in self.fed_through.get(feed_id, ())}
            names = list(draws)
            keys = ["loads", "electronics", *[f"feed {own}" for own in below]]
            electronics = calc.total(names, [draw.electronics_a for draw in draws.values()])
            on_a, inrush_a = largest_on(calc, names, [draw.on for draw in draws.values()])
            heating_a, _ = largest_on(calc, names, [draw.heating for draw in draws.values()])
            typ_a = calc.total(names, [draw.typ_a for draw in draws.values()])
            max_a = calc.total(keys, [on_a, electronics, *[own.max_a for own in below.values()]])
            self.sums[feed_id, mode] = _Sum(
                typ_a=calc.total(
                    ["modules", *[f"feed {own}" for own in below]], [typ_a, *[own.typ_a for own in below.values()]]
                ),
                max_a=max_a,
                heating_a=calc.total(keys, [heating_a, electronics, *[own.heating_a for own in below.values()]]),
                peak_a=calc.total(("everything on", "inrush"), (max_a, inrush_a)),
            )
        return self.sums[feed_id, mode]

    def _protection(self, feed: Feed) -> tuple[Value, Value, Value]:
        """Return what cuts a feed off at last, the rated current of fuse or channel, and what of it may be used."""
        if feed.switch:
            part = switching_part(self.variant, self.parts, feed)
            rated = None if part is None else part.current_all_a
            return None if part is None else part.current_limit_a.upper, rated, rated
        ratio = fuse_share(self.calc, self.proposal, feed)
        usable = self.calc(usable_fuse_a, fuse_current_a=feed.fuse_current_a, load_ratio=ratio)
        return feed.fuse_current_a, feed.fuse_current_a, usable

    def _proposed_fuse(self, feed: Feed, heating_a: Value) -> Value:
        calc, limits = self.calc, self.proposal.settings.limits
        supply = calc.largest(self.modes, [supply_high_v(self.proposal.modes[mode]) for mode in self.modes])
        short = calc(short_circuit_a, supply_v=supply, loop_ohm=limits.inrush_loop_ohm)
        if blade_rated_v(supply, short) is None:
            return None
        ratio = fuse_share(calc, self.proposal, feed)
        return next_fuse(calc, feed.fuse_type, calc(needed_fuse_a, current_a=heating_a, load_ratio=ratio))


def _fed_through(variant: Variant) -> dict[str, list[str]]:
    """Return per feed the feeds that a channel on it switches."""
    found: dict[str, list[str]] = {}
    for feed_id, feed in variant.feeds.items():
        address = switch_address(feed)
        module = None if address is None else variant.modules.get(address.module)
        above = feed_of_device(module, address.device) if module is not None and address is not None else ""
        if above:
            found.setdefault(above, []).append(feed_id)
    return found


def switch_address(feed: Feed) -> Address | None:
    """Return the channel that switches a feed; None where it has a fuse."""
    return parse_address(feed.switch) if feed.switch else None


def switching_part(variant: Variant, parts: Mapping[str, Part], feed: Feed) -> Part | None:
    """Return the part whose channel switches a feed; None where it has a fuse, or where nothing is known of it."""
    address = switch_address(feed)
    module = None if address is None else variant.modules.get(address.module)
    device = None if module is None or address is None else module.devices.get(address.device)
    return None if device is None else parts.get(device.part)


def fuse_share(calc: Gate, proposal: Proposal, feed: Feed) -> Value:
    """Return the share of its rated current that the fuse of a feed carries for ever, in the air of its zone."""
    limits = proposal.settings.limits
    zone = proposal.zones.get(fuse_zone(proposal, feed))
    return calc(
        fuse_load_ratio,
        cool_ratio=limits.fuse_load_ratio,
        hot_ratio=limits.fuse_load_hot_ratio,
        ambient_degc=None if zone is None else zone.ambient_degc,
    )


def fuse_zone(proposal: Proposal, feed: Feed) -> str:
    """Return the zone of the fuse or switch of a feed; empty where nothing says."""
    return feed.fuse_zone or proposal.vehicle.battery_zone


def nominal_v(calc: Gate, proposal: Proposal) -> Value:
    """Return the nominal voltage of the vehicle supply [V]; None where its class is not known."""
    supply = proposal.vehicle.supply
    if supply is None:
        return None
    known: float = calc.given(NOMINAL_V[supply], f"nominal voltage of the supply class {supply}")
    return known


def laying(calc: Gate, proposal: Proposal, variant: Variant, feed_id: str) -> Laying:
    """Return how the wires of a feed lie: through the hottest of its zones, to the farthest of its modules.

    Args:
        calc: Gate.
        proposal: For zones and settings.
        variant: The variant.
        feed_id: Id of the feed.
    """
    feed = variant.feeds[feed_id]
    here = fuse_zone(proposal, feed)
    zones = sorted({module.zone for module in variant.modules.values() if feed_id in module.feeds})
    there: Value = feed.wire_length_m
    if there is None and zones:
        there = _farthest(calc, proposal, here, zones)
    back = there if feed.return_length_m is None else feed.return_length_m
    return Laying(
        conductor=proposal.settings.wires.conductor,
        conductor_degc=_insulation_degc(proposal.settings, feed.wire_max_degc),
        ambient_degc=hottest_degc(calc, proposal, [here, *zones]),
        wires=proposal.settings.wires.bundle if feed.bundle is None else feed.bundle,
        length_m=calc(loop_m, there_m=there, back_m=back),
    )


def _insulation_degc(settings: Settings, own_degc: float | None) -> float:
    return settings.wires.wire_max_degc if own_degc is None else own_degc


def hottest_degc(calc: Gate, proposal: Proposal, zones: list[str]) -> Value:
    """Return the hottest air of some zones [degC]; None where that of one is not known."""
    known = {zone: proposal.zones[zone].ambient_degc if zone in proposal.zones else None for zone in zones}
    if None in known.values():
        return None
    return calc.largest(list(known), list(known.values()))


def _farthest(calc: Gate, proposal: Proposal, here: str, zones: list[str]) -> Value:
    runs = [given_run(proposal.zones, here, zone) for zone in zones]
    lengths = [run.length_m for run in runs if run is not None]
    return calc.largest(zones, lengths) if len(lengths) == len(runs) else None
