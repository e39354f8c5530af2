"""The vehicle's figures that are always in sight."""

from collections.abc import Iterator

from bomtui.model.finding import Review
from bomtui.model.money import Total
from bomtui.model.rollup import CostRollup, Rollup, VehicleCost
from bomtui.services.present import (
    amount_column_text,
    channels_text,
    column_text,
    corners_text,
    counted,
    days_corners_text,
    pins_text,
    unknown_count,
    unknown_text,
)
from bomtui.services.rollup import Computed
from bomtui.services.vehicle_totals import Held, SupplyInMode, channels_of, pins_of, worst_supply
from bomtui.tui.marks import Mark
from bomtui.tui.view import CHECKING, Meter

HELD: dict[Held, tuple[Mark, str]] = {
    "": ("", ""),
    "within": ("ok", "within limit"),
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
    standby, parking = rollup.standby_a, rollup.parking_days
    yield _known("Standby", corners_text(standby, "current", with_count=False), unknown_count(standby.typ, standby.max))
    yield _known("Parking", days_corners_text(parking, with_count=False), unknown_count(parking.typ, parking.max))
    yield from cost_meters(rollup.cost, currency)
    channels = channels_of(rollup)
    yield _known("Channels", channels_text(channels), channels.unknown)
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


def cost_meters(cost: CostRollup, currency: str) -> Iterator[Meter]:
    """Yield the meters of parts and of all cost; where vehicles differ, each number says of which vehicle it is."""
    for title, of in (("Parts", _parts_cost), ("Total", _total_cost)):
        average = of(cost)
        if not cost.is_partly_fitted:
            yield _known(title, f"{amount_column_text(average)} {currency}", average.unknown)
            continue
        named = (("average", average), ("lean", of(cost.lean)), ("full", of(cost.full)))
        text = " ".join(f"{amount_column_text(total)} {name}" for name, total in named)
        yield _known(title, f"{text} {currency}", max(total.unknown for _, total in named))


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
    return _known("Pins", pins_text(pins), len(pins.unknown))


def _checks(review: Review) -> Meter:
    places, passed, warned, failed, undecided = (
        sum(getattr(count, name) for count in review.counts)
        for name in ("places", "passed", "warned", "failed", "undecided")
    )
    by = counted(len(review.counts), "rule", "rules")
    value = f"{places} places by {by}: {passed} pass, {warned} warned, {failed} fail"
    note = "nothing else was checked"
    if not undecided:
        return Meter(CHECKED, f"{value}, 0 not checkable", note=note)
    return Meter(CHECKED, value, "", "unknown", f"{undecided} not checkable", note)
