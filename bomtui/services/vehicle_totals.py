"""Figures of the vehicle that stay in sight: what its modules add up to, and the mode in which its supply is worst."""

from collections import Counter
from dataclasses import dataclass
from math import inf
from typing import Literal

from bomtui.engine.calc import PLAIN
from bomtui.engine.parking import parked_in_the_cold
from bomtui.model.bound import Value, ends, exceeds
from bomtui.model.proposal import Proposal
from bomtui.model.rollup import ChannelUse, Figure, ModeCurrent, PinUse, Rollup

Held = Literal["", "within", "undecided", "worst above", "above"]
"""How a figure stands against a limit: no limit, both corners within, one of them not known well enough, the worst
corner surely above, the typical one surely above."""

_BAD_LAST: tuple[Held, ...] = ("", "within", "undecided", "worst above", "above")


@dataclass(frozen=True, slots=True)
class SupplyInMode:
    """Supply current in one mode against what the alternator gives in it.

    Attributes:
        mode: Id of the mode.
        current_a: Supply current.
        alternator_a: Current of the hot alternator; None where it is not given or the engine does not run.
        held: How the current stands against it.
    """

    mode: str
    current_a: Figure
    alternator_a: float | None
    held: Held


def held_against(figure: Figure, limit: float | None) -> Held:
    """Tell how both corners of a figure stand against a limit in the same unit."""
    if limit is None:
        return ""
    typ, largest = exceeds(figure.typ, limit), exceeds(figure.max, limit)
    if typ:
        return "above"
    if largest:
        return "worst above"
    return "undecided" if typ is None or largest is None else "within"


def worst_supply(proposal: Proposal, rollup: Rollup) -> SupplyInMode | None:
    """Return the mode in which the supply is worst, or None where no mode has the electronics awake.

    Modes with the engine running come first, as only there an alternator gives current: of these the one that stands
    worst against its alternator, then the one of the largest current. Without any such mode all others are compared.
    """
    awake = [mode for mode in rollup.modes if proposal.modes[mode.mode].electronics == "awake"]
    running = [mode for mode in awake if proposal.modes[mode.mode].engine == "on"]
    found = [_in_mode(proposal, mode) for mode in running or awake]
    return max(found, key=_badness, default=None)


@dataclass(frozen=True, slots=True)
class ParkedCold:
    """How long the parked vehicle stays able to start in the cold, at the largest standby currents.

    Attributes:
        lasts_s: How long.
        wanted_s: How long it should.
        is_short: Whether that is too short; None where something unknown decides.
    """

    lasts_s: Value
    wanted_s: float
    is_short: bool | None


def parked_cold(proposal: Proposal, rollup: Rollup) -> ParkedCold:
    """Return how long the parked vehicle lasts in the cold, as the check of parking time has it."""
    wanted_s = proposal.settings.limits.parking_s
    lasts_s = parked_in_the_cold(PLAIN, rollup.standby_a.max, proposal.vehicle, proposal.settings)
    return ParkedCold(lasts_s, wanted_s, exceeds(wanted_s, lasts_s))


@dataclass(frozen=True, slots=True)
class ModulesInStandby:
    """How many modules keep to the standby current that a module may draw.

    Attributes:
        limit_a: What a module may draw.
        over: How many draw more.
        undecided: Of how many that is not known.
    """

    limit_a: float
    over: int
    undecided: int


def modules_in_standby(proposal: Proposal, rollup: Rollup) -> ModulesInStandby:
    """Count the modules that draw too much while the vehicle is parked, as the check of standby currents has it."""
    limit_a = proposal.settings.limits.standby_module_a
    above = [exceeds(module.standby_a.max, limit_a) for module in rollup.modules.values()]
    return ModulesInStandby(limit_a, above.count(True), above.count(None))


def channels_of(rollup: Rollup) -> ChannelUse:
    """Add up the driver channels of all modules."""
    uses = [module.channels for module in rollup.modules.values()]
    return ChannelUse(
        used=sum(use.used for use in uses),
        total=sum(use.total for use in uses),
        unknown=sum(use.unknown for use in uses),
    )


def pins_of(rollup: Rollup) -> PinUse:
    """Add up the controller pins of all modules."""
    uses = [module.pins for module in rollup.modules.values()]
    return PinUse(
        used=sum(use.used for use in uses),
        total=sum(use.total for use in uses),
        plain_used=sum(use.plain_used for use in uses),
        plain_total=sum(use.plain_total for use in uses),
        analog_used=sum(use.analog_used for use in uses),
        needs=_summed([use.needs for use in uses]),
        short=_summed([use.short for use in uses]),
        unknown=tuple(name for use in uses for name in use.unknown),
    )


def _summed(counts: list[dict[str, int]]) -> dict[str, int]:
    total: Counter[str] = Counter()
    for count in counts:
        total.update(count)
    return dict(total)


def _in_mode(proposal: Proposal, mode: ModeCurrent) -> SupplyInMode:
    data = proposal.modes[mode.mode]
    limit = data.alternator_current_a if data.engine == "on" else None
    return SupplyInMode(mode.mode, mode.supply_current_a, limit, held_against(mode.supply_current_a, limit))


def _badness(supply: SupplyInMode) -> tuple[int, float, float]:
    return _BAD_LAST.index(supply.held), _least(supply.current_a.max), _least(supply.current_a.typ)


def _least(value: Value) -> float:
    return -inf if value is None else ends(value)[0]
