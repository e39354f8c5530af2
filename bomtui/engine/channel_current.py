"""Current that one channel carries while its loads are on, at the worst end of every mode's supply."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import isinf

from bomtui.engine.calc import Gate, formula
from bomtui.engine.load_current import load_columns, worst_currents
from bomtui.engine.load_groups import Grouped, OnCurrents, largest_on
from bomtui.engine.serving import Served
from bomtui.model.bound import Range, Value, ends
from bomtui.model.ids import Address
from bomtui.model.load import Load
from bomtui.model.proposal import Proposal
from bomtui.model.settings import DriveHabit

CONVERTED_DRIVES = frozenset(("AMP", "LEDB", "INJD", "VID"))
"""Drive codes with a converter between battery and load: the channel carries the current of string, coil or speaker,
not the battery current of the load list (common practice)."""

ModeCurrents = Mapping[str, Value]
"""On-current per mode [A]: 0 where the load is off, up to it where nothing says whether it is on."""


@formula(
    "current_a / parallel * (1 + mismatch_ratio)",
    "A",
    "equal shares, and what the channel of the lowest resistance carries more (common practice)",
)
def channel_share_a(current_a: float, parallel: float, mismatch_ratio: float) -> float:
    """Largest current of one of several channels in parallel.

    Args:
        current_a: Current of the load [A].
        parallel: Channels that share it, above 0.
        mismatch_ratio: Part by which the share of a channel may be above an equal one.

    Source: common practice, no source.
    """
    return current_a / parallel * (1 + mismatch_ratio)


def channel_share(calc: Gate, current_a: Value, parallel: float, mismatch_ratio: float) -> Value:
    """Return the largest current of one of the channels that carry a load [A]; of a single one it is all of it.

    Args:
        calc: Gate.
        current_a: Current of the load [A].
        parallel: Channels that share it, above 0.
        mismatch_ratio: Part by which the share of a channel may be above an equal one.
    """
    alone: Value = calc.given(0.0, "no channel beside it")
    return calc(
        channel_share_a,
        current_a=current_a,
        parallel=calc.given(parallel, "channels in parallel"),
        mismatch_ratio=mismatch_ratio if parallel > 1 else alone,
    )


@dataclass(frozen=True, slots=True)
class ChannelCurrent:
    """The largest current of a channel.

    Attributes:
        current_a: Its value; None where nothing is known of it.
        mode: Mode in which it flows; empty where none stands out.
    """

    current_a: Value
    mode: str


def on_currents(calc: Gate, loads: Mapping[str, Load], proposal: Proposal) -> Mapping[str, ModeCurrents]:
    """Return the current of each load while it is on, per mode, at the worst end of the mode's supply.

    A mode in which nothing says whether the load is on counts from nothing up to its on-current. Of a dimmed filament
    it is the current of the lamp fully on: an upper bound of the effective one, which is what a rating is about.

    Args:
        calc: Gate.
        loads: Loads by id.
        proposal: For modes and the test voltage.
    """
    columns = load_columns(calc, loads, proposal.vehicle)
    found: dict[str, dict[str, Value]] = {load_id: {} for load_id in loads}
    for mode, data in proposal.modes.items():
        worst = worst_currents(calc, columns, data)
        for load_id, load, battery_a in zip(columns.ids, columns.loads, worst, strict=True):
            current_a = load.driven_current_a if load.drive in CONVERTED_DRIVES else battery_a
            share = load.time_share_ratio.get(mode)
            if share == 0:
                current_a = calc.given(0.0, "off in this mode")
            elif share is None and current_a is not None:
                _, high = ends(current_a)
                current_a = Range(0.0, high, frozenset((f"time share of {load_id} in {mode}",)))
            found[load_id][mode] = current_a
    return found


def shares_of(habit: DriveHabit, joined: str | None, channels: int) -> float:
    """Return how many equal parts the current of a load is split into.

    Args:
        habit: What its drive code takes.
        joined: How its channels are joined.
        channels: Its channels over all devices.
    """
    return channels / habit.channels if joined == "parallel" and habit.channels and channels else 1.0


def channel_current(
    calc: Gate, loads: Mapping[str, tuple[Load, ModeCurrents, float]], mismatch_ratio: float
) -> ChannelCurrent:
    """Return the largest current of a channel over all modes.

    Of loads that share the channel, those that are on together add up; of loads that are never on together the largest
    counts.

    Args:
        calc: Gate.
        loads: Per load on the channel: the load, its on-currents, and the shares into which each is split.
        mismatch_ratio: Part by which the share of a channel may be above an equal one.
    """
    modes = list(dict.fromkeys(mode for _, currents, _ in loads.values() for mode in currents))
    if not modes:
        return ChannelCurrent(None, "")
    per_mode = [_in_mode(calc, loads, mode, mismatch_ratio) for mode in modes]
    largest = calc.largest(modes, per_mode)
    if isinstance(largest, Range) and largest.low == 0 and isinf(largest.high):
        return ChannelCurrent(None, "")
    known = [(ends(value)[0], mode) for value, mode in zip(per_mode, modes, strict=True) if value is not None]
    top = max((low for low, _ in known), default=0.0)
    return ChannelCurrent(largest, next((mode for low, mode in known if low == top and low > 0), ""))


def _in_mode(
    calc: Gate, loads: Mapping[str, tuple[Load, ModeCurrents, float]], mode: str, mismatch_ratio: float
) -> Value:
    shares = {
        load_id: channel_share(calc, currents.get(mode), parallel, mismatch_ratio)
        for load_id, (_, currents, parallel) in loads.items()
    }
    if len(shares) == 1:
        return next(iter(shares.values()))
    grouped = tuple(Grouped(load_id, loads[load_id][0], own_a, 0.0) for load_id, own_a in shares.items())
    on_a, _ = largest_on(calc, ("loads of no group",), (OnCurrents(0.0, 0.0, grouped),))
    return on_a


def currents_by_channel(
    calc: Gate, served: Iterable[Served], loads: Mapping[str, Load], proposal: Proposal
) -> dict[Address, ChannelCurrent]:
    """Return the largest current of every channel that carries loads.

    Args:
        calc: Gate.
        served: Loads with their channels, of any modules.
        loads: All loads by id.
        proposal: For modes, test voltage and settings.
    """
    served = list(served)
    on = on_currents(calc, {own.load_id: loads[own.load_id] for own in served if own.channels}, proposal)
    carried: dict[Address, dict[str, tuple[Load, ModeCurrents, float]]] = {}
    for own in served:
        load = loads[own.load_id]
        shares = shares_of(proposal.settings.habit(load.drive), own.joined, len(own.channels))
        for address in own.channels:
            carried.setdefault(address, {})[own.load_id] = (load, on[own.load_id], shares)
    mismatch = proposal.settings.limits.parallel_mismatch_ratio
    return {address: channel_current(calc, own, mismatch) for address, own in carried.items()}
