"""The vehicle's figures that are always in sight."""

from collections.abc import Iterator

from bomtui.model.finding import Review
from bomtui.model.money import Total
from bomtui.model.rollup import ChannelUse, CostRollup, Figure, Rollup, VehicleCost
from bomtui.services.present import (
    amount_column_text,
    channels_text,
    column_text,
    corners_text,
    counted,
    days_column_text,
    pins_text,
    unknown_count,
    unknown_text,
    value_text,
)
from bomtui.services.rollup import Computed
from bomtui.services.target import Gap, gap_to_target
from bomtui.services.vehicle_totals import (
    Held,
    ModulesInStandby,
    ParkedCold,
    SupplyInMode,
    channels_of,
    modules_in_standby,
    parked_cold,
    pins_of,
    worst_supply,
)
from bomtui.tui.marks import Mark
from bomtui.tui.view import CHECKING, Meter

WITHIN = "within limit"
UNDECIDED = "not decided"
HELD: dict[Held, tuple[Mark, str]] = {
    "": ("", ""),
    "within": ("ok", WITHIN),
    "undecided": ("unknown", ""),
    "worst above": ("check", "max over"),
    "above": ("over", "typ over"),
}
AMPERE = ("current", "A")
CHECKED = "Checked"
DIGITS = 3
"""Significant digits of the supply current: it shares its line with what it is held against."""


def meters(computed: Computed, review: Review | None) -> tuple[Meter, ...]:
    """Return the meters of a variant.

    Args:
        computed: The variant.
        review: What the rules have said of it; None while they are being asked.
    """
    return tuple(_meters(computed, review))


def _meters(computed: Computed, review: Review | None) -> Iterator[Meter]:
    rollup, proposal = computed.rollup, computed.opened.snapshot.proposal
    currency = proposal.proposal.currency
    supply = worst_supply(proposal, rollup)
    if supply is not None:
        yield supply_meter(supply)
    yield standby_meter(rollup.standby_a, modules_in_standby(proposal, rollup))
    yield parking_meter(rollup.parking_days, parked_cold(proposal, rollup))
    yield from cost_meters(rollup.cost, currency)
    gap = gap_to_target(computed)
    if gap is not None:
        yield target_meter(gap, currency)
    channels = channels_of(rollup)
    yield channels_meter(channels)
    yield _pins(rollup)
    yield Meter(CHECKED, CHECKING) if review is None else _checks(review)


def supply_meter(supply: SupplyInMode) -> Meter:
    """Return the meter of the supply current; its mode stands beside it at every width."""
    typ, largest = (
        column_text(value, *AMPERE, digits=DIGITS) for value in (supply.current_a.typ, supply.current_a.max)
    )
    mark, word = HELD[supply.held]
    missing = unknown_text(unknown_count(supply.current_a.typ, supply.current_a.max))
    if missing and mark in {"", "ok"}:
        mark = "unknown"
    of = "" if supply.alternator_a is None else f"of {column_text(supply.alternator_a, *AMPERE)} A "
    words = ", ".join(filter(None, (word, missing)))
    return Meter("Supply", f"{typ} typ {largest} max A", f"{of}in {supply.mode}", mark, words)


def standby_meter(standby: Figure, modules: ModulesInStandby) -> Meter:
    """Return the meter of the standby current; what is limited is the current of each module."""
    value = corners_text(standby, "current", with_count=False)
    missing = unknown_text(unknown_count(standby.typ, standby.max))
    limit = f"limit {value_text(modules.limit_a, 'current')} a module"
    if modules.over:
        words = (f"{counted(modules.over, 'module', 'modules')} over", missing)
        return Meter("Standby", value, limit, "check", ", ".join(filter(None, words)))
    is_known = not modules.undecided and not missing
    return Meter("Standby", value, limit, "ok" if is_known else "unknown", WITHIN if is_known else missing or UNDECIDED)


