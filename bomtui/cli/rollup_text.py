"""The rollup of a variant as text: totals, modes, modules, subsystems, hottest devices, checks."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from bomtui.cli.heading_text import assumption_lines, caution_lines, checks_lines, heading_lines, page
from bomtui.cli.layout import GAP, Column, padded, table, wrapped
from bomtui.model.bound import ends
from bomtui.model.ids import natural_key
from bomtui.model.money import Total, minor_unit_digits
from bomtui.model.network import LOADED_KINDS
from bomtui.model.rollup import DeviceMode, ModeCurrent, NetworkResult
from bomtui.services.feeds import fuse_column
from bomtui.services.present import (
    NOT_COMPUTED,
    amount_text,
    channels_text,
    column_text,
    corners_text,
    counted,
    days_corners_text,
    decimal_text,
    is_over,
    junction_column_text,
    listed,
    money_text,
    pins_text,
    unknown_count,
)
from bomtui.services.review import Reviewed
from bomtui.services.target import gap_text, gap_to_target

HOTTEST = 8
"""Devices that are listed."""

LISTED = 12
LABEL_WIDTH = 17
AMPERE = ("current", "A")
MICROAMPERE = ("current", "uA")


def rollup_text(reviewed: Reviewed) -> str:
    """Write the rollup of a variant for a terminal of 80 columns."""
    return page(
        heading_lines(reviewed, "Rollup"),
        _vehicle(reviewed),
        _cost(reviewed),
        _modes(reviewed),
        _modules(reviewed),
        _networks(reviewed),
        _feeds(reviewed),
        _subsystems(reviewed),
        _devices(reviewed),
        _gaps(reviewed),
        checks_lines(reviewed),
        assumption_lines(reviewed),
        caution_lines(),
    )


def _vehicle(reviewed: Reviewed) -> Iterator[str]:
    rollup, currency = reviewed.computed.rollup, _currency(reviewed)
    cost = rollup.cost
    digits = minor_unit_digits(currency)
    pieces = decimal_text(sum((module.placed_pieces for module in rollup.modules.values()), Decimal(0)))
    missing = sum(module.wires.unknown for module in rollup.modules.values())
    length = f"{decimal_text(rollup.wire_length_m)} m"
    yield "Vehicle"
    yield from _fact("parts cost", money_text(cost.elements["parts"], currency))
    yield from _fact("total cost", money_text(cost.total, currency))
    gap = gap_to_target(reviewed.computed)
    if gap is not None:
        yield from _fact("target", gap_text(gap, currency).removeprefix("target "))
    if cost.is_partly_fitted:
        lean, average, full = (money_text(total, currency) for total in (cost.lean.total, cost.total, cost.full.total))
        yield from _fact(
            "by fitment",
            f"lean {lean}, average {average}, full {full}: what one vehicle carries, at the unit prices of what all "
            "vehicles need; every other cost is the average one's",
        )
    yield from _fact(
        "rounding excess",
        f"first order {money_text(cost.excess_per_year, currency, digits)} tied up in the first year's orders; "
        f"over the programme {money_text(cost.excess_life_per_vehicle, currency, digits)} per vehicle",
    )
    yield from _fact(
        "parts",
        f"{counted(len(cost.lines), 'part number', 'part numbers')}, {pieces} pieces placed, "
        f"{counted(rollup.driver_devices, 'driver device', 'driver devices')}, "
        f"{counted(len(rollup.modules), 'module', 'modules')}",
    )
    yield from _fact(
        "wires", f"{rollup.wire_count} wires, {f'>= {length}  {missing} lengths unknown' if missing else length}"
    )
    yield from _fact("standby", corners_text(rollup.standby_a, "current"))
    yield from _fact("parking", days_corners_text(rollup.parking_days))


def _fact(label: str, text: str) -> list[str]:
    first, *rest = wrapped(text, GAP + LABEL_WIDTH)
    return [" " * GAP + padded(label, LABEL_WIDTH) + first.lstrip(), *rest]


def _cost(reviewed: Reviewed) -> list[str]:
    cost = reviewed.computed.rollup.cost
    columns = (
        Column("element"),
        Column(f"cost [{_currency(reviewed)}]", numeric=True),
        Column("unknown", numeric=True),
    )
    rows = [_sum_row(name.replace("_", " "), total) for name, total in {**cost.elements, "total": cost.total}.items()]
    return ["Cost of one vehicle by element", *table(columns, rows)]


def _sum_row(label: str, total: Total) -> list[str]:
    amount = amount_text(total.amount)
    return [label, f">={amount}" if total.unknown else amount, _count(total.unknown)]


def _modes(reviewed: Reviewed) -> list[str]:
    columns = (
        Column("mode"),
        Column("loads typ [A]", numeric=True),
        Column("own typ [A]", numeric=True),
        Column("supply typ [A]", numeric=True),
        Column("max [A]", numeric=True),
        Column("unknown", numeric=True),
    )
    rows = [_mode_row(reviewed, mode) for mode in reviewed.computed.rollup.modes]
    title = (
        "Current by mode (own: the modules' own parts; max: every load on at the worst voltage, one inrush; where the "
        "electronics sleep, the standby current)"
    )
    return [*wrapped(title, 0, GAP), *table(columns, rows)] if rows else []


def _mode_row(reviewed: Reviewed, mode: ModeCurrent) -> list[str]:
    supply = mode.supply_current_a
    asleep = reviewed.computed.opened.snapshot.proposal.modes[mode.mode].electronics == "asleep"
    return [
        mode.mode,
        NOT_COMPUTED if asleep else column_text(mode.loads_at_mode_voltage_a.typ, *AMPERE),
        NOT_COMPUTED if asleep else column_text(mode.electronics_a.typ, *AMPERE),
        column_text(supply.typ, *AMPERE),
        column_text(supply.max, *AMPERE),
        _count(unknown_count(supply.typ, supply.max)),
    ]


def _modules(reviewed: Reviewed) -> list[str]:
    rollup = reviewed.computed.rollup
    columns = (
        Column("module"),
        Column("zone"),
        Column("loads", numeric=True),
        Column("channels", numeric=True),
        Column("pins", numeric=True),
        Column("standby typ [uA]", numeric=True),
        Column("max [uA]", numeric=True),
        Column(f"cost [{_currency(reviewed)}]", numeric=True),
    )
    rows = []
    for module in rollup.modules.values():
        total = rollup.cost.modules[module.id].total
        rows.append(
            [
                module.id,
                module.zone,
                str(len(module.loads)),
                channels_text(module.channels),
                pins_text(module.pins) + ("!" if module.pins.short else ""),
                column_text(module.standby_a.typ, *MICROAMPERE),
                column_text(module.standby_a.max, *MICROAMPERE),
                f"{'>=' if total.unknown else ''}{amount_text(total.amount)}",
            ]
        )
    if not rows:
        return ["Modules: none yet; no load is served"]
    short = [module for module in rollup.modules.values() if module.pins.short]
    note = [
        f"  ! {module.id} is short of pins: {', '.join(f'{count} {name}' for name, count in module.pins.short.items())}"
        for module in short
    ]
    return ["Modules (used/there)", *table(columns, rows), *note]


def _networks(reviewed: Reviewed) -> list[str]:
    columns = (
        Column("network"),
        Column("kind"),
        Column("nodes", numeric=True),
        Column("length [m]", numeric=True),
        Column("load [%]", numeric=True),
        Column("slowest [ms]", numeric=True),
        Column("reserve [dB]", numeric=True),
    )
    rows = [_network_row(network) for network in reviewed.computed.rollup.networks.values()]
    title = (
        "Networks (load and slowest with every frame at its longest; slowest: longest response of any message; "
        "reserve: least power beyond the need of a receiver)"
    )
    return [*wrapped(title, 0, GAP), *table(columns, rows)] if rows else []


def _network_row(network: NetworkResult) -> list[str]:
    slowest, weakest = network.slowest, network.weakest
    is_loaded = network.messages and network.kind in LOADED_KINDS
    return [
        network.id,
        network.kind,
        str(network.nodes),
        column_text(network.length_m, "length", "m"),
        column_text(network.load_ratio.max, "ratio", "%") if is_loaded else NOT_COMPUTED,
        NOT_COMPUTED if slowest is None else column_text(slowest.response_s, "time", "ms"),
        NOT_COMPUTED if weakest is None else column_text(weakest.margin_db, "attenuation", "dB"),
    ]


def _feeds(reviewed: Reviewed) -> list[str]:
    rollup = reviewed.computed.rollup
    variant = reviewed.computed.opened.snapshot.proposal.variants[rollup.variant]
    columns = (
        Column("feed"),
        Column("fuse"),
        Column("steady [A]", numeric=True),
        Column("fuse [A]", numeric=True),
        Column("[mm2]", numeric=True),
        Column("wire [A]", numeric=True),
        Column("drop [V]", numeric=True),
    )
    rows = [
        [
            feed.id,
            fuse_column(variant.feeds[feed.id]),
            column_text(feed.heating_a, *AMPERE),
            column_text(feed.usable_a, *AMPERE),
            column_text(variant.feeds[feed.id].wire_area_m2, "cross_section", "mm2"),
            column_text(feed.ampacity_a, *AMPERE),
            column_text(feed.drop_v.max, "voltage", "V"),
        ]
        for feed in rollup.feeds.values()
    ]
    title = "Feeds (steady: heats as the worst current does; fuse, wire: carried for ever; drop: everything on)"
    return [*wrapped(title, 0, GAP), *table(columns, rows)] if rows else []


def _subsystems(reviewed: Reviewed) -> list[str]:
    rollup = reviewed.computed.rollup
    known = reviewed.computed.opened.snapshot.proposal.subsystems
    cost = rollup.cost
    columns = (
        Column("subsystem"),
        Column(f"cost [{_currency(reviewed)}]", numeric=True),
        Column("unknown", numeric=True),
        Column("name"),
    )
    rows = [
        [*_sum_row(name, cost.subsystems[name]), known[name].name if name in known else ""]
        for name in sorted(cost.subsystems, key=natural_key)
    ]
    rows.append([*_sum_row("common", cost.common), "supply, ground and bus"])
    rows.append([*_sum_row("reserve", cost.reserve), "spare channels and ways"])
    rows.append([*_sum_row("total", cost.total), ""])
    return ["Cost by subsystem", *table(columns, rows)]


def _devices(reviewed: Reviewed) -> list[str]:
    """List the hottest devices; those beyond their maximum come first and in the order of their places, unranked."""
    over, within = [], []
    unknown = 0
    for row in _all_devices(reviewed):
        if row.mode is not None and is_over(row.mode, row.limit_degc):
            over.append(row)
        elif row.mode is None or row.mode.junction_degc.typ is None or row.mode.junction_degc.max is None:
            unknown += 1
        else:
            within.append((-ends(row.mode.junction_degc.max)[0], row))
    ranked = [row for _, row in sorted(within, key=lambda entry: entry[0])]
    shown = [*over, *ranked[: max(HOTTEST - len(over), 0)]]
    if not shown and not unknown:
        return []
    title = (
        "Hottest devices: mean heat, each corner in its worst mode (the one named is that of the worst corner), "
        "junctions in degC, single chip on the reference board; no verdict at the on-current; "
        "a driver's own supply current is not in its heat; "
        "beyond its maximum a chip has no temperature, only the model has a figure; "
        f"of {counted(unknown, 'device', 'devices')} the temperature is not known"
    )
    columns = (
        Column("device"),
        Column("part"),
        Column("mode"),
        Column("heat [W]", numeric=True),
        Column("typ", numeric=True),
        Column("worst", numeric=True),
        Column("model", numeric=True),
    )
    return [*wrapped(title, 0, GAP), *table(columns, map(_device_row, shown))]


@dataclass(frozen=True, slots=True)
class _DeviceRow:
    place: str
    part: str
    mode: DeviceMode | None
    limit_degc: float | None


def _all_devices(reviewed: Reviewed) -> Iterator[_DeviceRow]:
    parts = reviewed.computed.opened.snapshot.parts
    for module in reviewed.computed.rollup.modules.values():
        for device in module.devices:
            part = parts.get(device.part)
            limit_degc = None if part is None else part.junction_max_degc
            yield _DeviceRow(f"{module.id}.{device.ref}", device.part, device.worst, limit_degc)


def _device_row(row: _DeviceRow) -> list[str]:
    if row.mode is None:
        return [row.place, row.part, "", "", "", "", ""]
    junction, runaway = row.mode.junction_degc, row.mode.runaway
    return [
        row.place,
        row.part,
        row.mode.mode,
        column_text(row.mode.power_w.typ, "power", "W"),
        junction_column_text(junction.typ, row.limit_degc, runaway=runaway, with_model=False),
        junction_column_text(junction.max, row.limit_degc, runaway=runaway, with_model=False),
        "" if runaway or not is_over(row.mode, row.limit_degc) else column_text(junction.max, "temperature", "degC"),
    ]


def _gaps(reviewed: Reviewed) -> Iterator[str]:
    """Say what the figures lack: loads that nobody serves, parameters with one value, faults of the files."""
    rollup, opened = reviewed.computed.rollup, reviewed.computed.opened
    if opened.problems:
        yield from wrapped(
            f"Not in these figures: {counted(len(opened.problems), 'fault', 'faults')} of the files, listed on stderr"
        )
    if rollup.unplaced:
        yield from wrapped(f"Loads that no module serves ({len(rollup.unplaced)}): {listed(rollup.unplaced, LISTED)}")
    if rollup.single_values:
        yield from wrapped(
            f"One value given, used for both corners ({len(rollup.single_values)}): "
            f"{listed(rollup.single_values, LISTED)}"
        )


def _currency(reviewed: Reviewed) -> str:
    return reviewed.computed.opened.snapshot.proposal.proposal.currency


def _count(number: int) -> str:
    return str(number)
