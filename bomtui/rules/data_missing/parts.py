"""Values of parts that figures read."""

from collections.abc import Iterator
from dataclasses import dataclass, field

from bomtui.engine.clamp import is_coil
from bomtui.engine.exchange import worth_of
from bomtui.engine.standby import SWITCHED_TERMINAL
from bomtui.model.finding import Verdict
from bomtui.model.ids import Address, natural_key
from bomtui.model.load import Load
from bomtui.model.part import DRIVER_KINDS, SUPPLY_KINDS, Part
from bomtui.rules.context import Context
from bomtui.rules.data_missing.loads import is_pulsed
from bomtui.rules.data_missing.values import ELECTRONICS, HEAT, PARTS_COST, STANDBY, fact, value, values

NO_SUPPLY_KINDS = frozenset(("fet", "passive", "connector", "board", "housing"))
"""Kinds that draw no supply current of their own (common practice, no source)."""

ORDERING = "what is ordered"
CONTACTS = "the cost of free ways and what contacts carry"


@dataclass(slots=True)
class _Use:
    """What the variant does with a part.

    Attributes:
        placed: Whether a device is made of it.
        parked: Whether one of its devices keeps its supply while the vehicle is parked.
        items: Places where it is counted without a reference.
        kept_alive: Whether one of its modules stays partly awake.
        makes_rails: Whether it is the source of a rail.
        carried: Loads whose current flows through its devices.
    """

    placed: bool = False
    parked: bool = False
    items: list[str] = field(default_factory=list)
    kept_alive: bool = False
    makes_rails: bool = False
    carried: list[Load] = field(default_factory=list)


def part_values(context: Context) -> Iterator[Verdict]:
    """Ask for what the figures read of every part that the variant uses."""
    uses = _uses(context)
    for key in sorted(uses, key=natural_key):
        place, part = f"parts.{key}", context.parts.get(key)
        yield fact(
            place, f"{key} is not among the frozen parts", "every figure of its modules", present=part is not None
        )
        if part is None:
            continue
        yield from _price(context, place, part)
        if part.kind == "connector" and not part.bus:
            given = {"ways": part.ways is not None, "contact_current_a": part.contact_current_a is not None}
            yield from values(Part, place, CONTACTS, given)
        for item in uses[key].items:
            sentence = f"{key} has supply inputs and is counted without a reference, so nothing says what feeds it"
            yield fact(item, sentence, ELECTRONICS, present=not part.supplies)
        if uses[key].placed:
            yield from _supply(context, place, part, uses[key])
            yield from _heat(context, place, part, uses[key])


def _uses(context: Context) -> dict[str, _Use]:
    uses: dict[str, _Use] = {}
    for module_id, module in context.variant.modules.items():
        sources = {rail.source for rail in module.rails.values()}
        for ref, device in module.devices.items():
            use = uses.setdefault(device.part, _Use())
            use.placed = True
            use.parked = use.parked or device.terminal != SWITCHED_TERMINAL
            use.kept_alive = use.kept_alive or module.keep_alive
            use.makes_rails = use.makes_rails or ref in sources
        for key in module.items:
            uses.setdefault(key, _Use()).items.append(f"{module_id}.{key}")
    for load_id, addresses in context.addresses.items():
        if context.variant.placements[load_id].stage:
            continue
        for module_id, ref in dict.fromkeys(address[:2] for address in addresses if address.device):
            carrier = context.device(Address(module_id, ref))
            if carrier is not None:
                uses[carrier.part].carried.append(context.loads[load_id])
    return uses


def _price(context: Context, place: str, part: Part) -> Iterator[Verdict]:
    yield from values(Part, place, ORDERING, {"maker": bool(part.maker), "mpn": bool(part.mpn)})
    currency = context.proposal.proposal.currency
    given = {"breaks": bool(part.breaks), "moq": part.moq is not None, "multiple": part.multiple is not None}
    yield from values(Part, place, PARTS_COST, given)
    if part.breaks:
        found = part.currency or "no currency"
        sentence = f"its price is in {found} and the proposal in {currency}, with no rate between"
        yield fact(
            f"{place}.currency",
            sentence,
            PARTS_COST,
            present=part.currency == currency or _has_rate(context, part.currency),
        )


def _has_rate(context: Context, currency: str) -> bool:
    return worth_of(context.proposal.programme, currency, context.proposal.proposal.currency) is not None


def _supply(context: Context, place: str, part: Part, use: _Use) -> Iterator[Verdict]:
    standby = context.settings.standby
    counted = {*standby.counted, *(standby.counted_when_kept_alive if use.kept_alive else ())}
    if part.kind in counted and use.parked:
        yield value(Part, "standby_current_a", place, STANDBY, present=part.standby_current_a.given > 0)
    if part.kind not in NO_SUPPLY_KINDS:
        yield value(Part, "supplies", place, ELECTRONICS, present=bool(part.supplies))
    for name, need in part.supplies.items():
        own = f"{place}.supplies.{name}"
        currents = {"current": need.current_a, "idle_current": need.idle_current_a}
        for key, current in currents.items():
            if current is not None:
                sentence = f"{key.replace('_', ' ')} of its input {name} is not given"
                yield fact(f"{own}.{key}", sentence, ELECTRONICS, present=current.given > 0)
    if part.kind in SUPPLY_KINDS and use.makes_rails:
        yield value(Part, "converter", place, ELECTRONICS, present=part.converter is not None)
        yield value(Part, "output_v", place, ELECTRONICS, present=part.output_v is not None)
        if part.converter == "switching":
            yield value(Part, "efficiency_ratio", place, ELECTRONICS, present=part.efficiency_ratio.given > 0)


def _heat(context: Context, place: str, part: Part, use: _Use) -> Iterator[Verdict]:
    driving = part.kind in DRIVER_KINDS and bool(use.carried)
    if part.kind in DRIVER_KINDS:
        yield value(Part, "channels", place, "free channels and their cost", present=part.channels is not None)
    if part.supplies or driving:
        yield value(Part, "theta_ja_k_per_w", place, HEAT, present=part.theta_ja_k_per_w is not None)
    if not driving:
        return
    yield value(Part, "rds_on_ohm", place, HEAT, present=part.rds_on_ohm.given > 0)
    if not part.rds_on_ohm.given:
        return  # without an on-resistance nothing else of this list is read
    given = {"hot_rds_on_ratio": part.hot_rds_on_ratio is not None}
    pulsed = [load for load in use.carried if is_pulsed(context, load)]
    if pulsed:
        given["rise_time_s"] = part.rise_time_s.given > 0
        given["fall_time_s"] = part.fall_time_s.given > 0
    if any(is_coil(load) for load in pulsed):
        given["freewheel"] = part.freewheel is not None
    yield from values(Part, place, HEAT, given)
