"""A demo variant: modules with devices, items and rails, and where each load is placed."""

from collections.abc import Mapping

from bomtui.model.load import Load
from bomtui.model.part import Part
from bomtui.model.settings import Settings
from bomtui.model.variant import Device, Module, Placement, Variant
from tests.samples.devices import Contents, contents_of
from tests.samples.feeds import with_feeds
from tests.samples.networks import networks_of
from tests.samples.rails import rails_of, supply_of
from tests.samples.tables import Row, table

STAGE_OF_DRIVE = {"INJD": "fet100-6", "GDF": "fet40-1"}
"""FETs that carry the current of a load whose driver has only gates."""
REVERSE_FETS = frozenset(("fet60-2", "fet40-1"))
SENSOR_DRIVES = frozenset(("AI", "FI", "SENT"))
SENSOR_V = 5.0
SWITCHES = frozenset(("high_side", "low_side", "injector_driver", "ignition_driver"))
"""Kinds that stand a reversed battery by themselves, if they say so, and are not behind the FET of their module."""
BUCK_CONTROLLER = "buck12-8w"


def variant_of(
    key: str, loads: Mapping[str, Load], settings: Settings, catalog: Mapping[str, Part], supply_class: str
) -> Variant:
    """Build one variant.

    Args:
        key: Vehicle and variant, as the tables are named.
        loads: Loads of the vehicle.
        settings: Settings of the proposal.
        catalog: Parts by key.
        supply_class: Nominal voltage class of the vehicle.
    """
    names = {row["module"]: row["name"] for row in table("invented_names", variant=key)}
    allocation = table(f"{key}_alloc")
    modules: dict[str, Module] = {}
    stages: dict[str, dict[str, list[str]]] = {}
    for row in table(f"{key}_modules"):
        module = row["module"]
        contents = contents_of(row, [chip for chip in allocation if chip["module"] == module], catalog)
        roles = _fet_roles(contents, catalog)
        stages[module] = {
            drive: [ref for ref in contents.refs_of(part) if roles[ref].startswith("power stage")]
            for drive, part in STAGE_OF_DRIVE.items()
        }
        modules[module] = _module(key, row, names[module], contents, roles, catalog, supply_class)
    placements = _placements(key, loads, settings, allocation, stages, modules)
    networks = networks_of(key, modules)
    return with_feeds(key, Variant(name=names[""], modules=modules, placements=placements, networks=networks))


def _module(
    key: str,
    row: Row,
    name: str,
    contents: Contents,
    roles: Mapping[str, str],
    catalog: Mapping[str, Part],
    supply_class: str,
) -> Module:
    rails = rails_of(contents, catalog)
    controllers = contents.refs_of_kind("controller", catalog)
    commanders, shown = _commanders(key, row["module"], contents, controllers, catalog)
    has_protection = bool(contents.refs_of_kind("reverse", catalog))
    devices = {
        ref: Device(
            part=part,
            supply=supply_of(
                ref, contents, rails, controllers.index(commanders.get(ref, controllers[0])), catalog, supply_class
            ),
            commanded_by=commanders[ref] if ref in commanders and ref not in controllers else "",
            counted_in_load=shown.get(ref, ""),
            behind_reverse_fet=is_protected(catalog[part]) if has_protection else None,
            carries=carried_by(roles.get(ref, "")),
            in_parallel_with=parallel_to(ref, roles),
            note=roles.get(ref, ""),
        )
        for ref, part in contents.parts.items()
    }
    return Module(
        name=name,
        zone=row["zone"],
        keep_alive=row["keep_alive"] == "Y",
        rails=rails,
        devices=devices,
        items=contents.items,
    )


def is_protected(part: Part) -> bool | None:
    """Tell whether a chip is behind the reverse-battery FET of its module; None of FETs: the circuit decides."""
    if part.kind == "fet":
        return None
    return part.kind not in SWITCHES or part.reverse_behaviour == "needs_protection"


def _commanders(
    key: str, module: str, contents: Contents, controllers: list[str], catalog: Mapping[str, Part]
) -> tuple[dict[str, str], dict[str, str]]:
    """Return the controller of each device that has signals, and the load in which a device is counted."""
    by_part = {contents.parts[ref]: ref for ref in controllers}
    shared = {
        row["part"]: by_part[row["controller"]] for row in table("invented_controllers", variant=key, module=module)
    }
    commanders = {ref: ref for ref in controllers}
    shown: dict[str, str] = {}
    for row in table("invented_screens", variant=key, module=module):
        for part in (row["panel"], row["backlight"]):
            ref = next(ref for ref in contents.refs_of(part) if ref not in shown)
            shown[ref] = row["load"]
            commanders[ref] = by_part[row["controller"]]
    own_loads = {row["part"]: row["load"] for row in table("invented_own_loads")}
    shown |= {ref: own_loads[part] for ref, part in contents.parts.items() if part in own_loads}
    for ref, part in contents.parts.items():
        if ref not in commanders and catalog[part].pin_needs:
            commanders[ref] = controllers[0] if len(controllers) == 1 else shared[part]
    return commanders, shown


