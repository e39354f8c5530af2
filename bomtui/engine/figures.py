"""Every figure of a rollup by its name `PLACE:FIGURE[@MODE][/typ|max]`.

The place is `vehicle`, a network (`networks.ID`) with its messages and nodes, a module, a device `MODULE.REF`, a feed
`feeds.ID`, a ground point `grounds.ID`, a part of the parts list, or a subsystem; where two of these bear one name, the
later one in this list is written with its sort before it (`subsystem EXT`).
"""

from collections.abc import Iterator
from decimal import Decimal

from bomtui.model.bound import Value
from bomtui.model.money import Total
from bomtui.model.network import LOADED_KINDS, TIMED_KINDS
from bomtui.model.rollup import (
    CostRollup,
    DeviceResult,
    FeedResult,
    Figure,
    ModeCurrent,
    ModuleResult,
    NetworkResult,
    Rollup,
)

VEHICLE = "vehicle"
FEED_FIGURES = (
    "heating_a", "protection_a", "usable_a", "load_ratio", "length_m", "resistance_ohm", "drop_ratio", "wire_heat_w",
    "ampacity_a", "copper_kg", "proposed_fuse_a", "proposed_area_m2",
)  # fmt: skip
MODE_FIGURES = ("loads_at_mode_voltage_a", "electronics_a", "supply_current_a")
LINE_FIGURES = ("unit_price", "line_price", "excess_per_year", "excess_life_per_vehicle")


def all_figures(rollup: Rollup) -> dict[str, Value | Decimal | Total]:
    """Return every figure of a rollup by name."""
    figures = dict(vehicle_figures(rollup))
    for module in rollup.modules.values():
        figures.update(module_figures(module))
    for network in rollup.networks.values():
        figures.update(network_figures(network))
    for feed in rollup.feeds.values():
        figures.update(feed_figures(feed))
    for ground in rollup.grounds.values():
        figures |= {f"grounds.{ground.id}:returned_a@{mode}": value for mode, value in ground.returned_a.items()}
    for place, name, value in _cost_figures(rollup.cost):
        taken = f"{place}:{name}" in figures
        figures[f"{'subsystem ' if taken else ''}{place}:{name}"] = value
    return figures


def vehicle_figures(rollup: Rollup) -> Iterator[tuple[str, Value | Decimal | Total]]:
    """Yield the figures of the vehicle as a whole."""
    yield from _corners(f"{VEHICLE}:standby_a", rollup.standby_a)
    yield from _corners(f"{VEHICLE}:parking_days", rollup.parking_days)
    for mode in rollup.modes:
        yield from _mode_figures(VEHICLE, mode)
    yield f"{VEHICLE}:parts_cost", rollup.cost.elements["parts"]
    yield f"{VEHICLE}:cost", rollup.cost.total
    yield f"{VEHICLE}:cost_lean", rollup.cost.lean.total
    yield f"{VEHICLE}:cost_full", rollup.cost.full.total
    for name, total in rollup.cost.elements.items():
        yield f"{VEHICLE}:cost.{name}", total
    yield f"{VEHICLE}:excess_per_year", rollup.cost.excess_per_year
    yield f"{VEHICLE}:excess_life_per_vehicle", rollup.cost.excess_life_per_vehicle
    yield f"{VEHICLE}:common", rollup.cost.common
    yield f"{VEHICLE}:reserve", rollup.cost.reserve


def module_figures(module: ModuleResult) -> Iterator[tuple[str, Value | Decimal | Total]]:
    """Yield the figures of one module and its devices, cost left out."""
    yield from _corners(f"{module.id}:standby_a", module.standby_a)
    for mode in module.modes:
        yield from _mode_figures(module.id, mode)
    for device in module.devices:
        yield from _device_figures(f"{module.id}.{device.ref}", device)


def network_figures(network: NetworkResult) -> Iterator[tuple[str, Value]]:
    """Yield the figures of one network; of a way of light or radio at its receiver, with its sender as the mode."""
    place = f"networks.{network.id}"
    yield f"{place}:length_m", network.length_m
    if network.capacitance_f is not None:
        yield from _corners(f"{place}:capacitance_f", network.capacitance_f)
    if network.messages and network.kind in LOADED_KINDS:
        yield from _corners(f"{place}:load_ratio", network.load_ratio)
    if network.cycle_s is not None:
        yield f"{place}:cycle_s", network.cycle_s
    for message in network.messages if network.kind in LOADED_KINDS else ():
        own = f"{place}.messages.{message.id}"
        yield from _corners(f"{own}:frame_s", message.frame_s)
        if network.kind in TIMED_KINDS:
            yield f"{own}:response_s/max", message.response_s
        if network.cycle_s is not None:
            yield f"{own}:interval_s", message.interval_s
    for link in network.links:
        yield f"{place}.nodes.{link.receiver}:received_dbm@{link.sender}", link.received_dbm
        yield f"{place}.nodes.{link.receiver}:margin_db@{link.sender}", link.margin_db


def feed_figures(feed: FeedResult) -> Iterator[tuple[str, Value | Decimal | Total]]:
    """Yield the figures of one feed."""
    place = f"feeds.{feed.id}"
    for mode in feed.modes:
        yield from _corners(f"{place}:current_a@{mode.mode}", mode.current_a)
        yield f"{place}:heating_a@{mode.mode}", mode.heating_a
        yield f"{place}:peak_a@{mode.mode}", mode.peak_a
    yield from _corners(f"{place}:drop_v", feed.drop_v)
    for name in FEED_FIGURES:
        yield f"{place}:{name}", getattr(feed, name)


def _device_figures(place: str, device: DeviceResult) -> Iterator[tuple[str, Value | Decimal | Total]]:
    for mode in device.modes:
        yield from _corners(f"{place}:power_w@{mode.mode}", mode.power_w)
        yield from _corners(f"{place}:junction_degc@{mode.mode}", mode.junction_degc)


def _mode_figures(place: str, mode: ModeCurrent) -> Iterator[tuple[str, Value | Decimal | Total]]:
    yield f"{place}:loads_a@{mode.mode}", mode.loads_a
    for name in MODE_FIGURES:
        yield from _corners(f"{place}:{name}@{mode.mode}", getattr(mode, name))
    yield f"{place}:on_current_a@{mode.mode}", mode.on_current_a
    yield f"{place}:inrush_a@{mode.mode}", mode.inrush_a


def _cost_figures(cost: CostRollup) -> Iterator[tuple[str, str, Value | Decimal | Total]]:
    for module, own in cost.modules.items():
        for element, amount in own.elements.items():
            yield module, f"cost.{element}", amount
        yield module, "common", own.common
        yield module, "reserve", own.reserve
        for subsystem, share in own.subsystems.items():
            yield module, f"share.{subsystem}", share
    for line in cost.lines:
        for name in LINE_FIGURES:
            yield line.part, name, getattr(line, name)
    for subsystem, total in cost.subsystems.items():
        yield subsystem, "cost", total


def _corners(name: str, figure: Figure) -> Iterator[tuple[str, Value]]:
    yield f"{name}/typ", figure.typ
    yield f"{name}/max", figure.max
