"""Figures of the vehicle that stay in sight: sums of its modules, and the mode in which its supply is worst."""

from math import inf
from pathlib import Path

import msgspec
import pytest

from bomtui.model.bound import Range, Value
from bomtui.model.proposal import Proposal
from bomtui.model.rollup import Figure, Rollup
from bomtui.services.open import open_proposal
from bomtui.services.review import review
from bomtui.services.rollup import compute
from bomtui.services.vehicle_totals import (
    channels_of,
    held_against,
    modules_in_standby,
    parked_cold,
    pins_of,
    worst_supply,
)

SWEEPER = Path(__file__).parents[2] / "sample_projects" / "street_sweeper"
AT_LEAST_5 = Range(5.0, inf, frozenset({"a"}))
AT_LEAST_15 = Range(15.0, inf, frozenset({"a"}))
AT_MOST_8 = Range(0.0, 8.0, frozenset({"a"}))


@pytest.mark.parametrize(
    ("typ", "largest", "limit", "held"),
    [
        (5.0, 9.0, 10.0, "within"),
        (5.0, 10.0, 10.0, "within"),
        (5.0, 10.1, 10.0, "worst above"),
        (10.1, 12.0, 10.0, "above"),
        (AT_LEAST_5, AT_LEAST_5, 10.0, "undecided"),
        (5.0, AT_LEAST_5, 10.0, "undecided"),
        (AT_LEAST_5, AT_LEAST_15, 10.0, "worst above"),
        (AT_LEAST_15, AT_LEAST_15, 10.0, "above"),
        (AT_MOST_8, AT_MOST_8, 10.0, "within"),
        (None, None, 10.0, "undecided"),
        (None, 12.0, 10.0, "worst above"),
        (99.0, 99.0, None, ""),
    ],
)
def test_both_corners_are_held_against_the_limit(typ: Value, largest: Value, limit: float | None, held: str) -> None:
    """What the unknown part decides is undecided, and what is surely above is said to be."""
    assert held_against(Figure(typ=typ, max=largest), limit) == held


def sweeper() -> tuple[Proposal, Rollup]:
    """The sweeper with its rollup."""
    computed = compute(open_proposal(SWEEPER), "zone")
    return computed.opened.snapshot.proposal, computed.rollup


def with_alternator(proposal: Proposal, mode: str, current_a: float | None) -> Proposal:
    """The proposal with another alternator current in one mode."""
    changed = msgspec.structs.replace(proposal.modes[mode], alternator_current_a=current_a)
    return msgspec.structs.replace(proposal, modes={**proposal.modes, mode: changed})


def test_the_worst_mode_is_the_one_that_stands_worst_against_its_alternator() -> None:
    """A small current above a small alternator is worse than a large one below a large alternator."""
    proposal, rollup = sweeper()
    usual = worst_supply(proposal, rollup)
    assert usual is not None
    assert (usual.mode, usual.alternator_a, usual.held) == ("WORK_NIGHT", 120.0, "worst above")
    weak = worst_supply(with_alternator(proposal, "IDLE", 5.0), rollup)
    assert weak is not None
    assert (weak.mode, weak.alternator_a, weak.held) == ("IDLE", 5.0, "above")


def test_without_an_alternator_the_largest_current_counts() -> None:
    """A limit that is not given is none, and no verdict is made up."""
    proposal, rollup = sweeper()
    for mode in proposal.modes:
        proposal = with_alternator(proposal, mode, None)
    supply = worst_supply(proposal, rollup)
    assert supply is not None
    assert (supply.mode, supply.alternator_a, supply.held) == ("WORK_NIGHT", None, "")


def test_a_battery_has_no_alternator_to_exceed() -> None:
    """Where the engine runs in no mode the largest current is shown without a limit."""
    proposal, rollup = sweeper()
    off = {key: msgspec.structs.replace(mode, engine="off") for key, mode in proposal.modes.items()}
    supply = worst_supply(msgspec.structs.replace(proposal, modes=off), rollup)
    assert supply is not None
    assert (supply.alternator_a, supply.held) == (None, "")


def test_no_mode_no_worst_mode() -> None:
    """A proposal whose electronics always sleep has no supply current to show."""
    proposal, rollup = sweeper()
    asleep = {key: msgspec.structs.replace(mode, electronics="asleep") for key, mode in proposal.modes.items()}
    assert worst_supply(msgspec.structs.replace(proposal, modes=asleep), rollup) is None


def test_channels_and_pins_are_the_sums_of_the_modules() -> None:
    """Every count of the vehicle is the sum of those of its modules, unknown and short ones included."""
    _, rollup = sweeper()
    first, *rest = rollup.modules.values()
    short = msgspec.structs.replace(first.pins, short={"pwm": 2}, unknown=("U1",))
    blind = msgspec.structs.replace(first.channels, unknown=1)
    odd = msgspec.structs.replace(first, pins=short, channels=blind)
    changed = msgspec.structs.replace(rollup, modules={**rollup.modules, first.id: odd})
    pins, channels = pins_of(changed), channels_of(changed)
    assert (pins.short, pins.unknown, channels.unknown) == ({"pwm": 2}, ("U1",), 1)
    everyone = [first, *rest]
    assert pins.used == sum(module.pins.used for module in everyone)
    assert pins.total == sum(module.pins.total for module in everyone)
    assert pins.needs["gpio"] == sum(module.pins.needs.get("gpio", 0) for module in everyone)
    assert (channels.used, channels.total) == (
        sum(module.channels.used for module in everyone), sum(module.channels.total for module in everyone),
    )  # fmt: skip


@pytest.mark.parametrize("variant", ["zone", "distributed"])
def test_parking_and_standby_stand_as_their_checks_say(variant: str) -> None:
    """What the meters hold against a limit is what the rules have found of it."""
    reviewed = review(compute(open_proposal(SWEEPER), variant))
    proposal, rollup = reviewed.computed.opened.snapshot.proposal, reviewed.computed.rollup
    counts = {count.rule: count for count in reviewed.review.counts}
    modules = modules_in_standby(proposal, rollup)
    standby = counts["standby.module"]
    assert (modules.over, modules.undecided) == (standby.warned, standby.undecided)
    parking = counts["parking.days"]
    assert parked_cold(proposal, rollup).is_short is (None if parking.undecided else bool(parking.failed))