def _fet_roles(contents: Contents, catalog: Mapping[str, Part]) -> dict[str, str]:
    """Return what each FET does.

    The first 40 V or 60 V FET of a module with a reverse-battery controller is its switch. Beside a gate driver the
    others are the half bridge of its load: two in parallel towards the battery, one to freewheel. Without a gate driver
    they are further reverse-battery switches in parallel. 100 V FETs switch the injectors, or the 12 V converter.
    """
    roles: dict[str, str] = {}
    fets = contents.refs_of_kind("fet", catalog)
    reverse = bool(contents.refs_of_kind("reverse", catalog))
    gates = bool(contents.refs_of_kind("gate_driver", catalog))
    injection = bool(contents.refs_of_kind("injector_driver", catalog))
    seen = 0
    for ref in fets:
        part = contents.parts[ref]
        if part in REVERSE_FETS and reverse:
            seen += 1
            if seen == 1:
                roles[ref] = "reverse-battery switch"
            elif gates:
                roles[ref] = "power stage of the half bridge, " + ("freewheel" if ref == fets[-1] else "high side")
            else:
                roles[ref] = "reverse-battery switch, in parallel"
        elif injection:
            roles[ref] = "power stage of the injectors"
        elif contents.refs_of(BUCK_CONTROLLER):
            roles[ref] = "switch of the 12 V converter"
        else:
            raise ValueError(f"{ref} ({part}) has no role")
    return roles


CARRIED = {
    "reverse-battery switch": "feed",
    "power stage of the half bridge, high side": "load",
    "power stage of the half bridge, freewheel": "freewheel",
    "power stage of the injectors": "load",
    "switch of the 12 V converter": "converter",
}
"""What a FET carries by its role."""
PARALLEL = ", in parallel"


def carried_by(role: str) -> str | None:
    """Return what a FET of a role carries; None where nothing says so."""
    return CARRIED.get(role.removesuffix(PARALLEL))


def parallel_to(ref: str, roles: Mapping[str, str]) -> str:
    """Return the first FET that shares the current of a FET: towards the battery all of a role do."""
    role = roles.get(ref, "").removesuffix(PARALLEL)
    if role not in {"reverse-battery switch", "power stage of the half bridge, high side"}:
        return ""
    first = next(own for own in roles if roles[own].removesuffix(PARALLEL) == role)
    return "" if first == ref else first


def _placements(
    key: str,
    loads: Mapping[str, Load],
    settings: Settings,
    allocation: list[Row],
    stages: Mapping[str, Mapping[str, list[str]]],
    modules: Mapping[str, Module],
) -> dict[str, Placement]:
    homes = {
        (row["subsystem"], zone): row["module"]
        for row in table("subsystem_modules", variant=key)
        for zone in row["zones"].split()
    }
    channels: dict[str, list[str]] = {}
    used: dict[str, int] = {}
    for row in allocation:
        for _ in range(int(row["channels"])):
            used[row["chip"]] = used.get(row["chip"], 0) + 1
            channels.setdefault(row["load"], []).append(f"{row['chip']}.{used[row['chip']]}")
    placements = {}
    for load_id, load in loads.items():
        module = homes[load.subsystem, load.zone]
        on = channels.get(load_id, [])
        if any(not address.startswith(f"{module}.") for address in on):
            raise ValueError(f"{load_id} is on {on}, but {load.subsystem} in {load.zone} belongs to {module}")
        needed = settings.habit(load.drive).channels
        if len(on) < needed:
            raise ValueError(f"{load_id} needs {needed} channels and has {len(on)}")
        placements[load_id] = Placement(
            on=tuple(on) or (module,),
            joined="parallel" if len(on) > needed else None,
            stage=tuple(f"{module}.{ref}" for ref in _stage(load_id, load, loads, stages[module].get(load.drive, []))),
            rail=_sensor_rail(load, modules[module], on),
        )
    return placements


def _stage(load_id: str, load: Load, loads: Mapping[str, Load], refs: list[str]) -> list[str]:
    """Return the FETs that carry a load: of an injector the one that selects it, and one of the banks it shares."""
    if load.drive != "INJD":
        return refs
    alike = [other for other, own in loads.items() if own.drive == "INJD" and own.zone == load.zone]
    number, banks = alike.index(load_id), refs[len(alike) :]
    return [refs[number], banks[number * len(banks) // len(alike)]] if banks else refs


def _sensor_rail(load: Load, module: Module, on: list[str]) -> str:
    """Return the rail that feeds a sensor outside the module: its last one of 5 V, that of a tracker where it has any.

    Sensors on a serial bus are devices of the module, with a supply input of their own.
    """
    if load.kind != "sensor" or load.drive not in SENSOR_DRIVES or on:
        return ""
    return next((rail_id for rail_id in reversed(module.rails) if module.rails[rail_id].voltage_v == SENSOR_V), "")