def parking_meter(days: Figure, cold: ParkedCold) -> Meter:
    """Return the meter of the parking time; what is wanted is wanted in the cold, at the largest currents."""
    typ, worst = (days_column_text(value) for value in (days.typ, days.max))
    in_cold, wanted = (column_text(value, "time", "d") for value in (cold.lasts_s, cold.wanted_s))
    value = f"{typ} typ {worst} worst {in_cold} cold"
    limit = f"of {wanted} days"
    missing = unknown_text(unknown_count(days.typ, days.max))
    if cold.is_short:
        return Meter("Parking", value, limit, "over", ", ".join(filter(None, ("too short", missing))))
    if cold.is_short is None or missing:
        return Meter("Parking", value, limit, "unknown", missing or UNDECIDED)
    return Meter("Parking", value, limit, "ok", "long enough")


def channels_meter(channels: ChannelUse) -> Meter:
    """Return the meter of the driver channels."""
    if channels.unknown:
        return _known("Channels", channels_text(channels), channels.unknown)
    return Meter("Channels", channels_text(channels), note=_free(channels.total, channels.used))


def cost_meters(cost: CostRollup, currency: str) -> Iterator[Meter]:
    """Yield the meters of parts and of all cost; where vehicles differ, each number says of which vehicle it is."""
    for title, of in (("Parts", _parts_cost), ("Total", _total_cost)):
        average = of(cost)
        if average == of(cost.lean) == of(cost.full):
            yield _known(title, f"{amount_column_text(average)} {currency}", average.unknown)
            continue
        named = (("average", average), ("lean", of(cost.lean)), ("full", of(cost.full)))
        text = " ".join(f"{amount_column_text(total)} {name}" for name, total in named)
        yield _known(title, f"{text} {currency}", max(total.unknown for _, total in named))


def target_meter(gap: Gap, currency: str) -> Meter:
    """Return the meter of the target price: how far the cost of the average vehicle is above or below it."""
    value = f"{amount_column_text(gap.target)} {currency}"
    missing = unknown_text(gap.gap.unknown)
    if gap.gap.amount > 0:
        words = (f"{amount_column_text(gap.gap.amount)} above", missing)
        return Meter("Target", value, "", "over", ", ".join(filter(None, words)))
    if missing:
        return Meter("Target", value, "", "unknown", missing)
    return Meter("Target", value, "", "ok", f"{amount_column_text(-gap.gap.amount)} below")


def _parts_cost(cost: CostRollup | VehicleCost) -> Total:
    return cost.elements["parts"]


def _total_cost(cost: CostRollup | VehicleCost) -> Total:
    return cost.total


def _known(title: str, value: str, missing: int) -> Meter:
    """A figure without a limit, and how much of it is unknown."""
    return Meter(title, value, "", "unknown" if missing else "", unknown_text(missing))


def _pins(rollup: Rollup) -> Meter:
    pins = pins_of(rollup)
    short = sum(bool(module.pins.short) for module in rollup.modules.values())
    if short:
        return Meter("Pins", pins_text(pins), "", "over", counted(short, "module short", "modules short"))
    if pins.unknown:
        return _known("Pins", pins_text(pins), len(pins.unknown))
    return Meter("Pins", pins_text(pins), note=_free(pins.total, pins.used))


def _free(total: int, used: int) -> str:
    return f"{total - used} free" if total else ""


def _checks(review: Review) -> Meter:
    places, passed, warned, failed, undecided = (
        sum(getattr(count, name) for count in review.counts)
        for name in ("places", "passed", "warned", "failed", "undecided")
    )
    value = f"{places} places: {passed} pass, {warned} warned, {failed} fail"
    note = f"by {counted(len(review.counts), 'rule', 'rules')}, nothing else was checked"
    if not undecided:
        return Meter(CHECKED, f"{value}, 0 not checkable", note=note)
    return Meter(CHECKED, value, "", "unknown", f"{undecided} not checkable", note)
