"""What the electronics can be shaped with: zones, drive codes, kinds of part, rails, as ids with words for people."""

from collections.abc import Iterable
from decimal import Decimal, InvalidOperation

from bomtui.edit.edit import Edit, RefusedError
from bomtui.edit.edits.field import SetField
from bomtui.edit.edits.item import AddRail
from bomtui.edit.edits.load import AddLoad
from bomtui.edit.tree import check_new_id
from bomtui.model.ids import natural_key
from bomtui.model.load import DRIVE_CODES, Load
from bomtui.model.network import NETWORK_KINDS, Network
from bomtui.model.part import PART_KINDS
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import BATTERY, Module, Rail
from bomtui.services.editing import typed
from bomtui.services.network_sites import free_sites
from bomtui.services.part_words import kind_words
from bomtui.services.present import counted, value_text

Named = tuple[str, str, str]
"""Id, title, and what tells it from the others."""

DRIVES = {
    "HS": "high-side switch", "HSP": "high-side switch with PWM", "FEED": "high-side feed of a box",
    "LS": "low-side switch", "HB2": "two half bridges", "HB3": "three half bridges", "HB4": "four half bridges",
    "FB": "full bridge", "FBH": "two-speed motor on two high-sides", "BR1": "pair of power half bridges",
    "GDF": "pre-driver with FETs", "INJ": "port injector", "INJD": "common-rail injector", "IGN": "ignition coil",
    "LEDB": "LED driver", "AMP": "amplifier channel", "VID": "display", "AI": "analog input", "DI": "switch input",
    "FI": "frequency input", "SENT": "digital sensor, SENT", "SPI": "digital sensor, SPI", "LIN": "LIN bus",
    "RF": "radio",
}  # fmt: skip
"""Drive codes in words, as the field table of a load has them."""
ITEM_KINDS = ("passive", "connector", "board", "housing")
"""Kinds of part that are counted without a reference."""


def new_id_problem(taken: Iterable[str], new_id: str, what: str, renamed: str = "") -> str:
    """Return why an id cannot be given, as a sentence; empty where it can.

    Args:
        taken: Ids of the same kind.
        new_id: What was typed.
        what: What it names, for the sentence.
        renamed: The id that it replaces; empty where it replaces none.
    """
    try:
        check_new_id(taken, new_id, what, renamed)
    except RefusedError as error:
        return f"{error}."
    return ""


def zones(snapshot: Snapshot) -> list[Named]:
    """Return the zones with their temperatures."""
    table = snapshot.proposal.zones
    return [
        (
            key,
            f"{key} {table[key].name}".rstrip(),
            f"ambient {value_text(table[key].ambient_degc, 'temperature')}",
        )
        for key in sorted(table, key=natural_key)
    ]


def subsystems(snapshot: Snapshot) -> list[Named]:
    """Return the subsystems with the count of their loads."""
    owners = [load.subsystem for load in snapshot.proposal.loads.values()]
    table = snapshot.proposal.subsystems
    return [
        (key, f"{key} {table[key].name}".rstrip(), counted(owners.count(key), "load", "loads"))
        for key in sorted(table, key=natural_key)
    ]


def drives() -> list[Named]:
    """Return the drive codes."""
    return [(code, code, DRIVES[code]) for code in DRIVE_CODES]


def device_kinds() -> list[Named]:
    """Return the kinds of part that get a reference."""
    return [(kind, kind_words(kind), "") for kind in PART_KINDS if kind not in ITEM_KINDS]


def item_kinds() -> list[Named]:
    """Return the kinds of part that can be counted without a reference, the usual ones first."""
    return [
        (kind, kind_words(kind), "") for kind in (*ITEM_KINDS, *(own for own in PART_KINDS if own not in ITEM_KINDS))
    ]


def quantity_of(text: str) -> str:
    """Return a quantity that was typed as a plain number; empty where it is none above zero."""
    try:
        number = Decimal(text.strip())
    except InvalidOperation:
        return ""
    return format(number, "f") if number.is_finite() and number > 0 else ""


def devices(snapshot: Snapshot, module: Module) -> list[Named]:
    """Return the devices of a module, those that make a voltage first."""
    made = [(ref, snapshot.parts.get(module.devices[ref].part)) for ref in sorted(module.devices, key=natural_key)]
    made.sort(key=lambda own: own[1] is None or own[1].output_v is None)
    return [
        (
            ref,
            f"{ref} {module.devices[ref].part}",
            "" if part is None or part.output_v is None else f"makes {value_text(part.output_v, 'voltage')}",
        )
        for ref, part in made
    ]


def rails(module: Module) -> list[Named]:
    """Return the rails of a module."""
    return [
        (key, f"rail {key}", f"{value_text(module.rails[key].voltage_v, 'voltage')} from {module.rails[key].source}")
        for key in sorted(module.rails, key=natural_key)
    ]


def voltage_of(text: str) -> float | None:
    """Return a voltage that was typed, a bare number in volt; None where it is none."""
    edit = typed("loads.L.rated_voltage", text, "V")
    value = edit.value if isinstance(edit, SetField) else None
    return value if isinstance(value, float) else None


def supply_inputs(snapshot: Snapshot, module: Module, ref: str) -> list[Named]:
    """Return the supply inputs of a device, with what feeds each now."""
    device = module.devices[ref]
    part = snapshot.parts.get(device.part)
    names = sorted({*device.supply, *(() if part is None else part.supplies)}, key=natural_key)
    return [
        (name, f"supply input {name}", f"now from {device.supply[name]}" if name in device.supply else "fed by nothing")
        for name in names
    ]


def feeds(module: Module) -> list[Named]:
    """Return what can feed a supply input."""
    return [(BATTERY, BATTERY, "the module's own feed"), *rails(module)]


def network_kinds() -> list[Named]:
    """Return the kinds of network."""
    return [(kind, kind, "") for kind in NETWORK_KINDS]


def node_sites(snapshot: Snapshot, variant: str, network_id: str) -> list[Named]:
    """Return where a node of a network can be: devices with a port left for it, and loads that answer over it."""
    return [(own.at, f"{own.at} {own.name}".rstrip(), own.remark) for own in free_sites(snapshot, variant, network_id)]


def senders(network: Network) -> list[Named]:
    """Return the nodes of a network that can send."""
    return [
        (key, key, network.nodes[key].at)
        for key in sorted(network.nodes, key=natural_key)
        if network.nodes[key].direction != "receives"
    ]


def new_load(load_id: str, subsystem: str, name: str, drive: str) -> Edit:
    """Return the edit that adds a load of which no more is known."""
    return AddLoad(load_id=load_id, load=Load(subsystem=subsystem, name=name, drive=drive))


def new_rail(variant: str, module_id: str, rail_id: str, voltage_v: float, source: str) -> Edit:
    """Return the edit that adds a rail."""
    return AddRail(variant=variant, module_id=module_id, rail_id=rail_id, rail=Rail(voltage_v=voltage_v, source=source))
