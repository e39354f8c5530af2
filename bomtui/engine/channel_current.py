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


@formula("current_a / parallel", "A", "equal shares; that of the worst matched channel is larger (common practice)")
def channel_share_a(current_a: float, parallel: float) -> float:
    """Current of one of several channels in parallel.

    Args:
        current_a: Current of the load [A].
        parallel: Channels that share it, above 0.

    Source: common practice; mismatch of the channels is not counted.
    """
    return current_a / parallel


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


def channel_current(calc: Gate, loads: Mapping[str, tuple[Load, ModeCurrents, float]]) -> ChannelCurrent:
    """Return the largest current of a channel over all modes.

    Of loads that share the channel, those that are on together add up; of loads that are never on together the largest
    counts.

    Args:
        calc: Gate.
        loads: Per load on the channel: the load, its on-currents, and the shares into which each is split.
    """
    modes = list(dict.fromkeys(mode for _, currents, _ in loads.values() for mode in currents))
    if not modes:
        return ChannelCurrent(None, "")
    per_mode = [_in_mode(calc, loads, mode) for mode in modes]
    largest = calc.largest(modes, per_mode)
    if isinstance(largest, Range) and largest.low == 0 and isinf(largest.high):
        return ChannelCurrent(None, "")
    known = [(ends(value)[0], mode) for value, mode in zip(per_mode, modes, strict=True) if value is not None]
    top = max((low for low, _ in known), default=0.0)
    return ChannelCurrent(largest, next((mode for low, mode in known if low == top and low > 0), ""))


def _in_mode(calc: Gate, loads: Mapping[str, tuple[Load, ModeCurrents, float]], mode: str) -> Value:
    shares = {
        load_id: calc(channel_share_a, current_a=currents.get(mode), parallel=parallel)
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
    return {address: channel_current(calc, own) for address, own in carried.items()}
